import { sharedSquare, type WithErrors } from '../capture/shared-errors.ts'
import { adapt } from '../colour/adaptation.ts'
import { differenceCiede2000 } from '../colour/difference.ts'
import { type Lab, labToXyz, whites, xyzToLab } from '../colour/lab.ts'
import type { Geometry, Illuminant, Observer, Stage } from '../records/colour.ts'
import type { Reading } from '../records/reading.ts'

/** What comparing two readings needs to know of each. */
export type Comparable = WithErrors &
  Pick<Reading, 'lab' | 'illuminant' | 'observer' | 'geometry' | 'level' | 'view' | 'stage' | 'lightId'>

export type Comparison = {
  /** Both colours as they were compared: as given where illuminant and observer agree, else brought to D50. */
  readonly from: Lab
  readonly to: Lab
  readonly de00: number
  /** 90 % bound of the difference. */
  readonly bound90: number
  /** What is not alike, in words, the candidate named first. */
  readonly unlike: readonly string[]
}

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
 * How far apart two colours lie when nothing of a shared error cancels any more, in dE00. Light, camera and card err alike
 * for like colours: the nearer the colours, the more cancels. On nine chart photos read with their grey patch alone, the
 * 90th percentile of the error of a difference was 0.48 of hypot(bounds) at differences of 8–12 dE00, 0.72 at 12–16,
 * 0.85 at 16–20 and 1.2 beyond (each patch's bound being the 90th percentile of its photo's errors): near enough de00 / 20.
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
const standard = (r: Comparable) => `${r.illuminant}, ${r.observer}°`
const viewWords = { 'near-glare': 'near the glare', face: 'face', flop: 'flop' } as const

function stageWords(reference: Stage, candidate: Stage): string {
  if (isCleared(reference) === isCleared(candidate)) return `${candidate} against ${reference}`
  return isCleared(candidate) ? 'cleared against uncleared' : 'uncleared against cleared'
}

function isOtherGeometry(reference: Comparable, candidate: Comparable): boolean {
  const [a, b] = [reference.geometry, candidate.geometry]
  return (isSphere(a) || isSphere(b)) && a !== b
}

function unlikeWords(reference: Comparable, candidate: Comparable): string[] {
  const words: string[] = []
  if (reference.view !== candidate.view)
    words.push(`other view: ${viewWords[candidate.view]} against ${viewWords[reference.view]}`)
  if (reference.stage !== candidate.stage) words.push(stageWords(reference.stage, candidate.stage))
  if (reference.lightId !== null && candidate.lightId !== null && reference.lightId !== candidate.lightId)
    words.push('other light')
  if (standard(reference) !== standard(candidate)) words.push(`${standard(candidate)} against ${standard(reference)}`)
  if (isOtherGeometry(reference, candidate))
    words.push(`other geometry: ${candidate.geometry} against ${reference.geometry}`)
  return words
}

/**
 * 90 % bound of the difference of two colours under one standard, each with its own errors and those it shares with all of its
 * photo or set-up. Own errors add as squares. Of shared ones the part that both have alike cancels: two colours `de00`
 * apart err alike with the correlation 1 − (de00 / 20)², which leaves de00 / 20 of hypot(both) where both are as large.
 * What is shared is so only by readings of one photo, or of one set-up; photos without a set-up count as strangers.
 * @param a, b  a reading with its parts, or with its shared sizes as numbers, or a combined colour with its readings (`mean`)
 * @param de00  how far apart they lie
 * @returns     dE00, symmetric in a and b
 */
export function differenceBound(a: WithErrors, b: WithErrors, de00: number): number {
  const apart = Math.min(1, de00 / sharedSpan)
  const cancelled = apart < 1 ? 2 * (1 - apart ** 2) * sharedSquare(a, b) : 0
  return Math.sqrt(Math.max(0, a.bound90 ** 2 + b.bound90 ** 2 - cancelled))
}

/**
 * Compares a candidate with a reference.
 * The bound is that of `differenceBound`, larger when illuminant, observer or geometry differ. View, stage and light are said
 * in words and do not change it: there the paint itself looks different.
 */
export function compareReadings(reference: Comparable, candidate: Comparable): Comparison {
  const isOneStandard = reference.illuminant === candidate.illuminant && reference.observer === candidate.observer
  const from = isOneStandard ? reference.lab : toD50(reference)
  const to = isOneStandard ? candidate.lab : toD50(candidate)
  const de00 = differenceCiede2000(from, to)
  const bound90 = Math.hypot(
    differenceBound(reference, candidate, de00),
    isOneStandard ? 0 : crossing[reference.illuminant][reference.observer],
    isOneStandard ? 0 : crossing[candidate.illuminant][candidate.observer],
    isOtherGeometry(reference, candidate) ? geometryCrossing : 0,
  )
  return { from, to, de00, bound90, unlike: unlikeWords(reference, candidate) }
}
