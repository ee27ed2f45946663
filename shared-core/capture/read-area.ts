import { lightnessOf } from '../colour/lab.ts'
import type { RgbProfile } from '../colour/profile.ts'
import type { AreaResult } from '../contract/photo-calls.ts'
import type { Quad, Shape } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { boundOf, boundParts, type Tone } from './bound.ts'
import { cameraSteps, labOf } from './camera/fit.ts'
import { cameraDeviation, type Learned } from './camera/learn.ts'
import { redoTone, surfaceLight } from './camera/model.ts'
import type { ToneTables } from './camera/tables.ts'
import type { Calibration } from './card.ts'
import { middleOf, outlineOf } from './geometry.ts'
import type { BandNoise } from './grain/tile.ts'
import { type Grid, gridOf } from './grid.ts'
import { findPaint, type Paint } from './paint.ts'
import type { Pixels, Triple } from './pixels.ts'
import type { Survey } from './surroundings.ts'
import { textureOf } from './texture.ts'
import { isBusy } from './tonal-range.ts'
import { unevennessOf } from './unevenness.ts'
import { words } from './words.ts'

/** Smaller areas are read with a warning, those below `leastPixels` not at all. */
const tinyPixels = 400
const leastPixels = 9
/** Less of an area than this is left: it cannot be said that what is left is the paint. */
const leastKept = 0.06
/** A diffuse white would lie this far above the file's limit: then white places are exposure, not glare. */
const brightExposure = 1.6

/** Metallics reach L* 105 or so beside the glare; what reads brighter than this is a lamp's reflection. */
const beyondPaint = 112

const driftCodes = new Set([words.setupDrifted.code, words.setupOtherCamera.code])

/** What all areas of a photo are read with. */
export type Reader = {
  pixels: Pixels
  profile: RgbProfile
  survey: Survey
  outlines: Quad[]
  tone: Tone
  learned: Learned
  calibration: Calibration | null
  /** Of light before the tone curve: grain is averaged in light, not in what the camera made of it. */
  tables: ToneTables
  /** The card's blocks in that light. */
  card: { grid: Grid; quad: Quad } | null
  mmPerPixel: number | null
  /** What the camera adds to grain, from the card. */
  noise: BandNoise | null
}

export type Area = AreaResult & {
  /** Linear light of the paint in the file; null where it was not found. */
  light: Triple | null
}

const refuse = (refused: Caution): Area => ({ colour: null, refused, light: null })

/** Reads one area. @param photo  what is to be said about the photo as a whole */
export function readArea(shape: Shape, photo: readonly Caution[], reader: Reader): Area {
  const { pixels, learned, calibration, tables, profile } = reader
  const { camera } = learned
  const grid = gridOf(pixels, tables, shape)
  if (!grid) return refuse(words.badOutline)
  if (grid.pixelCount < leastPixels) return refuse(words.tinyArea)
  const paint = findPaint(grid, [1 / camera.gain[0], 1 / camera.gain[1], 1 / camera.gain[2]])
  const isExposure = calibration ? calibration.white > brightExposure : false
  if (!paint) return refuse(isExposure ? words.overexposed : words.mostlyGlare)
  const present = grid.cells.filter((cell) => cell !== null).length
  if (paint.kept < leastKept * present)
    return refuse(paint.glare + paint.clipped > 0.5 ? words.mostlyGlare : words.fewPixels)
  const by: Triple = learned.light?.factor(middleOf(outlineOf(shape))) ?? [1, 1, 1]
  const shown = (factor: Triple): Triple => [
    redoTone(paint.linear[0] * factor[0], camera),
    redoTone(paint.linear[1] * factor[1], camera),
    redoTone(paint.linear[2] * factor[2], camera),
  ]
  const seen = shown(by)
  const lab = labOf(seen, camera, profile)
  const { covariance, level, chartLeft } = learned
  const parts = boundParts({
    lab,
    paint,
    grid,
    round: shape.kind === 'round',
    calibration,
    camera: covariance && cameraDeviation(cameraSteps(seen, camera, profile), covariance),
    level,
    chartLeft,
    far: calibration && farFromCard(surfaceLight(seen, camera), calibration.target),
    busy: isBusy(reader.survey.range),
    drifted: level === 'set-up' && photo.some(({ code }) => driftCodes.has(code)),
    onSheet: learned.light?.from === 'sheet',
    sheetShared: level === 'sheet' ? learned.sheetShared : null,
    mixed: photo.includes(words.mixedLight),
    tone: reader.tone,
  })
  return {
    refused: null,
    light: shown([1, 1, 1]),
    colour: {
      lab: { ...lab },
      illuminant: 'D50',
      observer: '2',
      geometry: 'photo',
      level,
      bound90: boundOf(parts),
      parts,
      cautions: [
        ...photo,
        ...(lab.l > beyondPaint ? [words.mostlyGlare] : []),
        ...cautionsOf(grid, paint, shape, reader),
      ],
      texture: textureOf(pixels, tables, shape, reader.mmPerPixel, reader.noise),
    },
  }
}

/** Steps of lightness between a paint and the card, the mean of the channels' squares. */
function farFromCard(paint: Triple, card: Triple): number {
  const steps = paint.map((v, c) => lightnessOf(v) - lightnessOf(card[c]!))
  return Math.hypot(...steps) / Math.sqrt(3)
}

function cautionsOf(grid: Grid, paint: Paint, shape: Shape, { survey, pixels, outlines, card }: Reader): Caution[] {
  const cautions: Caution[] = []
  if (grid.shapePixels < tinyPixels) cautions.push(words.tinyArea)
  if (paint.atLimit > 0.2) cautions.push(words.areaOverexposed)
  if (Math.max(...grid.atZero) > 0.05 * grid.pixelCount) cautions.push(words.channelAtZero)
  const uneven = unevennessOf({ grid, shape, paint }, survey, pixels, outlines, card)
  if (uneven?.caution) cautions.push(uneven.caution)
  return cautions
}
