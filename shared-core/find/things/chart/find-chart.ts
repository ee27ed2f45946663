import { type Homography, isConvex, mapPoint } from '../../../capture/geometry.ts'
import type { Triple } from '../../../capture/pixels.ts'
import type { RgbProfile } from '../../../colour/profile.ts'
import type { Point, Quad } from '../../../records/area.ts'
import type { FoundThing } from '../../../records/proposal.ts'
import type { Gradient } from '../edges.ts'
import { overlapOf } from '../overlap.ts'
import type { Planes } from '../planes.ts'
import { rootsOf } from '../roots.ts'
import { type Blob, blobsOf } from './blobs.ts'
import { fitted, type Lattice, latticesOf } from './lattice.ts'
import { chartColumns, chartRows, inLattice, likeness, type Placing, referenceFor, seenAt } from './likeness.ts'

type Found = { quad: Quad; likeness: number; patches: number }

/**
 * Finds a 24-patch chart at any rotation and says which of its corners is at patch 1.
 * @param planes  smoothed; a patch should have five pixels a side at least
 * @returns in pixels of the planes, corners at patches 1, 6, 24, 19; null when nothing is like one
 */
export function findChart(planes: Planes, gradient: Gradient, profile: RgbProfile): FoundThing | null {
  const found = chartIn(planes, gradient, referenceFor(profile), rootsOf(profile))
  return found && { quad: found.quad, confidence: confidenceOf(found) }
}

const leastLikeness = 0.4

function confidenceOf({ likeness: alike, patches }: Found): number {
  return 1 / (1 + Math.exp(-(14 * (alike - 0.66) + 0.15 * (patches - 14))))
}

function chartIn(planes: Planes, gradient: Gradient, reference: Triple[], roots: Float64Array[]): Found | null {
  const blobs = blobsOf(planes, gradient)
  let best: (Found & { lattice: Lattice; placing: Placing }) | null = null
  for (const lattice of latticesOf(blobs, planes.width, planes.height)) {
    for (const placing of placings(lattice)) {
      const alike = likeness(seenAt(planes, roots, lattice.toPicture, placing), reference)
      if (alike < leastLikeness || alike <= (best?.likeness ?? 0)) continue
      const quad = outline(lattice.toPicture, placing)
      if (isConvex(quad))
        best = { quad, likeness: alike, patches: patchesIn(lattice, placing).length, lattice, placing }
    }
  }
  return best && completed(best, blobs, planes, reference, roots)
}

/** Every way to lay a chart over a lattice so that it covers most of the blobs. */
function placings({ cells }: Lattice): Placing[] {
  const columns = cells.map(({ column }) => column)
  const rows = cells.map(({ row }) => row)
  const [left, right] = [Math.min(...columns), Math.max(...columns)]
  const [top, bottom] = [Math.min(...rows), Math.max(...rows)]
  const found: Placing[] = []
  for (const [wide, high] of [
    [chartColumns, chartRows],
    [chartRows, chartColumns],
  ] as const) {
    for (let x = Math.min(left, right - wide + 1); x <= Math.max(left, right - wide + 1); x++) {
      for (let y = Math.min(top, bottom - high + 1); y <= Math.max(top, bottom - high + 1); y++) {
        const [farX, farY] = [x + wide - 1, y + high - 1]
        const [near, far]: [Point, Point] = [
          [x, y],
          [farX, farY],
        ]
        const [farNear, nearFar]: [Point, Point] = [
          [farX, y],
          [x, farY],
        ]
        // both ways round, and the same seen in a mirror: cameras that face their user store such pictures
        if (wide === chartColumns)
          found.push(
            { corner: near, right: [1, 0], down: [0, 1] },
            { corner: far, right: [-1, 0], down: [0, -1] },
            { corner: farNear, right: [-1, 0], down: [0, 1] },
            { corner: nearFar, right: [1, 0], down: [0, -1] },
          )
        else
          found.push(
            { corner: farNear, right: [0, 1], down: [-1, 0] },
            { corner: nearFar, right: [0, -1], down: [1, 0] },
            { corner: near, right: [0, 1], down: [1, 0] },
            { corner: far, right: [0, -1], down: [-1, 0] },
          )
      }
    }
  }
  return found
}

/** The outline runs half a patch's pitch beyond the middles of the outer patches. */
function outline(toPicture: Homography, placing: Placing): Quad {
  const corner = (column: number, row: number) => mapPoint(toPicture, inLattice(placing, column, row))
  const [w, h] = [chartColumns - 0.5, chartRows - 0.5]
  return [corner(-0.5, -0.5), corner(w, -0.5), corner(w, h), corner(-0.5, h)]
}

/** Blobs in a chart's own columns and rows. */
function patchesIn({ cells }: Lattice, { corner, right, down }: Placing): Lattice['cells'] {
  return cells
    .map(({ column, row, blob }) => {
      const [dx, dy] = [column - corner[0], row - corner[1]]
      return { column: dx * right[0] + dy * right[1], row: dx * down[0] + dy * down[1], blob }
    })
    .filter(({ column, row }) => column >= 0 && row >= 0 && column < chartColumns && row < chartRows)
}

/** Patches that did not take part, and none from beyond the chart: the map is fitted again to these alone. */
function completed(
  best: Found & { lattice: Lattice; placing: Placing },
  blobs: Blob[],
  planes: Planes,
  reference: Triple[],
  roots: Float64Array[],
): Found {
  const placing: Placing = { corner: [0, 0], right: [1, 0], down: [0, 1] }
  const own = fitted(patchesIn(best.lattice, best.placing))
  if (!own) return best
  const cells: Lattice['cells'] = []
  for (let row = 0; row < chartRows; row++) {
    for (let column = 0; column < chartColumns; column++) {
      const [x, y] = mapPoint(own.toPicture, [column, row])
      const [nextX, nextY] = mapPoint(own.toPicture, [column + 1, row])
      const near = 0.15 * Math.hypot(nextX - x, nextY - y)
      const blob = blobs.find((one) => Math.hypot(one.x - x, one.y - y) < near && one.area < 60 * near * near)
      if (blob) cells.push({ column, row, blob })
    }
  }
  const again = fitted(cells)
  if (!again) return best
  const quad = outline(again.toPicture, placing)
  if (!isConvex(quad) || overlapOf(quad, best.quad) < 0.7) return best
  const alike = likeness(seenAt(planes, roots, again.toPicture, placing), reference)
  return alike < best.likeness - 0.05 ? best : { quad, likeness: alike, patches: again.cells.length }
}
