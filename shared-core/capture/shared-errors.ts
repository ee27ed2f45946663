import type { BoundPart, Reading } from '../records/reading.ts'

/** What is needed of a reading to know which of its errors another reading has as well. */
export type WithErrors = Pick<Reading, 'bound90' | 'photoId' | 'setupId'> & {
  readonly parts?: readonly BoundPart[]
  /** hypot of the parts shared by the photo and by the set-up, where they are kept as numbers; null: not said. */
  readonly sharedPhoto?: number | null
  readonly sharedSetup?: number | null
  /** A combined colour: the readings that it is the weighted mean of. */
  readonly mean?: readonly Weighted[]
}
export type Weighted = { readonly weight: number; readonly of: WithErrors }

/** A reading's bound taken apart, 90 % in dE00: own² + photo² + setup² = bound90². */
export type Shares = { readonly own: number; readonly photo: number; readonly setup: number }

/**
 * Causes of a reading that says of none of its parts whether it is shared: light, camera and card are those of the whole
 * photo, grain, glare and the place of the area are its own.
 */
const causesOfPhoto: ReadonlySet<string> = new Set(['camera', 'card', 'card-noise', 'mixed-light', 'uncalibrated'])

/**
 * What is the reading's own where neither parts nor numbers say: a fifth of its bound. Set by judgement: unevenness and
 * grain are never shared.
 */
const ownUnsaid = 0.2

/** hypot of the parts of one kind; parts of readings that do not say what they share go by their cause. */
export function sharedSize(parts: readonly BoundPart[], by: 'photo' | 'set-up'): number {
  const isSaid = parts.some((part) => part.shared !== undefined)
  let sum = 0
  for (const part of parts) {
    const shared = isSaid ? part.shared : causesOfPhoto.has(part.cause) ? 'photo' : undefined
    if (shared === by) sum += part.de00 ** 2
  }
  return Math.sqrt(sum)
}

function photoSize(reading: WithErrors): number {
  if (typeof reading.sharedPhoto === 'number') return reading.sharedPhoto
  if (reading.photoId === null) return 0
  if (reading.parts && reading.parts.length > 0) return sharedSize(reading.parts, 'photo')
  return reading.bound90 * Math.sqrt(1 - ownUnsaid ** 2)
}

function setupSize(reading: WithErrors): number {
  if (typeof reading.sharedSetup === 'number') return reading.sharedSetup
  return reading.parts ? sharedSize(reading.parts, 'set-up') : 0
}

/**
 * How much of a reading's bound is its own, its photo's and its set-up's. What the parts leave of the bound counts as
 * its own; where they are more than the bound they are scaled down to it.
 */
export function sharesOf(reading: WithErrors): Shares {
  let photo = photoSize(reading)
  let setup = setupSize(reading)
  const shared = Math.hypot(photo, setup)
  if (shared > reading.bound90) {
    photo *= reading.bound90 / shared
    setup *= reading.bound90 / shared
  }
  return { own: Math.sqrt(Math.max(0, reading.bound90 ** 2 - photo ** 2 - setup ** 2)), photo, setup }
}

export const isOnePhoto = (a: WithErrors, b: WithErrors): boolean => a.photoId !== null && a.photoId === b.photoId
export const isOneSetup = (a: WithErrors, b: WithErrors): boolean =>
  isOnePhoto(a, b) || (typeof a.setupId === 'string' && a.setupId === b.setupId)

/**
 * What the errors of two readings have in common: the product of their shared sizes, for each source that both have.
 * For a combined colour the weighted mean of what its readings have in common with the other.
 * @returns dE00², 0 when nothing is shared; a covariance in units of 90 % bounds
 */
export function sharedSquare(a: WithErrors, b: WithErrors): number {
  if (a.mean) return a.mean.reduce((sum, { weight, of }) => sum + weight * sharedSquare(of, b), 0)
  if (b.mean) return sharedSquare(b, a)
  const [onePhoto, oneSetup] = [isOnePhoto(a, b), isOneSetup(a, b)]
  if (!onePhoto && !oneSetup) return 0
  const [of, other] = [sharesOf(a), sharesOf(b)]
  return (onePhoto ? of.photo * other.photo : 0) + (oneSetup ? of.setup * other.setup : 0)
}
