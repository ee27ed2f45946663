import type { Lab } from '../colour/lab.ts'
import type { Level } from '../records/colour.ts'
import type { BoundPart } from '../records/reading.ts'
import type { Calibration } from './card.ts'
import type { Grid } from './grid.ts'
import type { Paint } from './paint.ts'

/**
 * The parts of a reading's 90 % bound. Each is a plain formula of what was seen in the photo. The numbers were set once for
 * all, as the 0.9 quantile of the error (its check loss: Koenker and Bassett, Econometrica 46 (1978) 33–50) over rendered
 * photos of two renderers and, with less weight, open photos of colour charts (`bench -- scenes`, `-- capture`,
 * `-- photos`), and rounded. They hold for about nine in ten of these readings; on rendered photos of another seed a few
 * points less often.
 */
const byLevel = {
  card: { least: 3.6, camera: 0.47, response: 0.03 },
  tiles: { least: 0.8, camera: 1.3, response: 0.08 },
  chart: { least: 0.6, camera: 0.75, response: 0.13 },
  /** A photo sheet that a chart photo taught; and one that nobody knows yet, with a card. */
  sheet: { least: 1.4, camera: 1.1, response: 0.08 },
  paper: { least: 1.4, camera: 1, response: 0.02 },
  'set-up': { least: 2, camera: 0.8, response: 0.06 },
  /** A card in a file without a tone curve. */
  plain: { least: 0.9, camera: 0.6, response: 0.06 },
} satisfies Record<string, CameraSizes>

type CameraSizes = {
  /** What no fit tells: curves of another shape, what the camera does to each picture by itself. Nothing at the card. */
  least: number
  /** Of the standard deviation that the fit of the camera leaves; 1.645 would be a single normal error. */
  camera: number
  /** Per unit of C* / (1 + 0.045 C*), the chroma steps of CIEDE2000: dyes that a camera sees unlike any patch. */
  response: number
}

/** Steps of lightness between paint and card, each channel by itself, after which the curve is about as unknown as it gets. */
const reach = 3

const size = {
  /** The panel's own place in the light against the card's, the JPEG, the adaptation. */
  place: 0.95,
  /** The same where a sheet's paper told the light. */
  onSheet: 1.2,
  /** Of what is left on the chart beyond one dE00. */
  unlike: 0.5,
  light: 0.2,
  texture: 1.5,
  glare: 1.8,
  clipped: 8,
  zero: 10,
  unevenCard: 1.6,
  small: 20,
  curved: 4,
  /** Where only card or tiles calibrate: rooms and streets send stray light, and phones render them each their own way. */
  busy: 4,
  /** A set-up in another light than its own errs like a card alone, or more. */
  drift: 6,
  uncalibrated: 20,
  mixed: 6,
}

/** `none`: the file is known to hold linear light, developed without a tone curve. Cameras' own files are `unknown`. */
export type Tone = 'unknown' | 'none'

export type Seen = {
  lab: Lab
  paint: Paint
  grid: Grid
  round: boolean
  calibration: Calibration | null
  /** How far the paint lies from the card on the tone curve: steps of L*, mean of the channels; null without a card. */
  far: number | null
  /** Standard deviation in dE00 by what is not known of the camera; null where nothing calibrates the photo. */
  camera: number | null
  level: Level
  /** Median dE00 left on a chart in the photo. */
  chartLeft: number | null
  /** Much else is in the photo: see `isBusy`. */
  busy: boolean
  /** The photo does not look like those of its set-up. */
  drifted: boolean
  /** Its paper told the light. */
  onSheet: boolean
  /** Of the known photo sheet that it is read by: 90 % bound of what all its colours may be off by together, dE00. */
  sheetShared: number | null
  /** The photo's light was found to be of two colours. */
  mixed: boolean
  tone: Tone
}

/** dE00 of a small relative change of the light at a given lightness (SL of CIEDE2000 left at 1). */
const lightToDe = (relative: number, l: number) => ((Math.max(0, l) + 16) / 3) * relative

function sizesOf(level: Level, tone: Tone, onSheet: boolean): CameraSizes {
  if (level === 'tiles' || level === 'sheet' || level === 'chart' || level === 'set-up') return byLevel[level]
  if (onSheet) return byLevel.paper
  return tone === 'none' ? byLevel.plain : byLevel.card
}

/** What the camera's part is called, and whose readings share it. */
function cameraWords(level: Level, tone: Tone, onSheet: boolean): string {
  if (level === 'sheet') return 'the camera: the photo sheet’s own colours pin it, as well as its chart photo told them'
  if (level === 'set-up')
    return 'the set-up: how well its chart pins the camera, and how alike the camera works each time'
  if (level === 'chart')
    return 'the camera: the chart in the photo pins it but for its way with paints unlike the patches'
  if (tone === 'none') return 'the camera: a grey card sets brightness and white balance, not its way with colours'
  if (onSheet)
    return 'the camera: card, white paper and black pin brightness, balance and contrast; the sheet’s colours are not known yet'
  if (level === 'tiles') return 'the camera: tiles pin brightness, white balance and contrast, not its way with colours'
  return 'the camera: a grey card sets brightness and white balance, not its contrast and its way with colours'
}

/** All parts that are worth naming, largest first. */
export function boundParts(seen: Seen): BoundPart[] {
  const {
    lab,
    paint,
    grid,
    round,
    calibration,
    camera,
    level,
    chartLeft,
    mixed,
    tone,
    busy,
    far,
    drifted,
    onSheet,
    sheetShared,
  } = seen
  const parts: BoundPart[] = []
  const add = (cause: string, de00: number, text: string, shared?: BoundPart['shared']) => {
    if (de00 >= 0.05) parts.push({ cause, de00, words: text, ...(shared ? { shared } : {}) })
  }
  if (camera !== null) {
    const chroma = Math.hypot(lab.a, lab.b)
    const of = sizesOf(level, tone, onSheet)
    const shared = level === 'set-up' ? 'set-up' : 'photo'
    const least = of.least * (far === null ? 1 : 1 - Math.exp(-far / reach))
    add('camera', Math.hypot(least, of.camera * camera), cameraWords(level, tone, onSheet), shared)
    add(
      'response',
      (of.response * chroma) / (1 + 0.045 * chroma),
      'strong colours: no chart tells how this camera sees every dye',
      shared,
    )
    add(
      'chart',
      size.unlike * Math.max(0, (chartLeft ?? 0) - 1),
      'the chart’s own colours come out only roughly',
      'photo',
    )
    add('sheet', sheetShared ?? 0, 'what the chart photo of this sheet left open', 'photo')
    if (onSheet) add('sheet-light', size.onSheet, 'the light at the panel, as the paper around it tells it')
    else add('place', size.place, 'card and panel lie in different places of the light')
  } else {
    add('uncalibrated', size.uncalibrated, 'no card: exposure and white balance of the camera are still in it', 'photo')
  }
  if (drifted)
    add('drift', size.drift, 'this photo does not look like the set-up’s: another light, balance or camera', 'photo')
  if (busy && (level === 'card' || level === 'tiles'))
    add(
      'surroundings',
      size.busy,
      'a busy picture: stray light from things around, and the phone’s own way with such scenes',
      'photo',
    )
  if (calibration) {
    // the more uneven, the less sure that its brighter part is lit like the panel
    add(
      'card',
      (size.unevenCard + 3 * calibration.unevenness) * lightToDe(calibration.unevenness, lab.l),
      'how evenly the card is lit',
      'photo',
    )
    add('card-noise', 2 * lightToDe(calibration.noise, lab.l), 'noise on the card', 'photo')
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
  if (mixed) add('mixed-light', size.mixed, 'light of two colours', 'photo')
  return parts.toSorted((a, b) => b.de00 - a.de00)
}

/** Independent parts add as squares. */
export const boundOf = (parts: BoundPart[]): number => Math.max(0.1, Math.hypot(...parts.map((p) => p.de00)))
