import { sharedSquare, type WithErrors } from '../capture/shared-errors.ts'
import { adapt } from '../colour/adaptation.ts'
import { type DifferenceWeights, differenceCiede2000 } from '../colour/difference.ts'
import { type Lab, labToXyz, whites, xyzToLab } from '../colour/lab.ts'
import type { Geometry, Illuminant, Observer, Stage } from '../records/colour.ts'
import type { Reading } from '../records/reading.ts'

/** What comparing two readings needs to know of each. */
export type Comparable = WithErrors &
  Pick<Reading, 'lab' | 'illuminant' | 'observer' | 'geometry' | 'level' | 'view' | 'stage' | 'lightId'>

/** Under what a reading was taken: all that says whether two are alike. */
export type Circumstances = Pick<Comparable, 'illuminant' | 'observer' | 'geometry' | 'view' | 'stage' | 'lightId'>

export type Comparison = {
  /** Both colours as they were compared: as given where illuminant and observer agree, else brought to D50. */
  readonly from: Lab
  readonly to: Lab
  readonly de00: number
  /** 90 % bound of the difference. */
  readonly bound90: number
  /** What is not alike, in words, the candidate named first. */
  readonly unlike: readonly string[]
  /** How unlike they are, see `unlikenessOf`; 0 when like is compared with like. */
  readonly unlikeness: number
}

/**
 * How much it counts that two readings are not alike in something: one heavier thing outweighs all lighter ones
 * together, so that sums put readings in order by the heaviest in which they differ. The order is common practice, no
 * source: another view of a candy over metal is another colour altogether, clear deepens a colour and a wet film is not
 * yet what it will be, a sphere sees gloss and flake otherwise, another standard is in the bound already, and another
 * light is mostly taken out by the card. What is cured is hardly different from what is cleared.
 */
export const unlikenessOf = { view: 32, clear: 16, geometry: 8, standard: 4, light: 2, cure: 1 } as const

/** Alike in all but the days that a clear has hardened. */
export const isLike = (unlikeness: number): boolean => unlikeness <= unlikenessOf.cure

/**
 * How far Lab under another illuminant or observer may lie from Lab D50, 2° of the same paint (90 %, dE00), once
 * brought over as `toD50` does. What is lost is metamerism, and no arithmetic on three numbers brings it back.
 * D65: 0.8 and 2.5 are common practice, no source. The others were worked out from spectra
 * (test/published/crossing.test.ts), 90th percentile over 1,240 films of 62 dyes in four strengths on five metals and
 * 24 chart patches (absorption and reflectance of open data sets, CIE observers and illuminants, 380–730 nm), rounded
 * up to 0.5. On these strong dyes D65 itself reaches 1.4 and 3.8. C has no spectrum there: it is taken as twice as far
 * as D65.
 */
const crossing: Record<Illuminant, Record<Observer, number>> = {
  D50: { '2': 0, '10': 4 },
  D65: { '2': 0.8, '10': 2.5 },
  A: { '2': 4, '10': 6.5 },
  C: { '2': 1.6, '10': 5 },
  F2: { '2': 8, '10': 9 },
  F11: { '2': 5.5, '10': 5.5 },
  'LED-B3': { '2': 4, '10': 5.5 },
}

/**
 * What another measuring geometry adds: a sphere gathers light from every side, so gloss and flake count otherwise than
 * at 45°. The figure is from memory, no source; it is a reminder rather than a bound for strong flake.
 */
const geometryCrossing = 3

/**
 * How far apart two colours lie when nothing of a shared error cancels any more, in dE00. Light, camera and card err
 * alike for like colours: the nearer the colours, the more cancels. On nine chart photos read with their grey patch
 * alone, the 90th percentile of the error of a difference was 0.48 of hypot(bounds) at differences of 8–12 dE00, 0.72
 * at 12–16, 0.85 at 16–20 and 1.2 beyond (each patch's bound being the 90th percentile of its photo's errors): near
 * enough de00 / 20.
 */
const sharedSpan = 20

/**
 * A reading's Lab brought to D50: for the 2° observer by Bradford adaptation of its XYZ, for the 10° observer the
 * numbers as they are, each being relative to its own white.
 */
export function toD50(reading: Pick<Comparable, 'lab' | 'illuminant' | 'observer'>): Lab {
  if (reading.illuminant === 'D50' || reading.observer === '10') return reading.lab
  const white = whites[reading.illuminant]
  return xyzToLab(adapt(labToXyz(reading.lab, white), white, whites.D50), whites.D50)
}

const isCleared = (stage: Stage) => stage === 'cleared' || stage === 'cured'
const isSphere = (geometry: Geometry) => geometry === 'd:8-included' || geometry === 'd:8-excluded'
const standard = (r: Circumstances) => `${r.illuminant}, ${r.observer}°`
const viewWords = { 'near-glare': 'near the glare', face: 'face', flop: 'flop' } as const

function stageWords(reference: Stage, candidate: Stage): string {
  if (isCleared(reference) === isCleared(candidate)) return `${candidate} against ${reference}`
  return isCleared(candidate) ? 'cleared against uncleared' : 'uncleared against cleared'
}

function stageWeight(reference: Stage, candidate: Stage): number {
  const isOneKind = isCleared(reference) && isCleared(candidate)
  return isOneKind ? unlikenessOf.cure : unlikenessOf.clear
}

function isOtherGeometry(reference: Circumstances, candidate: Circumstances): boolean {
  const [a, b] = [reference.geometry, candidate.geometry]
  return (isSphere(a) || isSphere(b)) && a !== b
}

type Unlike = { readonly weight: number; readonly words: string }

function unlikeThings(reference: Circumstances, candidate: Circumstances): Unlike[] {
  const found: Unlike[] = []
  const say = (weight: number, words: string) => found.push({ weight, words })
  if (reference.view !== candidate.view)
    say(unlikenessOf.view, `other view: ${viewWords[candidate.view]} against ${viewWords[reference.view]}`)
  if (reference.stage !== candidate.stage)
    say(stageWeight(reference.stage, candidate.stage), stageWords(reference.stage, candidate.stage))
  if (reference.lightId !== null && candidate.lightId !== null && reference.lightId !== candidate.lightId)
    say(unlikenessOf.light, 'other light')
  if (standard(reference) !== standard(candidate))
    say(unlikenessOf.standard, `${standard(candidate)} against ${standard(reference)}`)
  if (isOtherGeometry(reference, candidate))
    say(unlikenessOf.geometry, `other geometry: ${candidate.geometry} against ${reference.geometry}`)
  return found
}

const weightOf = (unlike: readonly Unlike[]): number => unlike.reduce((sum, { weight }) => sum + weight, 0)

/** How unlike two readings are, see `unlikenessOf`; 0 when like is compared with like. */
export const unlikenessBetween = (reference: Circumstances, candidate: Circumstances): number =>
  weightOf(unlikeThings(reference, candidate))

/**
 * 90 % bound of the difference of two colours under one standard, each with its own errors and those it shares with all
 * of its photo or set-up. Own errors add as squares. Of shared ones the part that both have alike cancels: two colours
 * `de00` apart err alike with the correlation 1 − (de00 / 20)², which leaves de00 / 20 of hypot(both) where both are as
 * large. What is shared is so only by readings of one photo, or of one set-up; photos without a set-up count as
 * strangers.
 * @param a, b  a reading with its parts, or with its shared sizes as numbers, or a combined colour with its readings
 * (`mean`)
 * @param de00  how far apart they lie
 * @returns     dE00, symmetric in a and b
 */
export function differenceBound(a: WithErrors, b: WithErrors, de00: number): number {
  const apart = Math.min(1, de00 / sharedSpan)
  const cancelled = apart < 1 ? 2 * (1 - apart ** 2) * sharedSquare(a, b) : 0
  return Math.sqrt(Math.max(0, a.bound90 ** 2 + b.bound90 ** 2 - cancelled))
}

/**
 * What weights do to a bound: the root of the mean of 1 / k² over the three directions, since an error counts in each
 * as much as a difference does. Exact when the three weights are alike, else the bound of a ball with the same mean
 * square.
 */
const boundUnder = ({ kL, kC, kH }: DifferenceWeights): number => Math.sqrt((kL ** -2 + kC ** -2 + kH ** -2) / 3)

/**
 * Compares a candidate with a reference.
 * The bound is that of `differenceBound`, larger when illuminant, observer or geometry differ. View, stage and light
 * are said in words and do not change it: there the paint itself looks different.
 * @param weights  dE00 and bound are of the difference so weighed; left out: 1 : 1 : 1
 */
export function compareReadings(
  reference: Comparable,
  candidate: Comparable,
  weights: DifferenceWeights | null = null,
): Comparison {
  const isOneStandard = reference.illuminant === candidate.illuminant && reference.observer === candidate.observer
  const from = isOneStandard ? reference.lab : toD50(reference)
  const to = isOneStandard ? candidate.lab : toD50(candidate)
  const plain = differenceCiede2000(from, to)
  const bound90 = Math.hypot(
    differenceBound(reference, candidate, plain),
    isOneStandard ? 0 : crossing[reference.illuminant][reference.observer],
    isOneStandard ? 0 : crossing[candidate.illuminant][candidate.observer],
    isOtherGeometry(reference, candidate) ? geometryCrossing : 0,
  )
  const unlike = unlikeThings(reference, candidate)
  return {
    from,
    to,
    de00: weights ? differenceCiede2000(from, to, weights) : plain,
    bound90: weights ? bound90 * boundUnder(weights) : bound90,
    unlike: unlike.map(({ words }) => words),
    unlikeness: weightOf(unlike),
  }
}
