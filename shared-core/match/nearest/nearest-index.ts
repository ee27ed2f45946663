import { type DifferenceWeights, differenceCiede2000 } from '../../colour/difference.ts'
import { differenceFrame } from '../../colour/difference-frame.ts'
import type { Lab } from '../../colour/lab.ts'
import { lightnessRange, regionWithin, squareAtLeast } from './bounds.ts'
import { NearestList } from './nearest-list.ts'
import { across, distanceTo, type Entry, placeOf, Rows, side } from './rows.ts'

export type Neighbour = { readonly id: number; readonly de00: number }

export type Question = {
  readonly count: number
  readonly weights?: DifferenceWeights | undefined
  /** No colour farther away than this; left out: any. */
  readonly within?: number | undefined
  /** Lets a colour through; left out: all. */
  readonly accepts?: ((id: number) => boolean) | undefined
  /** Colours of one group count once, by their nearest; left out: each by itself. */
  readonly groupOf?: ((id: number) => number) | undefined
  /** Which of two colours equally far away comes first; left out: the one of lower id. */
  readonly isOlder?: ((one: number, other: number) => boolean) | undefined
}

const unit: DifferenceWeights = { kL: 1, kC: 1, kH: 1 }
/** A hair for rounding: bounds are worked out otherwise than the formula itself. */
const hair = 1e-9

/**
 * Colours in squares of (a*, b*), for exact searches by CIEDE2000. A search first finds colours that are near by the
 * formula's linear frame at the reference, which costs a twentieth of the formula; the farthest of these is as far as the
 * nearest can lie. It then compares what lies within that: in squares that a proven radius touches, between two proven
 * limits of L*, and not ruled out by a proven bound without angles.
 */
export class NearestIndex {
  private readonly rows: Rows

  /** @throws RangeError for a colour that is not finite */
  constructor(entries: readonly Entry[]) {
    for (const { lab } of entries) mustBeFinite(lab)
    this.rows = new Rows(entries)
  }

  get size(): number {
    return this.rows.length
  }

  /** @throws RangeError for a colour that is not finite */
  insert(entry: Entry): void {
    mustBeFinite(entry.lab)
    this.rows.insert(entry)
  }

  /** @param lab  as it was inserted. @returns whether it was there */
  remove(id: number, lab: Lab): boolean {
    return this.rows.remove(id, lab)
  }

  /**
   * The nearest colours by CIEDE2000, nearest first, as a full scan gives them: same colours, same order.
   * @throws RangeError for a reference that is not finite, a count below 1, or weights not above 0
   */
  nearest(reference: Lab, question: Question): Neighbour[] {
    const { count, weights = unit, within = Number.POSITIVE_INFINITY, accepts, groupOf, isOlder = isLower } = question
    mustBeFinite(reference)
    if (!(count >= 1) || !(Math.min(weights.kL, weights.kC, weights.kH) > 0)) {
      throw new RangeError('A search wants one colour or more, and weights above 0.')
    }
    const reach = Math.min(within, this.reachOf(reference, question, weights))
    const found = new NearestList(count, reach, isOlder, groupOf !== undefined)
    const { ids } = this.rows
    const compare = (row: number, candidate: Lab): void => {
      const id = ids[row]!
      if (accepts && !accepts(id)) return
      found.offer(id, differenceCiede2000(reference, candidate, weights), groupOf ? groupOf(id) : id)
    }
    if (reach === Number.POSITIVE_INFINITY) this.throughAll(compare)
    else this.throughRegion(reference, weights, found, compare)
    return found.inOrder().map(({ id, value }) => ({ id, de00: value }))
  }

  /** How far the last of the nearest lies at most: the farthest of as many that are near by the linear frame. */
  private reachOf(reference: Lab, { count, accepts, groupOf }: Question, weights: DifferenceWeights): number {
    const [f0 = 0, , , , f4 = 0, f5 = 0, , f7 = 0, f8 = 0] = differenceFrame(reference, weights)
    const { l: lHere, a: aHere, b: bHere } = reference
    const { lab, ids, starts, length } = this.rows
    const near = new NearestList(count, Number.POSITIVE_INFINITY, isLower, groupOf !== undefined)
    let worst = Number.POSITIVE_INFINITY
    /** @returns whether the next one that way may be near too */
    const look = (row: number): boolean => {
      const light = f0 * (lab[3 * row]! - lHere)
      if (light * light >= worst) return false
      const [da, db] = [lab[3 * row + 1]! - aHere, lab[3 * row + 2]! - bHere]
      const [p, q] = [f4 * da + f5 * db, f7 * da + f8 * db]
      const square = light * light + p * p + q * q
      if (square >= worst) return true
      const id = ids[row]!
      if (accepts && !accepts(id)) return true
      near.offer(row, square, groupOf ? groupOf(id) : id)
      worst = near.limit
      return true
    }
    const lookIn = (square: number): number => {
      const [from, to] = [starts[square]!, starts[square + 1]!]
      if (from === to) return 0
      const middle = this.rows.firstAtLeast(lHere, from, to)
      let row = middle
      while (row < to && look(row)) row++
      row = middle - 1
      while (row >= from && look(row)) row--
      return to - from
    }
    // the frame makes (a*, b*) at least this long
    const least = smallestStretch(f4, f5, f7, f8)
    const [i, j] = [placeOf(aHere), placeOf(bHere)]
    let unseen = length
    for (let ring = 0; unseen > 0 && ((ring - 1) * side * least) ** 2 <= worst; ring++)
      unseen -= sumOfRing(i, j, ring, lookIn)
    const chosen = near.inOrder()
    if (chosen.length < count) return Number.POSITIVE_INFINITY
    let reach = 0
    for (const { id: row } of chosen) {
      const candidate = { l: lab[3 * row]!, a: lab[3 * row + 1]!, b: lab[3 * row + 2]! }
      reach = Math.max(reach, differenceCiede2000(reference, candidate, weights))
    }
    return reach
  }

  private throughAll(compare: (row: number, candidate: Lab) => void): void {
    const { lab, length } = this.rows
    for (let row = 0; row < length; row++)
      compare(row, { l: lab[3 * row]!, a: lab[3 * row + 1]!, b: lab[3 * row + 2]! })
  }

  /** Compares every colour that may lie within what is still wanted. */
  private throughRegion(
    reference: Lab,
    weights: DifferenceWeights,
    found: NearestList,
    compare: (row: number, candidate: Lab) => void,
  ): void {
    const { a: aHere, b: bHere } = reference
    const { lab, starts } = this.rows
    const reach = found.limit
    const region = regionWithin(reference, reach, weights)
    const radius = region.radius * (1 + hair) + hair
    const { from, to } = lightnessRange(reference.l, reach * (1 + hair) + hair, weights.kL)
    const chroma = Math.hypot(aHere, bHere)
    const candidate = { l: 0, a: 0, b: 0 }
    for (let x = placeOf(aHere - radius); x <= placeOf(aHere + radius); x++) {
      // half the height of the circle where it is highest in this column
      const tall = Math.sqrt(Math.max(0, radius ** 2 - distanceTo(x, aHere) ** 2))
      for (let y = placeOf(bHere - tall); y <= placeOf(bHere + tall); y++) {
        const end = starts[x * across + y + 1]!
        const first = starts[x * across + y]!
        if (first === end) continue
        for (let row = this.rows.firstAtLeast(from, first, end); row < end; row++) {
          candidate.l = lab[3 * row]!
          if (candidate.l > to) break
          candidate.a = lab[3 * row + 1]!
          candidate.b = lab[3 * row + 2]!
          const [da, db] = [candidate.a - aHere, candidate.b - bHere]
          if (da * da + db * db > radius * radius) continue
          const most = found.limit * found.limit * (1 + hair) + hair
          if (squareAtLeast(reference, chroma, candidate, region, weights, most) <= most) compare(row, candidate)
        }
      }
    }
  }
}

const isLower = (one: number, other: number): boolean => one < other

/** Over the squares that are this many columns or rows away from one, and no more. */
function sumOfRing(i: number, j: number, ring: number, of: (square: number) => number): number {
  let sum = 0
  for (let x = Math.max(0, i - ring); x <= Math.min(across - 1, i + ring); x++) {
    const isWhole = ring === 0 || x === i - ring || x === i + ring
    for (let y = j - ring; y <= j + ring; y += isWhole ? 1 : 2 * ring)
      if (y >= 0 && y < across) sum += of(x * across + y)
  }
  return sum
}

/** The smaller singular value of a 2 × 2 matrix. */
function smallestStretch(a: number, b: number, c: number, d: number): number {
  const [sum, det] = [a * a + b * b + c * c + d * d, a * d - b * c]
  return Math.sqrt(Math.max(0, (sum - Math.sqrt(Math.max(0, sum * sum - 4 * det * det))) / 2))
}

function mustBeFinite({ l, a, b }: Lab): void {
  if (!Number.isFinite(l + a + b)) throw new RangeError(`L* ${l}, a* ${a}, b* ${b} is no colour.`)
}
