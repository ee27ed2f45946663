import type { Lab } from '../colour/lab.ts'
import type { BoundPart } from '../records/reading.ts'
import type { Calibration } from './card.ts'
import type { Grid } from './grid.ts'
import type { Paint } from './paint.ts'

/**
 * The parts of a reading's 90 % bound. Each is a plain formula of what was seen in the photo. The numbers in `size` were
 * set once for all, by maximum likelihood over rendered photos and open photos of colour charts whose
 * colours are known (`bench -- capture`, `bench -- photos`), and rounded. They hold for about nine in ten
 * rendered readings and eight in ten chart patches: real cameras bend tone more than the rendered ones.
 */
const size = {
  /** Where paint and card are alike: what the card's own place, the JPEG and the adaptation leave. */
  floor: 4.5,
  /** Per unit of L* away from the card: the camera's tone curve. */
  tone: 0.15,
  /** Per unit of C* / (1 + 0.045 C*), the chroma steps of CIEDE2000: tone curve and spectral response. */
  chroma: 0.33,
  light: 0.5,
  texture: 3,
  glare: 2,
  clipped: 12,
  zero: 6,
  unevenCard: 0.5,
  dark: 1,
  small: 20,
  curved: 4,
  uncalibrated: 20,
  mixed: 6,
}

export type Seen = {
  lab: Lab
  paint: Paint
  grid: Grid
  round: boolean
  calibration: Calibration | null
  /** The photo's light was found to be of two colours. */
  mixed: boolean
}

/** dE00 of a small relative change of the light at a given lightness (SL of CIEDE2000 left at 1). */
const lightToDe = (relative: number, l: number) => ((Math.max(0, l) + 16) / 3) * relative

/** All parts that are worth naming, largest first. */
export function boundParts({ lab, paint, grid, round, calibration, mixed }: Seen): BoundPart[] {
  const parts: BoundPart[] = []
  const add = (cause: string, de00: number, text: string) => {
    if (de00 >= 0.05) parts.push({ cause, de00, words: text })
  }
  if (calibration) {
    const away = Math.abs(lab.l - calibration.cardL)
    const chroma = Math.hypot(lab.a, lab.b)
    const steps = chroma / (1 + 0.045 * chroma)
    add(
      'camera',
      Math.hypot(size.floor, size.tone * away, size.chroma * steps),
      'the camera: one grey card does not undo its tone curve and colour response',
    )
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
  add('clipping', size.clipped * Math.sqrt(paint.atLimit), 'numbers at the limit of the file')
  const atZero = Math.max(...grid.atZero) / grid.pixelCount
  add('zero', size.zero * Math.sqrt(atZero), 'a colour channel at 0')
  add('area', size.small / Math.sqrt(grid.shapePixels), 'size of the area')
  if (round) add('curved', size.curved, 'a curved part: light and view change over it')
  if (mixed) add('mixed-light', size.mixed, 'light of two colours')
  return parts.toSorted((a, b) => b.de00 - a.de00)
}

/** Independent parts add as squares. */
export const boundOf = (parts: BoundPart[]): number => Math.max(0.1, Math.hypot(...parts.map((p) => p.de00)))
