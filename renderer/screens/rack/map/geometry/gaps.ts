import { NearestIndex } from '../../../../../shared-core/match/nearest/nearest-index.ts'
import { SpotGrid } from './grid.ts'
import { type MapSteps, type Slice, sliceMiddles, sliceRun } from './steps.ts'

/**
 * A colour that nobody sprayed although it lies between sprayed ones. It says nothing of what materials can reach: that is for
 * the film model's gaps (shared-core/film/gaps.ts), which are predicted formulas; these are holes in what hangs there.
 */
export type MapGap = {
  readonly l: number
  readonly a: number
  readonly b: number
  /** dE00 to the nearest step of all that are shown, also of other lightness. */
  readonly nearest: number
  /** Distance in the plane to the nearest step of the slice: the empty disc. */
  readonly radius: number
  /** Rows of the nearest step in the plane, and of the nearest on the other side. */
  readonly sides: readonly [number, number]
}

/**
 * No step may be nearer than this. 5.4 dE00 is where a difference begins to be "much" (three times what half of observers
 * accept, see shared-core/colour/words.ts): whoever wants that colour has nothing that would do.
 */
export const leastApart = 5.4
/** Darker than this L*, colours can hardly be told apart on a panel; as for the film model's gaps. */
const darkest = 8
/** No step of the slice may be nearer in the plane, whatever its lightness: on the map it would stand in the hole. */
const leastRadius = 6
/** Steps up to so far around count as its surroundings: half as far again as the nearest, and so much more. */
const surroundings = { times: 1.5, more: 12, most: 45 } as const
/** They leave no way out wider than this. 180° would be the edge of what was sprayed. */
const widestOpening = (120 * Math.PI) / 180
/** The plane is searched in steps of this. */
const stride = 2
export const mostGaps = 6
const sectors = 40

/**
 * Gaps of a slice (of all five, where all lightness is shown), the widest first. A generator, so that whoever draws can go
 * on drawing: it yields wherever it has looked harder at a colour.
 * @param index  all steps, each by its row
 */
export function* seekGaps(steps: MapSteps, index: NearestIndex, slice: Slice): Generator<void, MapGap[]> {
  const middles = slice.middle === null ? sliceMiddles : [slice.middle]
  const found: MapGap[] = []
  for (const middle of middles) if (middle >= darkest) found.push(...(yield* inSlice(steps, index, middle)))
  return apartFromEachOther(found)
}

function* inSlice(steps: MapSteps, index: NearestIndex, middle: number): Generator<void, MapGap[]> {
  const run = sliceRun(steps, { middle })
  if (run[1] - run[0] < 3) return []
  const grid = new SpotGrid(steps, run)
  const [aFrom, aTo] = limits(steps.a.subarray(...run))
  const [bFrom, bTo] = limits(steps.b.subarray(...run))
  const found: MapGap[] = []
  for (let a = Math.ceil(aFrom / stride) * stride; a <= aTo; a += stride) {
    for (let b = Math.ceil(bFrom / stride) * stride; b <= bTo; b += stride) {
      if (grid.nearest({ a, b }, leastRadius) >= 0) continue
      yield
      const gap = gapAt(steps, grid, index, { l: middle, a, b })
      if (gap) found.push(gap)
    }
  }
  return found
}

function gapAt(
  steps: MapSteps,
  grid: SpotGrid,
  index: NearestIndex,
  place: { l: number; a: number; b: number },
): MapGap | null {
  const near = nearestAround(grid, place)
  if (near < 0) return null
  const radius = Math.hypot(steps.a[near]! - place.a, steps.b[near]! - place.b)
  const around = Math.min(surroundings.most, radius * surroundings.times + surroundings.more)
  const round = new Directions()
  grid.within(place, around, (row) => round.add(steps.a[row]! - place.a, steps.b[row]! - place.b))
  if (round.widestOpen() > widestOpening) return null
  // most places end here, and a search that may stop early is much faster
  if (index.nearest(place, { count: 1, within: leastApart }).length > 0) return null
  const [nearest] = index.nearest(place, { count: 1 })
  if (!nearest) return null
  const sides = [near, oppositeOf(steps, grid, place, near, around)] as const
  return { ...place, nearest: nearest.de00, radius, sides }
}

/** The nearest step of the slice, in rings that grow; −1 where nothing lies within the widest surroundings. */
function nearestAround(grid: SpotGrid, place: { a: number; b: number }): number {
  for (let radius = 2 * leastRadius; ; radius *= 1.5) {
    const row = grid.nearest(place, Math.min(radius, surroundings.most))
    if (row >= 0 || radius >= surroundings.most) return row
  }
}

/** Directions round a place, and the widest way out between them: of each tenth of a right angle the first and the last. */
export class Directions {
  private readonly first = new Float64Array(sectors).fill(Number.NaN)
  private readonly last = new Float64Array(sectors).fill(Number.NaN)

  add(da: number, db: number): void {
    const angle = Math.atan2(db, da)
    const sector = Math.min(sectors - 1, Math.floor(((angle + Math.PI) / (2 * Math.PI)) * sectors))
    if (!(angle >= this.first[sector]!)) this.first[sector] = angle
    if (!(angle <= this.last[sector]!)) this.last[sector] = angle
  }

  /** In radians; exact where it is wider than a sector. The whole circle without any direction. */
  widestOpen(): number {
    let widest = 0
    let before = Number.NaN
    let start = Number.NaN
    for (let sector = 0; sector < sectors; sector++) {
      const [first, last] = [this.first[sector]!, this.last[sector]!]
      if (Number.isNaN(first)) continue
      if (Number.isNaN(start)) start = first
      else widest = Math.max(widest, first - before)
      before = last
    }
    return Number.isNaN(start) ? 2 * Math.PI : Math.max(widest, start + 2 * Math.PI - before)
  }
}

/** The nearest step that lies behind the gap, as seen from `near`. There is one, since no way out is that wide. */
function oppositeOf(
  { a, b }: MapSteps,
  grid: SpotGrid,
  place: { a: number; b: number },
  near: number,
  around: number,
): number {
  const [da, db] = [a[near]! - place.a, b[near]! - place.b]
  let found = near
  let least = Number.POSITIVE_INFINITY
  grid.within(place, around, (row, distance) => {
    const along = (a[row]! - place.a) * da + (b[row]! - place.b) * db
    if (along >= 0 || distance >= least) return
    least = distance
    found = row
  })
  return found
}

/** The widest first, and then only those that look clearly different from each wider one and whose discs do not meet. */
function apartFromEachOther(found: readonly MapGap[]): MapGap[] {
  const kept: MapGap[] = []
  const taken = new NearestIndex([])
  for (const gap of found.toSorted((one, other) => other.nearest - one.nearest)) {
    if (kept.length === mostGaps) break
    const meets = kept.some(
      (other) => other.l === gap.l && Math.hypot(other.a - gap.a, other.b - gap.b) < other.radius + gap.radius,
    )
    if (meets) continue
    const [like] = kept.length > 0 ? taken.nearest(gap, { count: 1 }) : []
    if (like && like.de00 < 2 * leastApart) continue
    taken.insert({ id: kept.length, lab: gap })
    kept.push(gap)
  }
  return kept
}

function limits(values: Float64Array): [number, number] {
  let [from, to] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const value of values) {
    from = Math.min(from, value)
    to = Math.max(to, value)
  }
  return [from, to]
}
