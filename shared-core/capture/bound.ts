import { type Lab, lightnessOf } from '../colour/lab.ts'
import type { BoundPart } from '../records/reading.ts'
import type { Calibration } from './card.ts'
import type { Grid } from './grid.ts'
import type { Paint } from './paint.ts'
import type { Triple } from './pixels.ts'

/**
 * The parts of a reading's 90 % bound. Each is a plain formula of what was seen in the photo. The numbers in `size` were
 * set once for all, as the 0.9 quantile of the error (its check loss: Koenker and Bassett, Econometrica 46 (1978) 33–50)
 * over rendered photos and open photos of colour charts whose colours are known (`bench -- capture`, `bench -- photos`),
 * and rounded. They hold for about nineteen in twenty rendered readings and eight in ten chart patches: real cameras bend
 * tone more than the rendered ones.
 */
const size = {
  /** Where paint and card are the same: the card's own place in the light, the JPEG, the adaptation. */
  place: 1.2,
  /**
   * The camera's tone curve. The card pins one point of it; a few steps of lightness away the curve's contrast is already
   * unknown, and farther on it only slowly gets worse.
   */
  bend: 7,
  bendReach: 10,
  /** Per unit of L* between paint and card: shoulder and toe of the curve. */
  ends: 0.15,
  /** Per unit of C* / (1 + 0.045 C*), the chroma steps of CIEDE2000: spectral response. */
  response: 0.15,
  light: 0.5,
  texture: 3,
  glare: 2,
  clipped: 12,
  zero: 6,
  unevenCard: 0.5,
  small: 20,
  curved: 4,
  uncalibrated: 20,
  mixed: 6,
}

/** `none`: the file is known to hold linear light, developed without a tone curve. Cameras' own files are `unknown`. */
export type Tone = 'unknown' | 'none'

export type Seen = {
  lab: Lab
  /** Linear RGB after the gain, 1 for white. */
  linear: Triple
  paint: Paint
  grid: Grid
  round: boolean
  calibration: Calibration | null
  /** The photo's light was found to be of two colours. */
  mixed: boolean
  tone: Tone
}

/** dE00 of a small relative change of the light at a given lightness (SL of CIEDE2000 left at 1). */
const lightToDe = (relative: number, l: number) => ((Math.max(0, l) + 16) / 3) * relative

const cameraWords = {
  all: 'the camera: a grey card sets brightness and white balance, not its contrast and its way with colours',
  response: 'the camera: a grey card sets brightness and white balance, not its way with colours',
}

/** The tone curve works on each channel: what counts is how far the three lie from the card on it. */
function toneSize(lab: Lab, linear: Triple, { cardL, target }: Calibration): number {
  const [r, g, b] = linear.map((v, c) => lightnessOf(v) - lightnessOf(target[c]!))
  const far = Math.hypot(r!, g!, b!) / Math.sqrt(3)
  return Math.hypot(size.bend * (1 - Math.exp(-far / size.bendReach)), size.ends * (lab.l - cardL))
}

/** All parts that are worth naming, largest first. */
export function boundParts({ lab, linear, paint, grid, round, calibration, mixed, tone }: Seen): BoundPart[] {
  const parts: BoundPart[] = []
  const add = (cause: string, de00: number, text: string) => {
    if (de00 >= 0.05) parts.push({ cause, de00, words: text })
  }
  if (calibration) {
    const chroma = Math.hypot(lab.a, lab.b)
    const response = (size.response * chroma) / (1 + 0.045 * chroma)
    const camera = Math.hypot(size.place, response, tone === 'none' ? 0 : toneSize(lab, linear, calibration))
    add('camera', camera, tone === 'none' ? cameraWords.response : cameraWords.all)
    // the more uneven, the less sure that its brighter part is lit like the panel
    add(
      'card',
      (size.unevenCard + calibration.unevenness) * lightToDe(calibration.unevenness, lab.l),
      'the card is not lit evenly',
    )
    add('card-noise', 2 * lightToDe(calibration.noise, lab.l), 'noise on the card')
  } else {
    add('uncalibrated', size.uncalibrated, 'no card: exposure and white balance of the camera are still in it')
  }
  add('light', size.light * lightToDe(paint.slope, lab.l), 'light falls off across the area')
  const noise = (1.645 * paint.spread) / Math.sqrt(Math.max(1, paint.kept / 4))
  add('noise', lightToDe(noise, lab.l), 'grain and noise')
  add('texture', size.texture * paint.texture, 'flake: bright and dark grains of the paint')
  add(
    'glare',
    size.glare * Math.sqrt(paint.glare + paint.shadow),
    'glare or shadow near by, even where it was left out',
  )
  add('clipping', size.clipped * Math.sqrt(paint.atLimit), 'red, green or blue at the limit of the file')
  const atZero = Math.max(...grid.atZero) / grid.pixelCount
  add('zero', size.zero * Math.sqrt(atZero), 'red, green or blue at 0')
  add('area', size.small / Math.sqrt(grid.shapePixels), 'size of the area')
  if (round) add('curved', size.curved, 'a curved part: light and view change over it')
  if (mixed) add('mixed-light', size.mixed, 'light of two colours')
  return parts.toSorted((a, b) => b.de00 - a.de00)
}

/** Independent parts add as squares. */
export const boundOf = (parts: BoundPart[]): number => Math.max(0.1, Math.hypot(...parts.map((p) => p.de00)))
