import { differenceCiede2000 } from '../colour/difference.ts'
import { whites, type Xyz, xyzToLab } from '../colour/lab.ts'
import {
  type Sampling,
  type SpectralIlluminant,
  samplingFault,
  spectralWhite,
  spectrumToXyz,
} from '../colour/spectrum.ts'
import type { LightMatch, Metamerism } from '../records/match.ts'
import type { Reading, SpectrumRecord } from '../records/reading.ts'
import { couldBeSame } from './chance.ts'
import { compareReadings, differenceBound, isLike } from './compare.ts'
import { coloursOfStep, rankMatches } from './rank.ts'

export type MetamerismOptions = {
  /** The name that a light goes by. */
  readonly lightName: (lightId: string) => string
  /** dE00 up to which two colours count as the same. */
  readonly sameLimit: number
}

/** What spectra are summed under: the light that readings are told in first, then lamps and tubes. */
const summedUnder: readonly { readonly illuminant: SpectralIlluminant; readonly light: string }[] = [
  { illuminant: 'D50', light: 'daylight (D50)' },
  { illuminant: 'A', light: 'lamp light (A)' },
  { illuminant: 'F11', light: 'three-band tubes (F11)' },
]

/**
 * Whether a pair that matches in one light parts in another: from spectra where both have them, and from readings in
 * every light that both were read in. Null where that makes fewer than two lights.
 * @param reference  all readings of the reference, or of the step that is matched
 * @param candidate  all readings of the candidate's step
 */
export function metamerismOf(
  reference: readonly Reading[],
  candidate: readonly Reading[],
  options: MetamerismOptions,
): Metamerism | null {
  const [ours, theirs] = [reference.filter(isMeasured), candidate.filter(isMeasured)]
  const lights = [...bySpectra(ours, theirs, options), ...byReadings(ours, theirs, options)]
  return lights.length < 2 ? null : { words: wordsFor(lights), lights }
}

const isMeasured = ({ level }: Reading) => level !== 'predicted'

function wordsFor(lights: readonly LightMatch[]): string {
  const names = (some: readonly LightMatch[]) => some.map(({ light }) => light).join(', ')
  const same = lights.filter((one) => one.couldBeSame)
  const apart = lights.filter((one) => !one.couldBeSame)
  if (apart.length === 0) return `Could be the same in ${names(lights)}`
  if (same.length > 0) return `Could be the same in ${names(same)}, surely different in ${names(apart)}`
  const least = lights.reduce((a, b) => (b.de00 < a.de00 ? b : a))
  return `Surely different in every light, least in ${least.light}`
}

const samplingOf = ({ startNm, stepNm, values }: SpectrumRecord): Sampling => ({
  startNm,
  stepNm,
  count: values.length,
})
const spectrumOf = ({ spectrum }: Reading) => (spectrum && !samplingFault(samplingOf(spectrum)) ? spectrum : null)

type Pair = { readonly a: SpectrumRecord; readonly b: SpectrumRecord; readonly of: readonly [Reading, Reading] }

/** The two spectra most alike in view, stage and geometry, of these the surest. */
function bestPair(reference: readonly Reading[], candidate: readonly Reading[]): Pair | null {
  let best: { pair: Pair; worth: readonly [number, number] } | null = null
  for (const one of reference) {
    const a = spectrumOf(one)
    if (!a) continue
    for (const other of candidate) {
      const b = spectrumOf(other)
      if (!b) continue
      // spectra have no light or standard of their own
      const bare = { illuminant: 'D50', observer: '2', lightId: null } as const
      const { unlikeness } = compareReadings({ ...one, ...bare }, { ...other, ...bare })
      const worth = [unlikeness, Math.hypot(one.bound90, other.bound90)] as const
      if (!isLike(unlikeness) || (best && (worth[0] - best.worth[0] || worth[1] - best.worth[1]) >= 0)) continue
      best = { pair: { a, b, of: [one, other] }, worth }
    }
  }
  return best?.pair ?? null
}

function bySpectra(
  reference: readonly Reading[],
  candidate: readonly Reading[],
  { sameLimit }: MetamerismOptions,
): LightMatch[] {
  const pair = bestPair(reference, candidate)
  if (!pair) return []
  return summedUnder.map(({ illuminant, light }) => {
    const { de00, onceMatched } = changeOfLight(pair.a, pair.b, summedUnder[0]!.illuminant, illuminant)
    // the instrument's bound is that of its own standard; another light turns the same errors into as large ones
    const bound90 = differenceBound(...pair.of, de00)
    return { light, de00, bound90, couldBeSame: couldBeSame(de00, bound90, sameLimit), onceMatched }
  })
}

const xyzOf = (spectrum: SpectrumRecord, illuminant: SpectralIlluminant): Xyz =>
  spectrumToXyz(spectrum.values, illuminant, samplingOf(spectrum))

/** A flat spectrum is exactly neutral: XYZ are scaled to the published white as `spectrumToLab` does. */
function labOf(xyz: Xyz, illuminant: SpectralIlluminant) {
  const [summed, white] = [spectralWhite(illuminant), whites[illuminant]]
  return xyzToLab({ x: (xyz.x / summed.x) * white.x, y: xyz.y * white.y, z: (xyz.z / summed.z) * white.z }, white)
}

/**
 * Two spectra in another light than the one they were matched in, 2° observer.
 * @param from   the light of the match
 * @param under  the light they are seen in
 * @returns  `de00` as it is seen there; `onceMatched` what would be left had they matched in `from`: the candidate's
 *           XYZ are multiplied by what brings them onto the reference's in `from`. 0 for spectra that differ by a
 *           factor.
 * Source: special metamerism index for a change of illuminant, CIE 15:2018, 9.2.2.3, with the multiplicative correction
 * recommended there (also ISO 18314-4); the difference is CIEDE2000 instead of ΔE*ab, and the index is not scaled.
 */
export function changeOfLight(
  a: SpectrumRecord,
  b: SpectrumRecord,
  from: SpectralIlluminant,
  under: SpectralIlluminant,
): { de00: number; onceMatched: number } {
  const [matchA, matchB] = [xyzOf(a, from), xyzOf(b, from)]
  const [seenA, seenB] = [xyzOf(a, under), xyzOf(b, under)]
  // a colour without any light in it cannot be brought onto another by a factor
  const bring = (seen: number, to: number, of: number) => (of > 0 && to > 0 ? (seen * to) / of : seen)
  const matched = {
    x: bring(seenB.x, matchA.x, matchB.x),
    y: bring(seenB.y, matchA.y, matchB.y),
    z: bring(seenB.z, matchA.z, matchB.z),
  }
  const to = labOf(seenA, under)
  return {
    de00: differenceCiede2000(to, labOf(seenB, under)),
    onceMatched: differenceCiede2000(to, labOf(matched, under)),
  }
}

const views = ['face', 'near-glare', 'flop'] as const

/**
 * In one view, that with most lights: other views of a candy are other colours, and would be taken for the light's
 * doing.
 */
function byReadings(
  reference: readonly Reading[],
  candidate: readonly Reading[],
  options: MetamerismOptions,
): LightMatch[] {
  const found = views.map((view) => inView(reference, candidate, view, options))
  return found.reduce((most, some) => (some.length > most.length ? some : most))
}

function inView(
  reference: readonly Reading[],
  candidate: readonly Reading[],
  view: Reading['view'],
  { lightName, sameLimit }: MetamerismOptions,
): LightMatch[] {
  const ids = reference.flatMap(({ lightId }) => (lightId === null ? [] : [lightId]))
  return [...new Set(ids)].flatMap((lightId) => {
    const isHere = (reading: Reading) => reading.lightId === lightId && reading.view === view
    const theirs = candidate.filter(isHere).map(asCandidate)
    const ours = reference.filter(isHere).map(asCandidate)
    // one by one as well: two that lie in one photo compare better than means of several
    const colours = [...coloursOfStep(ours).map(({ seen }) => seen), ...ours.map(({ reading }) => reading)]
    const pairs = colours.flatMap((seen) => rankMatches(seen, theirs, { sameLimit, count: 1, likeOnly: true }))
    if (pairs.length === 0) return []
    const { de00, bound90, couldBeSame: could } = pairs.reduce((a, b) => (b.bound90 < a.bound90 ? b : a))
    return [{ light: lightName(lightId), de00, bound90, couldBeSame: could, onceMatched: null }]
  })
}

const asCandidate = (reading: Reading) => ({ stepId: '', panelCode: '', panelCreatedAt: '', reading })
