import type { Homography } from '../../../capture/geometry.ts'
import { mapPoint, solveLinear } from '../../../capture/geometry.ts'
import type { Point } from '../../../records/area.ts'
import type { Blob } from './blobs.ts'

/** Blobs that stand in rows and columns: whole numbers for each, and the map from these to the picture. */
export type Lattice = { cells: { column: number; row: number; blob: Blob }[]; toPicture: Homography }

/** Least blobs that make a lattice worth looking at. */
const leastBlobs = 8
const farthest = 8
/** From where the next patch should be, as a part of the step; and between areas of neighbours. */
const nearEnough = 0.24
const mostLarger = 2.6
const nearest = 10
const mostLattices = 12

/** Every lattice that grows from some blob, the fullest first. */
export function latticesOf(blobs: Blob[], width: number, height: number): Lattice[] {
  const near = new Places(blobs, width, height)
  const used = new Set<Blob>()
  const found: Lattice[] = []
  // a blob that belongs to a lattice already does not start another
  for (const seed of blobs) {
    if (used.has(seed)) continue
    let best: Lattice | null = null
    for (const [u, v] of stepsFrom(seed, near)) {
      const cells = grown(seed, u, v, near)
      if (cells.length < leastBlobs || cells.length <= (best?.cells.length ?? 0)) continue
      const lattice = fitted(cells)
      if (lattice && lattice.cells.length > (best?.cells.length ?? 0)) best = lattice
    }
    if (!best) continue
    for (const { blob } of best.cells) used.add(blob)
    found.push(best)
  }
  return found.toSorted((a, b) => b.cells.length - a.cells.length).slice(0, mostLattices)
}

class Places {
  readonly blobs: Blob[]
  readonly cell: number
  readonly columns: number
  readonly grid = new Map<number, Blob[]>()

  constructor(blobs: Blob[], width: number, height: number) {
    this.blobs = blobs
    this.cell = Math.max(8, Math.max(width, height) / 40)
    this.columns = Math.ceil(width / this.cell) + 1
    for (const blob of blobs) {
      const key = this.keyOf(blob.x, blob.y)
      const there = this.grid.get(key)
      if (there) there.push(blob)
      else this.grid.set(key, [blob])
    }
  }

  keyOf(x: number, y: number): number {
    return Math.floor(y / this.cell) * this.columns + Math.floor(x / this.cell)
  }

  around(x: number, y: number, radius: number): Blob[] {
    const found: Blob[] = []
    const { cell } = this
    for (let row = Math.floor((y - radius) / cell); row <= Math.floor((y + radius) / cell); row++)
      for (let column = Math.floor((x - radius) / cell); column <= Math.floor((x + radius) / cell); column++)
        for (const blob of this.grid.get(row * this.columns + column) ?? [])
          if (Math.hypot(blob.x - x, blob.y - y) <= radius) found.push(blob)
    return found
  }
}

const alike = (a: Blob, b: Blob) => a.area < mostLarger * b.area && b.area < mostLarger * a.area

/** Pairs of steps to neighbours, about square to each other and about as long, that go on to the right. */
function stepsFrom(seed: Blob, places: Places): [Point, Point][] {
  const side = Math.sqrt(seed.area)
  const steps = places
    .around(seed.x, seed.y, 3.2 * side + 4)
    .filter((one) => one !== seed && alike(one, seed))
    .map(({ x, y }): Point => [x - seed.x, y - seed.y])
    .filter(([x, y]) => Math.hypot(x, y) > 0.95 * side)
    .toSorted((a, b) => Math.hypot(...a) - Math.hypot(...b))
    .slice(0, nearest)
  const pairs: [Point, Point][] = []
  for (const u of steps) {
    for (const v of steps) {
      const across = u[0] * v[1] - u[1] * v[0]
      const [lu, lv] = [Math.hypot(...u), Math.hypot(...v)]
      if (across > 0.85 * lu * lv && lu < 1.7 * lv && lv < 1.7 * lu) pairs.push([u, v])
    }
  }
  return pairs
}

type Cell = { column: number; row: number; blob: Blob; u: Point; v: Point }

/** From blob to blob, each step as the last one was: perspective changes it little from patch to patch. */
function grown(seed: Blob, u: Point, v: Point, places: Places): Cell[] {
  const taken = new Map<number, Cell>()
  const blobs = new Set<Blob>([seed])
  const key = (column: number, row: number) => (row + farthest) * (2 * farthest + 1) + column + farthest
  const first: Cell = { column: 0, row: 0, blob: seed, u, v }
  taken.set(key(0, 0), first)
  const queue = [first]
  for (let next = queue.shift(); next; next = queue.shift()) {
    const { column, row, blob } = next
    for (const [dc, dr] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      const [c, r] = [column + dc, row + dr]
      if (Math.abs(c) > farthest || Math.abs(r) > farthest || taken.has(key(c, r))) continue
      const step: Point = dc === 0 ? [dr * next.v[0], dr * next.v[1]] : [dc * next.u[0], dc * next.u[1]]
      const [x, y] = [blob.x + step[0], blob.y + step[1]]
      const length = Math.hypot(...step)
      const there = places
        .around(x, y, nearEnough * length)
        .filter((one) => !blobs.has(one) && alike(one, blob))
        .toSorted((a, b) => Math.hypot(a.x - x, a.y - y) - Math.hypot(b.x - x, b.y - y))[0]
      if (!there) continue
      const sign = dc + dr
      // the step is learnt on the way, half and half with the one before
      const seen: Point = [sign * (there.x - blob.x), sign * (there.y - blob.y)]
      const half = (old: Point): Point => [(old[0] + seen[0]) / 2, (old[1] + seen[1]) / 2]
      const cell = {
        column: c,
        row: r,
        blob: there,
        u: dc === 0 ? next.u : half(next.u),
        v: dc === 0 ? half(next.v) : next.v,
      }
      taken.set(key(c, r), cell)
      blobs.add(there)
      queue.push(cell)
    }
  }
  return [...taken.values()]
}

/** A homography through the blobs; those that it misses are left out. */
export function fitted(cells: Lattice['cells']): Lattice | null {
  let rest = cells
  for (let round = 0; round < 3; round++) {
    if (rest.length < 6 || spread(rest.map(({ column }) => column)) < 1 || spread(rest.map(({ row }) => row)) < 1)
      return null
    const toPicture = homographyThrough(rest)
    if (!toPicture) return null
    const off = ({ column, row, blob }: Lattice['cells'][number]) => {
      const [x, y] = mapPoint(toPicture, [column, row])
      const [ex, ey] = mapPoint(toPicture, [column + 1, row])
      return Math.hypot(x - blob.x, y - blob.y) / Math.hypot(ex - x, ey - y)
    }
    const good = rest.filter((cell) => off(cell) < 0.15)
    if (good.length === rest.length) return { cells: rest, toPicture }
    rest = good
  }
  const toPicture = rest.length >= 6 ? homographyThrough(rest) : null
  return toPicture && { cells: rest, toPicture }
}

const spread = (values: number[]) => Math.max(...values) - Math.min(...values)

/** Least squares; null where the blobs stand in one line. */
function homographyThrough(cells: Lattice['cells']): Homography | null {
  const middle: Point = [0, 0]
  for (const { blob } of cells) {
    middle[0] += blob.x / cells.length
    middle[1] += blob.y / cells.length
  }
  const scale = Math.max(1, ...cells.map(({ blob }) => Math.hypot(blob.x - middle[0], blob.y - middle[1])))
  const sums = Array.from({ length: 8 }, () => Array.from({ length: 9 }, () => 0))
  for (const { column: x, row: y, blob } of cells) {
    const u = (blob.x - middle[0]) / scale
    const v = (blob.y - middle[1]) / scale
    for (const equation of [
      [x, y, 1, 0, 0, 0, -x * u, -y * u, u],
      [0, 0, 0, x, y, 1, -x * v, -y * v, v],
    ])
      for (let i = 0; i < 8; i++) for (let j = 0; j < 9; j++) sums[i]![j]! += equation[i]! * equation[j]!
  }
  try {
    const h = solveLinear(sums) as [number, number, number, number, number, number, number, number]
    const [mx, my] = middle
    return [
      scale * h[0] + mx * h[6],
      scale * h[1] + mx * h[7],
      scale * h[2] + mx,
      scale * h[3] + my * h[6],
      scale * h[4] + my * h[7],
      scale * h[5] + my,
      h[6],
      h[7],
      1,
    ]
  } catch {
    return null
  }
}
