import type { Tone } from '../../shared-core/capture/bound.ts'
import { boxAround, moveQuad, outlineOf, type PixelBox } from '../../shared-core/capture/geometry.ts'
import { type LayoutReading, readLayout } from '../../shared-core/capture/read-layout.ts'
import { type Calibrated, calibrateSetup } from '../../shared-core/capture/setup.ts'
import { learnSheet, type SheetLearned } from '../../shared-core/capture/sheet/learn-sheet.ts'
import { movedSheet, pageOf, pageOutline } from '../../shared-core/capture/sheet/page.ts'
import type { Layout, Point, Shape } from '../../shared-core/records/area.ts'
import type { Exposure } from '../../shared-core/records/exposure.ts'
import type { SheetFit } from '../../shared-core/records/photo-sheet.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'

import { blankSheet } from './blank-sheet.ts'
import { keptPhoto } from './kept.ts'

export type ReadOptions = {
  tone?: Tone
  /** What a chart taught about this camera in this light. */
  setup?: SetupFit | null
  /** Path of a photo of a blank sheet in the same light. */
  flat?: string | null
  /** What a chart photo taught about photo sheets of the series in this photo, and whether that was in another light. */
  knownSheet?: SheetFit | null
  sheetFromOtherLight?: boolean
  /** What EXIF says of this photo, to notice that a set-up has drifted. */
  exposure?: Exposure | null
  /**
   * Up to this many pixels all are decoded, because the surroundings tell whether the photo is sharp and its light of one
   * colour; of larger photos only what is marked, and half as much around it.
   */
  wholePhoto?: number
}

/** Corners of a part are rounded outwards to these, so that a corner being dragged mostly asks for the same part again. */
const partPixels = 512

/**
 * Reads the marked areas of a photo on disk. The photo read last is kept decoded for a while, see `keptPhoto`.
 * @param layout  in upright photo pixels, corner of the first pixel at (0, 0)
 * @throws Refusal when the file cannot be read at all
 */
export async function readPhoto(
  path: string,
  layout: Layout,
  { flat = null, wholePhoto = usualWhole, ...options }: ReadOptions = {},
): Promise<LayoutReading> {
  // a blank sheet counts from edge to edge, so its photo is decoded whole
  const sheet = flat === null ? null : await blankSheet(flat)
  const { pixels, profile, survey, part } = await photoFor(path, layout, sheet ? Number.POSITIVE_INFINITY : wholePhoto)
  return readLayout(pixels, profile, inPart(layout, part), { ...options, survey, flat: sheet })
}

/**
 * Learns a set-up from a photo on disk with a chart in its layout.
 * @param exposure  what EXIF says of it, kept with the set-up
 * @throws Refusal when the file cannot be read at all
 */
export async function calibrateFromPhoto(path: string, layout: Layout, exposure: Exposure): Promise<Calibrated> {
  const { pixels, profile, survey, part } = await photoFor(path, layout, usualWhole)
  return calibrateSetup(pixels, profile, inPart(layout, part), { survey, exposure })
}

/**
 * Learns a photo sheet from a photo on disk with sheet and chart in its layout.
 * @throws Refusal when the file cannot be read at all
 */
export async function learnSheetFromPhoto(path: string, layout: Layout, exposure: Exposure): Promise<SheetLearned> {
  const { pixels, profile, survey, part } = await photoFor(path, layout, usualWhole)
  return learnSheet(pixels, profile, inPart(layout, part), { survey, exposure })
}

export const usualWhole = 50_000_000

export function photoFor(path: string, layout: Layout, wholePhoto: number) {
  return keptPhoto(path, (facts) => (facts.width * facts.height > wholePhoto ? partOf(layout, facts) : null))
}

export const inPart = (layout: Layout, part: PixelBox | null) =>
  part ? moveLayout(layout, -part.left, -part.top) : layout

/** All that is marked, with half as much around it. */
function partOf(layout: Layout, photo: { width: number; height: number }): PixelBox | null {
  const quads = layout.areas.map((area) => outlineOf(area.shape))
  if (layout.card) quads.push(layout.card.quad)
  for (const tile of layout.tiles ?? []) quads.push(tile.quad)
  if (layout.chart) quads.push(layout.chart.quad)
  // all of a photo sheet tells the light
  const page = layout.sheet ? pageOf(layout.sheet) : null
  if (page) quads.push(pageOutline(page))
  const points = quads.flat()
  const tight = points.length > 0 ? boxAround(points, 0, photo) : null
  const wide = tight && boxAround(points, Math.max(tight.width, tight.height) / 2, photo)
  if (!wide) return null
  const down = (v: number) => Math.floor(v / partPixels) * partPixels
  const up = (v: number) => Math.ceil(v / partPixels) * partPixels
  const corners: Point[] = [
    [down(wide.left), down(wide.top)],
    [up(wide.left + wide.width), up(wide.top + wide.height)],
  ]
  return boxAround(corners, 0, photo)
}

export function moveLayout(layout: Layout, dx: number, dy: number): Layout {
  const moved = (shape: Shape): Shape =>
    shape.kind === 'round'
      ? { ...shape, centre: [shape.centre[0] + dx, shape.centre[1] + dy] }
      : { ...shape, quad: moveQuad(shape.quad, dx, dy) }
  return {
    areas: layout.areas.map((area) => ({ ...area, shape: moved(area.shape) })),
    card: layout.card && { ...layout.card, quad: moveQuad(layout.card.quad, dx, dy) },
    tiles: layout.tiles?.map((tile) => ({ ...tile, quad: moveQuad(tile.quad, dx, dy) })),
    chart: layout.chart && { ...layout.chart, quad: moveQuad(layout.chart.quad, dx, dy) },
    mmPerPixel: layout.mmPerPixel,
    sheet: layout.sheet && movedSheet(layout.sheet, dx, dy),
  }
}
