import { noExposure } from '../../../electron/photos/exposure.ts'
import { look } from '../../../electron/photos/propose/look.ts'
import { learnSheetFromPhoto, photoFor } from '../../../electron/photos/read.ts'
import { shrinkQuad } from '../../../shared-core/capture/geometry.ts'
import { type OnSheet, thingsOnSheet } from '../../../shared-core/find/on-sheet/things-on-sheet.ts'
import { panelCodeIn } from '../../../shared-core/find/symbol-text.ts'
import type { Card, Layout, Quad } from '../../../shared-core/records/area.ts'
import type { SheetFit, SheetOnPhoto } from '../../../shared-core/records/photo-sheet.ts'
import { surely } from '../../../shared-core/records/proposal.ts'

/** A photo of a sheet with all that was found in it; nothing is told but the card's own colour. */
export type SheetCase = { layout: Layout; quad: Quad; code: string | null }

/** An outline that was found is a little unsure: what is read stays inside of it, more so where nothing but its place is known. */
const inset = { panel: 0.06, place: 0.1, card: 0.1 }

/** @returns null where no sheet is found */
export async function sheetCase(path: string, cardLab: Card['lab'] | null): Promise<SheetCase | null> {
  const { sheet: found, symbols, chart } = await look(path)
  if (!found) return null
  const { print, toPhoto, missing } = found
  const sheet: SheetOnPhoto = { print, toPhoto, missing }
  const { pixels, profile } = await photoFor(path, { areas: [], card: null }, Number.POSITIVE_INFINITY)
  const inPlace = thingsOnSheet(pixels, profile, sheet)
  if (!inPlace) return null
  const elsewhere = chart && chart.confidence >= surely ? chart : null
  const lying = { ...inPlace, chart: inPlace.chart ?? elsewhere }
  const code = symbols.map(({ text }) => panelCodeIn(text)).find((one) => one !== null) ?? null
  return { layout: layoutOf(sheet, lying, cardLab), quad: lying.panel.quad, code }
}

export function layoutOf(sheet: SheetOnPhoto, { panel, card, chart }: OnSheet, cardLab: Card['lab'] | null): Layout {
  return {
    areas: [
      {
        stepId: null,
        shape: { kind: 'quad', quad: shrinkQuad(panel.quad, panel.confidence >= surely ? inset.panel : inset.place) },
      },
    ],
    card: card && cardLab && { quad: shrinkQuad(card.quad, inset.card), lab: cardLab },
    chart: chart && { quad: chart.quad, table: 'avg30' },
    sheet,
  }
}

/** What another photo with a chart on it teaches about the sheet. Null: nothing, and why. */
export async function sheetKnownFrom(
  path: string,
  cardLab: Card['lab'] | null,
): Promise<{ fit: SheetFit | null; why: string | null }> {
  const found = await sheetCase(path, cardLab)
  if (!found) return { fit: null, why: 'no sheet found' }
  const { fit, refused } = await learnSheetFromPhoto(path, found.layout, noExposure)
  return { fit, why: refused?.code ?? null }
}
