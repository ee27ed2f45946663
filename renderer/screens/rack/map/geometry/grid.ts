import type { Run } from './steps.ts'

/** A colour's place in the plane of the map. */
export type Place = { readonly a: number; readonly b: number }
type Columns = { readonly a: Float64Array; readonly b: Float64Array }

/** Squares of (a*, b*) so wide; the plane of paints is some 200 across. */
const side = 4
const half = 40
const across = 2 * half
const cellAt = (value: number): number => Math.max(0, Math.min(across - 1, Math.floor(value / side) + half))

/** Steps of a slice in squares of the plane: what lies where, and how thickly, without looking at all of them. */
export class SpotGrid {
  /** How many squares hold a step. */
  readonly filled: number
  readonly size: number
  private readonly columns: Columns
  private readonly from: Int32Array
  private readonly rows: Int32Array

  constructor(columns: Columns, [from, to]: Run) {
    this.columns = columns
    this.size = to - from
    const { a, b } = columns
    this.from = new Int32Array(across * across + 1)
    for (let row = from; row < to; row++) this.from[cellAt(a[row]!) * across + cellAt(b[row]!) + 1]!++
    let filled = 0
    for (let cell = 0; cell < across * across; cell++) {
      if (this.from[cell + 1]! > 0) filled++
      this.from[cell + 1]! += this.from[cell]!
    }
    this.filled = filled
    const next = this.from.slice()
    this.rows = new Int32Array(this.size)
    for (let row = from; row < to; row++) this.rows[next[cellAt(a[row]!) * across + cellAt(b[row]!)]!++] = row
  }

  /** Steps for each unit of filled area; 0 where there is none. */
  get density(): number {
    return this.filled === 0 ? 0 : this.size / (this.filled * side * side)
  }

  /** Every row whose colour lies in a box. */
  inBox(aFrom: number, aTo: number, bFrom: number, bTo: number, visit: (row: number) => void): void {
    const { a, b } = this.columns
    const [lastA, firstB, lastB] = [cellAt(aTo), cellAt(bFrom), cellAt(bTo)]
    for (let i = cellAt(aFrom); i <= lastA; i++) {
      for (let at = this.from[i * across + firstB]!; at < this.from[i * across + lastB + 1]!; at++) {
        const row = this.rows[at]!
        if (a[row]! >= aFrom && a[row]! <= aTo && b[row]! >= bFrom && b[row]! <= bTo) visit(row)
      }
    }
  }

  /** Every row within a distance of a place, with that distance. */
  within(place: Place, radius: number, visit: (row: number, distance: number) => void): void {
    const { a, b } = this.columns
    this.inBox(place.a - radius, place.a + radius, place.b - radius, place.b + radius, (row) => {
      const distance = Math.hypot(a[row]! - place.a, b[row]! - place.b)
      if (distance <= radius) visit(row, distance)
    })
  }

  /** The nearest row, no farther than `radius`; the later row of two as near, which is drawn on top. −1: none. */
  nearest(place: Place, radius: number): number {
    let found = -1
    let least = radius
    this.within(place, radius, (row, distance) => {
      if (distance > least || (distance === least && row < found)) return
      found = row
      least = distance
    })
    return found
  }
}

/**
 * Which mark a pointer means: the topmost that lies under it, else the nearest within `reach`. Marks are upright, twice as
 * high as wide; all measures in units of the plane.
 */
export function markAt(grid: SpotGrid, { a, b }: Columns, place: Place, width: number, reach: number): number {
  let top = -1
  grid.inBox(place.a - width / 2, place.a + width / 2, place.b - width, place.b + width, (row) => {
    if (row > top) top = row
  })
  if (top >= 0) return top
  let found = -1
  let least = reach
  // from the mark's edge, not from its middle
  grid.within(place, reach + width, (row) => {
    const beside = Math.max(0, Math.abs(a[row]! - place.a) - width / 2)
    const above = Math.max(0, Math.abs(b[row]! - place.b) - width)
    const distance = Math.hypot(beside, above)
    if (distance >= least) return
    found = row
    least = distance
  })
  return found
}
