import type { CheckOutcome } from '../records/customer-job.ts'
import type { Reading } from '../records/reading.ts'
import { type Candidate, type Ranked, rankMatches } from './rank.ts'

/** A check panel as it is compared: its steps, and their readings. */
export type CheckSeen = {
  checkId: string
  panelId: string
  code: string
  steps: readonly { id: string; coats: number }[]
  readings: readonly Reading[]
}

type Found = { ranked: Ranked<Candidate & { reading: Reading }>; reference: Reading }

const onePhoto =
  'Photograph reference and check panel in one picture: what light, camera and card get wrong is then the same for both, and cancels.'

/** How a check panel came out, and the two readings that say so; null where either is missing. */
export type Judged = { outcome: CheckOutcome; pair: { check: Reading; reference: Reading } | null }

/**
 * A check panel beside the reference. The step is that of the job's coats, else the nearest in coats; of several readings of
 * the reference the one that lies in a photo with the check panel counts, else the one most like it.
 * @param tolerance  dE00 that the check panel may lie from the reference
 */
export function judgeCheck(
  check: CheckSeen,
  references: readonly Reading[],
  wantedCoats: number,
  tolerance: number,
): Judged {
  const step = check.steps.toSorted(
    (a, b) => Math.abs(a.coats - wantedCoats) - Math.abs(b.coats - wantedCoats) || b.coats - a.coats,
  )[0]
  const { checkId, panelId, code } = check
  const base = { checkId, panelId, code, stepId: step?.id ?? '', coats: step?.coats ?? wantedCoats }
  const readings = check.readings.filter(({ stepId }) => stepId === step?.id)
  const found = bestOf(check, readings, references)
  if (!found) {
    const missing =
      references.length === 0 ? 'The reference has no reading yet.' : 'The check panel has not been read yet.'
    const unread = { de00: null, bound90: null, words: missing, verdict: 'not-read', inOnePhoto: false } as const
    return { outcome: { ...base, ...unread, advice: onePhoto }, pair: null }
  }
  const { de00, bound90, words, candidate, unlike } = found.ranked
  const verdict = de00 + bound90 <= tolerance ? 'within' : de00 - bound90 > tolerance ? 'beyond' : 'doubtful'
  const inOnePhoto = isOnePhoto(candidate.reading, found.reference)
  const otherwise = [
    ...(base.coats === wantedCoats ? [] : [`It has ${base.coats} coats, the job ${wantedCoats}.`]),
    ...(unlike.length > 0 ? [`Not alike: ${unlike.join(', ')}.`] : []),
  ]
  const outcome: CheckOutcome = {
    ...base,
    de00,
    bound90,
    words: [`${words}.`, ...otherwise].join(' '),
    verdict,
    inOnePhoto,
    advice: adviceFor(verdict, shouldBeTogether(candidate.reading, found.reference)),
  }
  return { outcome, pair: { check: candidate.reading, reference: found.reference } }
}

function adviceFor(verdict: CheckOutcome['verdict'], isBetterTogether: boolean): string {
  if (isBetterTogether) return onePhoto
  if (verdict === 'doubtful') return 'Read it once more, or judge panel against reference under the customer’s light.'
  return 'Judge panel against reference under the customer’s light before you spray the part.'
}

/** A photo is in it, and not both in one: instruments have no light to share. */
export const shouldBeTogether = (a: Reading, b: Reading): boolean =>
  !isOnePhoto(a, b) && (a.photoId !== null || b.photoId !== null)

const isOnePhoto = (a: Reading, b: Reading): boolean => a.photoId !== null && a.photoId === b.photoId

function bestOf(check: CheckSeen, readings: readonly Reading[], references: readonly Reading[]): Found | null {
  const asCandidate = (reading: Reading) => ({
    stepId: reading.stepId ?? '',
    panelCode: check.code,
    panelCreatedAt: '',
    reading,
  })
  const found = references.flatMap((reference): Found[] => {
    // in one photo they are compared by themselves: a mean with other photos would bring their errors back
    const together = readings.filter((reading) => isOnePhoto(reading, reference))
    const some = together.length > 0 ? together : readings
    const [ranked] = rankMatches(reference, some.map(asCandidate), { sameLimit: 0, count: 1 })
    return ranked ? [{ ranked, reference }] : []
  })
  const rank = ({ ranked, reference }: Found): number[] => [
    isOnePhoto(ranked.candidate.reading, reference) ? 0 : 1,
    ranked.unlike.length,
    ranked.bound90,
  ]
  return found.toSorted((a, b) => firstDifference(rank(a), rank(b)))[0] ?? null
}

const firstDifference = (a: readonly number[], b: readonly number[]): number =>
  a.map((value, i) => value - (b[i] ?? 0)).find((apart) => apart !== 0) ?? 0
