import type { Lab } from '../../colour/lab.ts'

/** A colour; `id` is the caller's number, used once. */
export type Entry = { readonly id: number; readonly lab: Lab }

/** Squares of (a*, b*): so wide, and so many each way from neutral; the outermost hold whatever lies beyond them. */
export const side = 5
const half = 32
export const across = 2 * half

/** Which column (row) of squares a value of a* (b*) falls into. */
export const placeOf = (value: number): number => Math.max(0, Math.min(across - 1, Math.floor(value / side) + half))

/**
 * How far a column or row of squares is from a value: 0 inside it.
 * @param at  as `placeOf` gives it
 */
export function distanceTo(at: number, value: number): number {
  const from = (at - half) * side
  if (value < from) return at === 0 ? 0 : from - value
  return at === across - 1 ? 0 : Math.max(0, value - from - side)
}

/**
 * Colours square by square, each square's in order of L*, in typed arrays: what lies side by side in (a*, b*) lies side by side
 * in memory. One colour more or less moves what lies behind it, about a millisecond in a million.
 */
export class Rows {
  /** L*, a*, b* of each row. */
  lab: Float64Array
  ids: Int32Array
  length: number
  /** The first row of each square, and after the last square the end of all. */
  readonly starts = new Int32Array(across * across + 1)

  constructor(entries: readonly Entry[]) {
    const placed = entries.map((entry) => ({ ...entry, square: squareOf(entry.lab) }))
    placed.sort((one, other) => one.square - other.square || one.lab.l - other.lab.l)
    this.length = placed.length
    const room = Math.max(16, Math.ceil(placed.length * 1.1))
    this.lab = new Float64Array(3 * room)
    this.ids = new Int32Array(room)
    for (const [row, { id, lab, square }] of placed.entries()) {
      this.put(row, id, lab)
      this.starts[square + 1]!++
    }
    for (let square = 0; square < across * across; square++) this.starts[square + 1]! += this.starts[square]!
  }

  insert({ id, lab }: Entry): void {
    if (this.length === this.ids.length) this.grow()
    const square = squareOf(lab)
    const row = this.firstAtLeast(lab.l, this.starts[square]!, this.starts[square + 1]!)
    this.shift(row, row + 1)
    this.put(row, id, lab)
    this.count(square, 1)
  }

  /** @param lab  as it was inserted. @returns whether it was there */
  remove(id: number, lab: Lab): boolean {
    const square = squareOf(lab)
    const end = this.starts[square + 1]!
    const first = this.firstAtLeast(lab.l, this.starts[square]!, end)
    for (let row = first; row < end && this.lab[3 * row] === lab.l; row++) {
      if (this.ids[row] !== id) continue
      this.shift(row + 1, row)
      this.count(square, -1)
      return true
    }
    return false
  }

  /** The first row from `from` up to `to`, all of one square, whose L* is at least this. */
  firstAtLeast(lightness: number, from: number, to: number): number {
    const { lab } = this
    let [low, high] = [from, to]
    while (low < high) {
      const middle = (low + high) >> 1
      if (lab[3 * middle]! < lightness) low = middle + 1
      else high = middle
    }
    return low
  }

  private put(row: number, id: number, { l, a, b }: Lab): void {
    this.lab[3 * row] = l
    this.lab[3 * row + 1] = a
    this.lab[3 * row + 2] = b
    this.ids[row] = id
  }

  private count(square: number, more: 1 | -1): void {
    this.length += more
    for (let later = square + 1; later <= across * across; later++) this.starts[later]! += more
  }

  private shift(from: number, to: number): void {
    this.lab.copyWithin(3 * to, 3 * from, 3 * this.length)
    this.ids.copyWithin(to, from, this.length)
  }

  private grow(): void {
    const room = Math.ceil(this.ids.length * 1.5)
    const [lab, ids] = [new Float64Array(3 * room), new Int32Array(room)]
    lab.set(this.lab)
    ids.set(this.ids)
    this.lab = lab
    this.ids = ids
  }
}

const squareOf = ({ a, b }: Lab): number => placeOf(a) * across + placeOf(b)
