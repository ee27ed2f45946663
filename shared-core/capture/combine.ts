import { differenceCiede2000 } from '../colour/difference.ts'
import type { Lab } from '../colour/lab.ts'
import type { Reading } from '../records/reading.ts'
import type { WithErrors } from './shared-errors.ts'
import { covarianceOf, excessOf, meanOf, spreadFrom, weightsOf } from './weighted-mean.ts'

/** What combining needs to know of a reading. */
export type Combinable = WithErrors & Pick<Reading, 'id' | 'lab'>
export type Alike = Pick<Reading, 'view' | 'stage' | 'lightId' | 'illuminant' | 'observer' | 'geometry' | 'level'>

export type Outlier<R> = {
  readonly reading: R
  /** From the combined colour. */
  readonly de00: number
  /** 90 % bound of that difference, had nothing gone wrong. */
  readonly expected90: number
}

export type Combined<R> = {
  /** Under the illuminant and observer that the readings have in common. */
  readonly lab: Lab
  /** 90 % bound in dE00. */
  readonly bound90: number
  /** What of the bound averages down with more readings, and what does not: own² + shared² = bound90². */
  readonly own: number
  readonly shared: number
  /** The readings that the colour is the mean of, weights adding to 1, largest first. */
  readonly used: readonly { readonly reading: R; readonly weight: number }[]
  /** Left out, farthest first. */
  readonly outliers: readonly Outlier<R>[]
  /**
   * The readings used lie farther apart than their bounds allow, and none can be named as the wrong one: how far apart the
   * two that fit least lie, and the 90 % bound of that. Null where they fit.
   */
  readonly disagreement: { readonly de00: number; readonly expected90: number } | null
}

/**
 * From how many times the 90 % bound of a difference two readings are said not to fit. For errors alike in three
 * directions that is 3.75 σ, reached by 3 in 1,000 (χ² with 3 degrees of freedom); for errors in one direction 2.5 σ,
 * reached by 14 in 1,000 (normal distribution).
 */
export const misfit = 1.5

const mostRounds = 10

/**
 * Several readings of one colour as one.
 * The weighted mean of Lab whose weights make its bound smallest. Errors that readings share (one photo, one set-up) do
 * not average down; what is each reading's own does. Readings that lie farther from the others than `misfit` times their
 * bounds are left out and named, when three or more are there and more than half of them fit; otherwise all are used and
 * said to disagree. What the readings scatter beyond their bounds is added to the bound.
 * @param readings  one or more, alike as `likeReadings` makes them; their order does not matter
 * @throws RangeError when there is none
 * Source: weighted mean with common systematic errors: JCGM 100:2008 (GUM), 5.2.2 and H.2 (correlated input quantities);
 * inconsistent data: R. T. Birge, Phys. Rev. 40 (1932) 207–227; the scatter beyond the bounds as a variance between
 * readings: DerSimonian and Kacker, Contemp. Clin. Trials 28 (2007) 105–114 (general method of moments).
 */
export function combineReadings<R extends Combinable>(readings: readonly R[]): Combined<R> {
  const sorted = readings.length < 2 ? readings : readings.toSorted((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0))
  const [only] = sorted
  if (only === undefined) throw new RangeError('no reading to combine')
  if (sorted.length === 1) return byItself(only)
  const v = covarianceOf(sorted)
  const labs = sorted.map((reading) => reading.lab)
  const all = sorted.map((_, i) => i)
  const fit = largestFit(v, labs)
  const kept = fit ?? all
  const weights = weightsOf(v.whole, kept)
  const lab = meanOf(labs, weights)
  const excess = excessOf(v.whole, weights, labs, lab)
  let [whole, own] = [0, excess]
  for (const i of kept) {
    own += weights[i]! ** 2 * v.own[i]!
    for (const j of kept) whole += weights[i]! * weights[j]! * v.whole[i]![j]!
  }
  const bound90 = Math.sqrt(whole + excess)
  return {
    lab,
    bound90,
    own: Math.sqrt(Math.min(own, whole + excess)),
    shared: Math.sqrt(Math.max(0, whole + excess - own)),
    used: kept
      .map((i) => ({ reading: sorted[i]!, weight: weights[i]! }))
      .toSorted((a, b) => b.weight - a.weight || (a.reading.id < b.reading.id ? -1 : 1)),
    outliers: all
      .filter((i) => !kept.includes(i))
      .map((i) => ({
        reading: sorted[i]!,
        de00: differenceCiede2000(labs[i]!, lab),
        expected90: spreadFrom(v.whole, weights, i),
      }))
      .toSorted((a, b) => b.de00 - a.de00),
    disagreement: fit === null ? farthestPair(v.whole, labs) : null,
  }
}

function byItself<R extends Combinable>(reading: R): Combined<R> {
  const v = covarianceOf([reading])
  const own = Math.sqrt(v.own[0]!)
  const shared = Math.sqrt(Math.max(0, reading.bound90 ** 2 - own ** 2))
  const used = [{ reading, weight: 1 }]
  return { lab: reading.lab, bound90: reading.bound90, own, shared, used, outliers: [], disagreement: null }
}

function misfitOf(v: readonly number[][], labs: readonly Lab[], i: number, j: number) {
  const de00 = differenceCiede2000(labs[i]!, labs[j]!)
  const expected90 = Math.sqrt(Math.max(0, v[i]![i]! + v[j]![j]! - 2 * v[i]![j]!))
  return { de00, expected90, ratio: de00 === 0 ? 0 : de00 / expected90 }
}

/** The two that fit each other least. */
function farthestPair(v: readonly number[][], labs: readonly Lab[]) {
  let worst = misfitOf(v, labs, 0, 1)
  for (let i = 0; i < labs.length; i++)
    for (let j = i + 1; j < labs.length; j++) {
      const pair = misfitOf(v, labs, i, j)
      if (pair.ratio > worst.ratio) worst = pair
    }
  return { de00: worst.de00, expected90: worst.expected90 }
}

/**
 * The readings that fit together: starting from the one that most others fit, those that fit the mean of the rest, until
 * nothing changes. Null when that is not more than half of them.
 */
function largestFit(v: { whole: number[][] }, labs: readonly Lab[]): number[] | null {
  const n = labs.length
  const pairs = labs.map((_, i) => labs.map((__, j) => (j <= i ? 0 : misfitOf(v.whole, labs, i, j).ratio)))
  const pair = (i: number, j: number) => (i < j ? pairs[i]![j]! : pairs[j]![i]!)
  const all = labs.map((_, i) => i)
  if (all.every((i) => all.every((j) => pair(i, j) <= misfit))) return all
  if (n === 2) return null
  const heart = all
    .map((i) => ({
      i,
      fits: all.filter((j) => pair(i, j) <= misfit).length,
      sum: all.reduce((sum, j) => sum + Math.min(pair(i, j), misfit), 0),
    }))
    .toSorted((a, b) => b.fits - a.fits || a.sum - b.sum || a.i - b.i)[0]!.i
  let kept = all.filter((j) => pair(heart, j) <= misfit)
  for (let round = 0; round < mostRounds; round++) {
    const next = all.filter((i) => {
      const rest = kept.filter((j) => j !== i)
      if (rest.length === 0) return true
      const weights = weightsOf(v.whole, rest)
      const expected = spreadFrom(v.whole, weights, i)
      return differenceCiede2000(labs[i]!, meanOf(labs, weights)) <= misfit * expected
    })
    if (next.length === kept.length && next.every((i, at) => i === kept[at])) break
    kept = next
  }
  return kept.length * 2 > n ? kept : null
}

const kindOf = ({ view, stage, illuminant, observer, geometry, level }: Alike): string => {
  const how = level === 'predicted' || geometry.startsWith('d:8') ? `${level === 'predicted'} ${geometry}` : ''
  return `${view} ${stage} ${illuminant} ${observer} ${how}`
}

/**
 * Readings of one step, sorted into those that are of one colour: same view, stage, illuminant and observer, a sphere
 * apart from the rest, a prediction apart from what was sprayed, and the same light. A reading whose light nobody named
 * goes with the others when these name one light only; otherwise such readings stand by themselves.
 * @returns groups in the order in which their first reading comes, each in the order given
 */
export function likeReadings<R extends Alike>(readings: readonly R[]): R[][] {
  const kinds = readings.map(kindOf)
  // by kind: the one light that is named, null before any is, false once there are two
  const lights = new Map<string, string | null | false>()
  readings.forEach(({ lightId }, i) => {
    const known = lights.get(kinds[i]!) ?? null
    if (known === null) lights.set(kinds[i]!, lightId)
    else if (lightId !== null && known !== lightId) lights.set(kinds[i]!, false)
  })
  const groups = new Map<string, R[]>()
  readings.forEach((reading, i) => {
    const light = reading.lightId ?? (lights.get(kinds[i]!) || '')
    const key = `${kinds[i]} ${light}`
    const group = groups.get(key)
    if (group) group.push(reading)
    else groups.set(key, [reading])
  })
  return [...groups.values()]
}
