import { noExposure } from '../../../../electron/photos/exposure.ts'
import { readSymbols } from '../../../../electron/photos/symbols/read-symbols.ts'
import type { Pixels } from '../../../../shared-core/capture/pixels.ts'
import { readLayout } from '../../../../shared-core/capture/read-layout.ts'
import { learnSheet } from '../../../../shared-core/capture/sheet/learn-sheet.ts'
import { surveyOf } from '../../../../shared-core/capture/surroundings.ts'
import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { RgbProfile } from '../../../../shared-core/colour/profile.ts'
import { thingsOnSheet } from '../../../../shared-core/find/on-sheet/things-on-sheet.ts'
import { findSheet } from '../../../../shared-core/find/sheet/find-sheet.ts'
import { photoSheetPlaces } from '../../../../shared-core/label/photo-sheet/places.ts'
import type { Layout } from '../../../../shared-core/records/area.ts'
import type { SheetFit } from '../../../../shared-core/records/photo-sheet.ts'
import type { FoundSheet } from '../../../../shared-core/records/proposal.ts'
import { layoutOf } from '../../capture/on-sheet.ts'
import { pixelsOf } from '../cases.ts'
import { greyOf } from '../labels/measure.ts'
import { type Measured, missing, toldBy } from '../measure.ts'
import { farthestMm } from './geometry.ts'
import type { SheetPhoto } from './plan.ts'
import { type SheetGroup, sheetSet } from './sets.ts'

/** One photo of a sheet: what was found, and what was read with it. */
export type SheetMeasured = Omit<Measured, 'group' | 'difference'> & {
  group: SheetGroup
  /** Null: no sheet was found, or one that is not sure. */
  farthestMm: number | null
  bentMm: number | null
  identified: boolean
  /** The chart's photo: whether it taught the sheet. Others: whether they were read with what it taught. */
  known: boolean
  tiltDegrees: number
  gradient: number
  hidden: boolean
  isBent: boolean
}

/** Only these are given to the reading; the card's numbers stand on its back. */
type Given = { pixels: Pixels; profile: RgbProfile; cardLab: Lab | null }

const surely = 0.5

export async function measureSheets(group: SheetGroup, set: number, seed: string): Promise<SheetMeasured[]> {
  const measured: SheetMeasured[] = []
  let known: SheetFit | null = null
  for (const photo of await sheetSet(group, set, seed)) {
    const { profile, truth, sheet, facts } = photo
    const given: Given = { pixels: await pixelsOf(photo), profile, cardLab: truth.card?.lab ?? null }
    const found = findSheet(given.pixels)
    const sure = found && found.confidence >= surely ? found : null
    const calibrates = group === 'sheet-known' && measured.length === 0
    const layout = sure && layoutFor(given, sure)
    if (calibrates) known = layout && learnSheet(given.pixels, profile, layout, { exposure: noExposure }).fit
    measured.push({
      group,
      set,
      photo: measured.length,
      facts,
      calibrates,
      ...readingOf(given, layout, photo, calibrates ? null : known),
      known: known !== null,
      farthestMm: sure && farthestMm(sure, photo),
      bentMm: sure && sure.bentMm,
      identified: await isIdentified(given.pixels, sure, sheet.code),
      tiltDegrees: truth.tiltDegrees,
      gradient: truth.gradient,
      hidden: truth.hidden !== null,
      isBent: truth.isBent,
    })
  }
  return measured
}

function layoutFor(
  { pixels, profile, cardLab }: Given,
  { print, toPhoto, missing: unseen }: FoundSheet,
): Layout | null {
  const sheet = { print, toPhoto, missing: unseen }
  const lying = thingsOnSheet(pixels, profile, sheet)
  return lying && layoutOf(sheet, lying, cardLab)
}

function readingOf(
  { pixels, profile }: Given,
  layout: Layout | null,
  { truth }: SheetPhoto,
  knownSheet: SheetFit | null,
) {
  if (!layout) {
    const none = { truth: truth.panel, lab: null, bound90: null, level: null, de00: missing }
    return { readings: [none], warnings: ['no-sheet'], notes: [] }
  }
  const survey = surveyOf(pixels, profile)
  const { difference: _, ...told } = toldBy(readLayout(pixels, profile, layout, { survey, knownSheet }), [truth.panel])
  return told
}

/** By the panel's symbol on the sheet, and by no other. */
async function isIdentified(pixels: Pixels, sheet: FoundSheet | null, code: string): Promise<boolean> {
  const hints = sheet ? { sheet, place: photoSheetPlaces(sheet.print.paper, sheet.print.panel).symbol } : {}
  const symbols = await readSymbols(greyOf(pixels), hints)
  return symbols.length > 0 && symbols.every(({ text }) => text === code)
}
