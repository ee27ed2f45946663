import { type DifferenceWeights, differenceCiede2000 } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'
import { lightnessBound, lightnessLimits, regionWithin } from './bounds.ts'
import { NearestList } from './nearest-list.ts'

/** A colour of the index: `id` and `age` are the caller's numbers; of equals the one of lower age comes first, then of lower id. */
export type Entry = { readonly id: number; readonly lab: Lab; readonly age: number }
export type Neighbour = { readonly id: number; readonly age: number; readonly de00: number }

export type Question = {
  readonly count: number
  readonly weights?: DifferenceWeights
  /** Lets a colour through; left out: all. */
  readonly accepts?: (id: number) => boolean
  /** Colours of one group count once, by their nearest; left out: each by itself. */
  readonly groupOf?: (id: number) => number
}

const unit: DifferenceWeights = { kL: 1, kC: 1, kH: 1 }
/** A hair for rounding: bounds are worked out otherwise than the formula itself. */
const hair = 1e-9

/**
 * Colours by lightness, for exact searches by CIEDE2000: a search walks outward from the reference's L*, leaves out what
 * lies beyond a proven radius in (a*, b*), and stops where lightness alone is too far. Rows are typed arrays; one colour more
 * or less moves what lies behind it, 0.3 ms in a million.
 */
export class NearestIndex {
  private l: Float64Array
  private a: Float64Array
  private b: Float64Array
  private ids: Int32Array
  private ages: Float64Array
  private length: number

  /** @throws RangeError for a colour that is not finite */
  constructor(entries: readonly Entry[]) {
    const order = entries.toSorted((one, other) => one.lab.l - other.lab.l)
    const room = Math.max(16, Math.ceil(order.length * 1.1))
    this.l = new Float64Array(room)
    this.a = new Float64Array(room)
    this.b = new Float64Array(room)
    this.ids = new Int32Array(room)
    this.ages = new Float64Array(room)
    this.length = order.length
    for (const [row, entry] of order.entries()) this.put(row, entry)
  }

  get size(): number {
    return this.length
  }

  /** @throws RangeError for a colour that is not finite */
  insert(entry: Entry): void {
    mustBeFinite(entry.lab)
    if (this.length === this.l.length) this.grow()
    const row = this.firstAtLeast(entry.lab.l)
    this.shift(row, row + 1)
    this.put(row, entry)
    this.length++
  }

  /** @param lab  as it was inserted. @returns whether it was there */
  remove(id: number, lab: Lab): boolean {
    for (let row = this.firstAtLeast(lab.l); row < this.length && this.l[row] === lab.l; row++) {
      if (this.ids[row] !== id) continue
      this.shift(row + 1, row)
      this.length--
      return true
    }
    return false
  }

  /**
   * The nearest colours by CIEDE2000, nearest first, as a full scan gives them: same colours, same order.
   * @throws RangeError for a reference that is not finite, a count below 1, or weights not above 0
   */
  nearest(reference: Lab, { count, weights = unit, accepts, groupOf }: Question): Neighbour[] {
    mustBeFinite(reference)
    if (!(count >= 1) || !(Math.min(weights.kL, weights.kC, weights.kH) > 0)) {
      throw new RangeError('A search wants one colour or more, and weights above 0.')
    }
    const found = new NearestList(count)
    const { l: lightnessHere, a: aHere, b: bHere } = reference
    const chroma = Math.hypot(aHere, bHere)
    const candidate = { l: 0, a: 0, b: 0 }
    const canStop = lightnessHere > lightnessLimits.from && lightnessHere < lightnessLimits.to
    let worst = Number.POSITIVE_INFINITY
    /** Of the difference that the region was worked out for, and what is left of it after the lightness term. */
    let regionOf = Number.POSITIVE_INFINITY
    let square = Number.POSITIVE_INFINITY
    let across = 0
    let up = this.firstAtLeast(lightnessHere)
    let down = up - 1
    const look = (row: number, lightness: number): void => {
      const [a, b] = [this.a[row]!, this.b[row]!]
      const left = regionOf < Number.POSITIVE_INFINITY ? regionOf * regionOf - lightness * lightness : regionOf
      // the radius shrinks at least as fast as the difference that is left of it: see `regionWithin`
      if ((a - aHere) ** 2 + (b - bHere) ** 2 > (square * left) / (regionOf * regionOf)) return
      if (((aHere * b - a * bHere) ** 2 * across) / (chroma * Math.sqrt(a * a + b * b)) > left * (1 + hair) + hair)
        return
      const id = this.ids[row]!
      if (accepts && !accepts(id)) return
      candidate.l = this.l[row]!
      candidate.a = a
      candidate.b = b
      const de00 = differenceCiede2000(reference, candidate, weights)
      if (de00 > worst) return
      worst = found.offer({ id, age: this.ages[row]!, de00 }, groupOf ? groupOf(id) : id)
      // the region costs as much as ten colours: it is worked out anew when that pays
      if (worst > regionOf * 0.9) return
      regionOf = worst
      const region = regionWithin(reference, worst, weights)
      square = (region.radius * (1 + hair) + hair) ** 2
      across = region.across
    }
    while (up < this.length || down >= 0) {
      const isUp = down < 0 || (up < this.length && this.l[up]! - reference.l <= reference.l - this.l[down]!)
      const row = isUp ? up++ : down--
      const lightness = canStop ? lightnessBound(reference.l, this.l[row]!, weights.kL) * (1 - hair) : 0
      if (lightness <= worst + hair) look(row, lightness)
      else if (isUp) up = this.length
      else down = -1
    }
    return found.inOrder()
  }

  private put(row: number, { id, lab, age }: Entry): void {
    mustBeFinite(lab)
    this.l[row] = lab.l
    this.a[row] = lab.a
    this.b[row] = lab.b
    this.ids[row] = id
    this.ages[row] = age
  }

  private firstAtLeast(l: number): number {
    let [from, to] = [0, this.length]
    while (from < to) {
      const middle = (from + to) >> 1
      if (this.l[middle]! < l) from = middle + 1
      else to = middle
    }
    return from
  }

  private shift(from: number, to: number): void {
    for (const column of [this.l, this.a, this.b, this.ids, this.ages]) column.copyWithin(to, from, this.length)
  }

  private grow(): void {
    const room = Math.ceil(this.l.length * 1.5)
    const wider = <C extends Float64Array | Int32Array>(column: C, next: C): C => {
      next.set(column)
      return next
    }
    this.l = wider(this.l, new Float64Array(room))
    this.a = wider(this.a, new Float64Array(room))
    this.b = wider(this.b, new Float64Array(room))
    this.ids = wider(this.ids, new Int32Array(room))
    this.ages = wider(this.ages, new Float64Array(room))
  }
}

function mustBeFinite({ l, a, b }: Lab): void {
  if (!Number.isFinite(l + a + b)) throw new RangeError(`L* ${l}, a* ${a}, b* ${b} is no colour.`)
}
