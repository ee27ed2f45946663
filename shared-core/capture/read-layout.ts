import { xyzToLab } from '../colour/lab.ts'
import { apply3 } from '../colour/matrix.ts'
import type { DecodeTables, RgbProfile } from '../colour/profile.ts'
import type { AreaResult } from '../contract/photo-calls.ts'
import type { Layout, Shape } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { boundOf, boundParts, type Tone } from './bound.ts'
import { type Calibration, readCard } from './card.ts'
import { outlineOf } from './geometry.ts'
import { gridOf } from './grid.ts'
import { findPaint } from './paint.ts'
import type { Pixels, Triple } from './pixels.ts'
import { cautionsOfPhoto, type Survey, surveyOf } from './surroundings.ts'
import { words } from './words.ts'

/** Smaller areas are read with a warning, those below `leastPixels` not at all. */
const tinyPixels = 400
const leastPixels = 9
/** Less of an area than this is left: it cannot be said that what is left is the paint. */
const leastKept = 0.06
/** A diffuse white would lie this far above the file's limit: then white places are exposure, not glare. */
const brightExposure = 1.6

export type LayoutReading = { results: AreaResult[]; photo: Caution[] }

/**
 * Reads every marked area of a photo.
 * Method: file numbers → linear light by the profile's curves → the paint's mean without glare, shadow and dust → gain per
 * channel that gives the card its known Lab → XYZ (D50) → CIELAB D50, 2°. L* above 100 is legal.
 * @param pixels   file numbers, upright; shapes are in their coordinates
 * @param tone     whether the bound must allow for a tone curve of the camera
 * @param survey   of the same pixels, when it was made before
 * @returns        one result per area, in order, and what is to be said about the photo as a whole
 */
export function readLayout(
  pixels: Pixels,
  profile: RgbProfile,
  layout: Layout,
  { tone = 'unknown', survey = surveyOf(pixels, profile) }: { tone?: Tone; survey?: Survey } = {},
): LayoutReading {
  const { tables } = survey
  const outlines = layout.areas.map((area) => outlineOf(area.shape))
  if (layout.card) outlines.push(layout.card.quad)
  const photo = cautionsOfPhoto(pixels, survey, outlines)
  const card = layout.card ? readCard(pixels, tables, profile, layout.card) : null
  if (card) photo.push(...card.cautions)
  if (card?.refused) photo.push(card.refused)
  if (!card && layout.areas.some((area) => area.shape.kind !== 'fade')) photo.push(words.noCard)
  const results = layout.areas.map(({ shape }): AreaResult => {
    if (shape.kind === 'fade') return { colour: null, refused: null }
    if (card?.refused) return { colour: null, refused: card.refused }
    return readArea({ pixels, tables, profile, shape, calibration: card?.calibration ?? null, photo, tone })
  })
  return { results, photo }
}

type AreaInput = {
  pixels: Pixels
  tables: DecodeTables
  profile: RgbProfile
  shape: Shape
  calibration: Calibration | null
  photo: Caution[]
  tone: Tone
}

const refuse = (refused: Caution): AreaResult => ({ colour: null, refused })

function readArea({ pixels, tables, profile, shape, calibration, photo, tone }: AreaInput): AreaResult {
  const grid = gridOf(pixels, tables, shape)
  if (!grid) return refuse(words.badOutline)
  if (grid.pixelCount < leastPixels) return refuse(words.tinyArea)
  const gain: Triple = calibration?.gain ?? [1, 1, 1]
  const paint = findPaint(grid, [1 / gain[0], 1 / gain[1], 1 / gain[2]])
  const isExposure = calibration ? calibration.white > brightExposure : false
  if (!paint) return refuse(isExposure ? words.overexposed : words.mostlyGlare)
  const present = grid.cells.filter((cell) => cell !== null).length
  if (paint.kept < leastKept * present)
    return refuse(paint.glare + paint.clipped > 0.5 ? words.mostlyGlare : words.fewPixels)

  const cautions = [...photo]
  if (grid.shapePixels < tinyPixels) cautions.push(words.tinyArea)
  if (paint.atLimit > 0.2) cautions.push(words.areaOverexposed)
  if (Math.max(...grid.atZero) > 0.05 * grid.pixelCount) cautions.push(words.channelAtZero)
  const linear: Triple = [paint.linear[0] * gain[0], paint.linear[1] * gain[1], paint.linear[2] * gain[2]]
  const [x, y, z] = apply3(profile.toXyzD50, linear)
  const lab = xyzToLab({ x, y, z })
  const mixed = photo.includes(words.mixedLight)
  const parts = boundParts({ lab, linear, paint, grid, round: shape.kind === 'round', calibration, mixed, tone })
  return {
    refused: null,
    colour: {
      lab: { ...lab },
      illuminant: 'D50',
      observer: '2',
      geometry: 'photo',
      level: calibration ? 'card' : 'uncalibrated',
      bound90: boundOf(parts),
      parts,
      cautions,
    },
  }
}
