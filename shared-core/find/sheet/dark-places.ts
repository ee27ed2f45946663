import type { Grey } from './grey.ts'

/** A connected dark place: the ends of its runs, row by row, as x0, x1, y three by three; the box around it. */
export type DarkPlace = { left: number; top: number; right: number; bottom: number; runs: number[] }

/** Darkest and lightest are looked for in squares of so many pixels and in the eight around each. */
const tile = 8
/**
 * How far up from the darkest to the lightest, in codes, a pixel is still dark: half the light, or the thin border of a mark
 * breaks in a blurred photo.
 */
const share = 0.66
/** Less than this between them, in codes and as a share of the lightest, is no edge of black on white but noise. */
const leastStep = 14
const leastShare = 0.2

/**
 * Connected places that are darker than the lightest that is near.
 * @param sides  places whose box has a side shorter or longer than these are left out
 */
export function darkPlaces(grey: Grey, sides: { least: number; most: number }): DarkPlace[] {
  const { height } = grey
  const limits = limitsOf(grey)
  const runs = new Runs()
  let [lastFrom, lastTo] = [0, 0]
  for (let y = 0; y < height; y++) {
    const from = runs.count
    addRow(runs, grey, y, limits)
    joinRows(runs, { from: lastFrom, to: lastTo }, { from, to: runs.count })
    lastFrom = from
    lastTo = runs.count
  }
  return gathered(runs, sides)
}

/** Most of a photo of a sheet is paper: a tile where nothing stands out is passed over at once. */
function addRow(runs: Runs, { width, data }: Grey, y: number, limits: Uint8Array): void {
  const tiles = Math.floor(y / tile) * Math.ceil(width / tile)
  const row = y * width
  let start = -1
  for (let left = 0, t = tiles; left < width; left += tile, t++) {
    const limit = limits[t]!
    if (limit === 0) {
      if (start >= 0) runs.add(start, left, y)
      start = -1
      continue
    }
    const right = Math.min(width, left + tile)
    for (let x = left; x < right; x++) {
      if (data[row + x]! < limit) {
        if (start < 0) start = x
      } else if (start >= 0) {
        runs.add(start, x, y)
        start = -1
      }
    }
  }
  if (start >= 0) runs.add(start, width, y)
}

/** Below this a pixel is dark, tile by tile; 0 where nothing stands out. */
function limitsOf(grey: Grey): Uint8Array {
  const [across, down] = [Math.ceil(grey.width / tile), Math.ceil(grey.height / tile)]
  const low = new Uint8Array(across * down)
  const high = new Uint8Array(across * down)
  for (let ty = 0; ty < down; ty++) extremesOfRow(grey, ty, low, high)
  const limits = new Uint8Array(across * down)
  for (let ty = 0; ty < down; ty++) {
    for (let tx = 0; tx < across; tx++) {
      let [least, most] = [255, 0]
      for (let y = Math.max(0, ty - 1); y <= Math.min(down - 1, ty + 1); y++) {
        for (let x = Math.max(0, tx - 1); x <= Math.min(across - 1, tx + 1); x++) {
          const t = y * across + x
          if (low[t]! < least) least = low[t]!
          if (high[t]! > most) most = high[t]!
        }
      }
      if (most - least >= Math.max(leastStep, leastShare * most))
        limits[ty * across + tx] = least + share * (most - least)
    }
  }
  return limits
}

function extremesOfRow({ width, height, data }: Grey, ty: number, low: Uint8Array, high: Uint8Array): void {
  const bottom = Math.min(height, (ty + 1) * tile)
  for (let left = 0, t = ty * Math.ceil(width / tile); left < width; left += tile, t++) {
    const right = Math.min(width, left + tile)
    let [least, most] = [255, 0]
    for (let y = ty * tile; y < bottom; y++) {
      for (let at = y * width + left; at < y * width + right; at++) {
        const value = data[at]!
        if (value < least) least = value
        if (value > most) most = value
      }
    }
    low[t] = least
    high[t] = most
  }
}

/** Runs of dark pixels, each in the tree of the place that it belongs to. */
class Runs {
  x0 = new Int32Array(1 << 15)
  x1 = new Int32Array(1 << 15)
  y = new Int32Array(1 << 15)
  parent = new Int32Array(1 << 15)
  count = 0

  add(x0: number, x1: number, y: number): void {
    if (this.count === this.y.length) this.grow()
    const at = this.count++
    this.x0[at] = x0
    this.x1[at] = x1
    this.y[at] = y
    this.parent[at] = at
  }

  private grow(): void {
    const twice = (kept: Int32Array<ArrayBuffer>): Int32Array<ArrayBuffer> => {
      const larger = new Int32Array(2 * kept.length)
      larger.set(kept)
      return larger
    }
    this.x0 = twice(this.x0)
    this.x1 = twice(this.x1)
    this.y = twice(this.y)
    this.parent = twice(this.parent)
  }

  rootOf(run: number): number {
    let root = run
    while (this.parent[root] !== root) {
      this.parent[root] = this.parent[this.parent[root]!]!
      root = this.parent[root]!
    }
    return root
  }

  join(a: number, b: number): void {
    const [one, other] = [this.rootOf(a), this.rootOf(b)]
    if (one < other) this.parent[other] = one
    else this.parent[one] = other
  }
}

type Span = { from: number; to: number }

function joinRows(runs: Runs, above: Span, here: Span): void {
  let [a, b] = [above.from, here.from]
  while (a < above.to && b < here.to) {
    if (runs.x0[a]! < runs.x1[b]! && runs.x0[b]! < runs.x1[a]!) runs.join(a, b)
    if (runs.x1[a]! < runs.x1[b]!) a++
    else b++
  }
}

function gathered(runs: Runs, { least, most }: { least: number; most: number }): DarkPlace[] {
  const { count } = runs
  const [left, right, top, bottom] = [0, 1, 2, 3].map(() => new Int32Array(count)) as [
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
  ]
  for (let i = 0; i < count; i++) {
    const root = runs.rootOf(i)
    if (root === i) {
      left[i] = runs.x0[i]!
      right[i] = runs.x1[i]!
      top[i] = runs.y[i]!
    }
    left[root] = Math.min(left[root]!, runs.x0[i]!)
    right[root] = Math.max(right[root]!, runs.x1[i]!)
    bottom[root] = runs.y[i]! + 1
  }
  const places = new Map<number, DarkPlace>()
  for (let i = 0; i < count; i++) {
    if (runs.parent[i] !== i) continue
    const [wide, high] = [right[i]! - left[i]!, bottom[i]! - top[i]!]
    if (Math.min(wide, high) < least || Math.max(wide, high) > most || Math.max(wide, high) > 4 * Math.min(wide, high))
      continue
    places.set(i, { left: left[i]!, right: right[i]!, top: top[i]!, bottom: bottom[i]!, runs: [] })
  }
  for (let i = 0; i < count; i++) places.get(runs.rootOf(i))?.runs.push(runs.x0[i]!, runs.x1[i]!, runs.y[i]!)
  return [...places.values()]
}
