import { differenceCiede2000 } from '../colour/difference.ts'
import type { Lab } from '../colour/lab.ts'
import { xyzToLab } from '../colour/lab.ts'
import { apply3 } from '../colour/matrix.ts'
import type { RgbProfile } from '../colour/profile.ts'
import type { Quad, Shape } from '../records/area.ts'
import type { Exposure } from '../records/exposure.ts'
import type { Caution } from '../records/photo.ts'
import type { SetupFit } from '../records/setup.ts'
import { lightOf } from './camera/fit.ts'
import { homographyBetween, isConvex, mapPoint, outlineOf, pointInQuad, shrinkQuad, unitSquare } from './geometry.ts'
import type { Triple } from './pixels.ts'
import { quantile } from './statistics.ts'
import type { Survey } from './surroundings.ts'
import { words } from './words.ts'

/**
 * Light of a lamp or of daylight as seen by a camera balanced for another lies along this direction: natural logarithms of
 * red over green and blue over green. Planck's law between 2,500 K and 10,000 K in linear sRGB goes from (1.0, −1.7) to
 * (−0.1, 0.4); it is nearly straight.
 */
const alongLights = { red: -0.49, blue: 0.87 }
/** A lamp of 2,500 K under a balance for daylight, or the other way round, and some more for the camera's own way. */
const mostAlong = 1.9
/** Off that line lie tubes, cheap LEDs (greenish or pinkish) and the camera's errors: a tube without balance is 0.4 off. */
const mostAcross = 1
/** Where what lies around is neutral in the file, the camera has found the light's colour: a card this far off is tinted. */
const mostFromNeutral = 0.75
const neutralReach = 0.12
const neutralShare = 0.5
const leastBlocks = 150

/**
 * Whether what is marked as the card can be neutral. One photo alone cannot tell a tinted card from a tinted light, so
 * only what is beyond anything that lights do is told.
 * @param gain  per channel, with which the card's light becomes its known colour
 */
export function cardNeutrality(gain: Triple, survey: Pick<Survey, 'blocks'>, outlines: Quad[]): Caution | null {
  const red = Math.log(gain[1] / gain[0])
  const blue = Math.log(gain[1] / gain[2])
  const length = Math.hypot(alongLights.red, alongLights.blue)
  const along = (red * alongLights.red + blue * alongLights.blue) / length
  const across = (red * alongLights.blue - blue * alongLights.red) / length
  if (Math.abs(across) > mostAcross || Math.abs(along) > mostAlong) return words.cardNotNeutral
  if (Math.hypot(red, blue) < mostFromNeutral) return null
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.15))
  const blocks = survey.blocks.filter(({ middle }) => !around.some((quad) => pointInQuad(middle, quad)))
  const neutral = blocks.filter(
    ({ mean: [r, g, b] }) => Math.hypot(Math.log(r / g), Math.log(b / g)) < neutralReach,
  ).length
  return blocks.length >= leastBlocks && neutral > neutralShare * blocks.length ? words.cardNotNeutral : null
}

/** Card and paint as bright and coloured as this close (natural logarithm per channel) are one surface. */
const sameSurface = 0.03

/**
 * Whether the card was marked on the paint itself: it lies inside an area, and looks just as that does.
 * @param areas  each with the linear light of its paint
 */
export function cardOnPaint(
  card: { quad: Quad; light: Triple },
  areas: { shape: Shape; light: Triple }[],
): Caution | null {
  const middle = mapPoint(homographyBetween(unitSquare, card.quad), [0.5, 0.5])
  const same = areas.some(
    ({ shape, light }) =>
      pointInQuad(middle, outlineOf(shape)) &&
      light.every((v, c) => Math.abs(Math.log(Math.max(v, 1e-9) / Math.max(card.light[c]!, 1e-9))) < sameSurface),
  )
  return same ? words.cardOnPaint : null
}

export type CardAgainst = { check: 'agrees' | 'disagrees'; de00: number; caution: Caution | null }

/**
 * Cards and tiles of a workshop are within 1 or 2 dE00 of their figures, and light differs by a few percent (1 dE00) from
 * where the card lies to where the other thing lies: this much is agreement (common practice, no source).
 */
const agreeing = 4
/** Beyond this one of them is not what it is taken for, or lies in another light. */
const disagreeing = 8

/**
 * Holds the card against what something else of known colour predicts of it.
 * @param predicted  linear light that the card should have in the file, by chart, tiles or set-up
 * @param measured   linear light that it has
 * @returns          dE00 of the card's colour as the other thing would read it from the colour that was entered for it
 */
export function cardAgainst(predicted: Triple, measured: Triple, cardLab: Lab, profile: RgbProfile): CardAgainst {
  const target = lightOf(cardLab, profile)
  const read = ([0, 1, 2] as const).map((c) => (target[c] * measured[c]) / Math.max(predicted[c], 1e-6))
  const [x, y, z] = apply3(profile.toXyzD50, [read[0]!, read[1]!, read[2]!])
  const de00 = differenceCiede2000(cardLab, xyzToLab({ x, y, z }))
  if (de00 <= agreeing) return { check: 'agrees', de00, caution: null }
  return { check: 'disagrees', de00, caution: de00 > disagreeing ? words.cardDisagrees : words.cardDisagreesALittle }
}

/** A diffuse white would lie this far above the file's limit in red, green and blue alike: more than a whole stop … */
const whiteBeyond = 2
/** … and this share of the photo has in fact run into white. */
const shareWhite = 0.02

/** Whether bright places have run into white, by the card: areas that look whole are then bent by the camera's shoulder. */
export const overexposedByCard = (gain: Triple, survey: Pick<Survey, 'white'>): Caution | null =>
  1 / Math.max(...gain) > whiteBeyond && survey.white > shareWhite ? words.brightPlacesLost : null

/** What the camera's balance does by itself from picture to picture in one light; more is told. */
const balanceDrift = Math.log(1.12)
/** Another light rather than another mood of the balance. */
const otherLight = Math.log(1.5)
/** Stops between what EXIF and the card say of the light: clouds, dimmers, a lamp moved. */
const lightStops = 1
/** Without a card nothing takes another exposure out. */
const exposureStops = 0.15
const focalTolerance = 0.06

/**
 * How a photo differs from the photo of the chart that its set-up was learnt from. Another exposure is normal where there
 * is a card to take it out, and is not told.
 * @param now  linear light of the card (null: none is marked) and what EXIF says
 */
export function setupDrift(fit: SetupFit, now: { card: Triple | null; exposure: Exposure }): Caution[] {
  const cautions: Caution[] = []
  const then = fit.exposure
  const name = (camera: string | null) => camera?.trim().toLowerCase().replace(/\s+/g, ' ') ?? null
  const cameras = [name(then.camera), name(now.exposure.camera)]
  if (cameras[0] && cameras[1] && cameras[0] !== cameras[1]) cautions.push(words.setupOtherCamera)
  else if (differs(then.focalLengthMm, now.exposure.focalLengthMm, focalTolerance)) cautions.push(words.setupOtherLens)
  const stops = stopsBetween(then, now.exposure)
  const drift = driftOf(fit.card, now.card)
  if (!now.card) {
    if (stops !== null && Math.abs(stops) > exposureStops) cautions.push(words.setupOtherExposure)
    else if (now.exposure.whiteBalance === 'auto') cautions.push(words.setupNoCardAuto)
  } else if (drift) {
    const lit = stops === null ? 0 : drift.stops - stops
    if (drift.balance > otherLight) cautions.push(words.setupOtherLight)
    else if (drift.balance > balanceDrift || Math.abs(lit) > lightStops) cautions.push(words.setupDrifted)
    else if (then.whiteBalance === 'manual' && now.exposure.whiteBalance === 'auto')
      cautions.push(words.setupAutoBalance)
  }
  return cautions
}

const differs = (a: number | null, b: number | null, tolerance: number): boolean =>
  a !== null && b !== null && a > 0 && b > 0 && Math.abs(Math.log(a / b)) > tolerance

/** How many times twice as much light the later photo let in, by its settings. */
function stopsBetween(then: Exposure, now: Exposure): number | null {
  const of = ({ exposureS, fNumber, iso }: Exposure) =>
    exposureS && iso ? Math.log2(exposureS * iso) - 2 * Math.log2(fNumber ?? 1) : null
  const [a, b] = [of(then), of(now)]
  const bothStops = (then.fNumber === null) === (now.fNumber === null)
  return a === null || b === null || !bothStops ? null : b - a
}

function driftOf(then: Triple, now: Triple | null): { balance: number; stops: number } | null {
  if (!now || Math.min(...then) <= 0 || Math.min(...now) <= 0) return null
  const steps = now.map((v, c) => Math.log(v / then[c]!))
  const [red, green, blue] = [steps[0]!, steps[1]!, steps[2]!]
  return {
    balance: Math.max(Math.abs(red - green), Math.abs(blue - green), Math.abs(red - blue)),
    stops: quantile(steps, 0.5) / Math.LN2,
  }
}
