import { pointInQuad } from '../../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../../shared-core/capture/pixels.ts'
import type { RgbProfile } from '../../../shared-core/colour/profile.ts'
import { findSheet } from '../../../shared-core/find/sheet/find-sheet.ts'
import { sheetQuad } from '../../../shared-core/find/sheet/sheet-quad.ts'
import { type FoundThings, findThings } from '../../../shared-core/find/things/find-things.ts'
import { centreOf } from '../../../shared-core/find/things/sides.ts'
import { photoSheetPlaces } from '../../../shared-core/label/photo-sheet/places.ts'
import type { Point, Quad } from '../../../shared-core/records/area.ts'
import { type Found, type FoundSheet, type FoundSymbol, surely } from '../../../shared-core/records/proposal.ts'
import { readSymbols } from '../symbols/read-symbols.ts'
import { onSheet } from './on-sheet.ts'
import { picturesOf } from './pictures.ts'
import type { SymbolsTask } from './task.ts'

/** Reads symbols; `symbolsBeside` does so in another thread while this one looks for things. */
type SymbolReader = (task: SymbolsTask) => Promise<FoundSymbol[]>

/**
 * All that can be found in one photo, by the thread that calls it: some tenths of a second of work. `lookAt` has a worker do it.
 * @returns quads in upright photo pixels
 * @throws Refusal as `inspectPhoto` does
 */
export async function look(path: string, symbolsOf: SymbolReader = ({ grey, hints }) => readSymbols(grey, hints)) {
  const { profile, small, smallScale, grey, greyScale } = await picturesOf(path)
  const reading = symbolsOf({ grey, hints: {} })
  const { sheet, things } = await beside(reading, () => thingsIn(small, profile))
  const onGrey = sheet && sheetTimes(sheet, smallScale / greyScale)
  const read = await reading
  // where the sheet says that its symbol is, a second look reads what the first did not
  const symbols = onGrey && !hasOwnSymbol(read, onGrey) ? await symbolsOf({ grey, hints: hintsFrom(onGrey) }) : read
  const scaled = (quad: Quad, by: number) => quad.map(([x, y]): Point => [x * by, y * by]) as Quad
  const inPhoto = <T extends { quad: Quad }>(thing: T): T => ({ ...thing, quad: scaled(thing.quad, smallScale) })
  const found: Found = {
    panels: things.panels.map((panel) => ({
      ...inPhoto(panel),
      steps: panel.steps.map((step) => scaled(step, smallScale)),
    })),
    cards: things.cards.map(inPhoto),
    chart: things.chart && inPhoto(things.chart),
    sheet: sheet && sheetTimes(sheet, smallScale),
    symbols: symbols.map(({ text, quad }) => ({ text, quad: scaled(quad, greyScale) })),
  }
  return found
}

function thingsIn(picture: Pixels, profile: RgbProfile): { sheet: FoundSheet | null; things: FoundThings } {
  const sheet = findSheet(picture)
  return { sheet, things: sheet ? onSheet(picture, profile, sheet) : findThings(picture, profile) }
}

/** What goes wrong here waits for whoever reads in another thread: a late answer would be taken for that of the next photo. */
async function beside<T>(reading: Promise<unknown>, work: () => T): Promise<T> {
  const settled = reading.catch(() => null)
  try {
    return work()
  } catch (error) {
    await settled
    throw error
  }
}

const symbolPlace = ({ print }: FoundSheet) => photoSheetPlaces(print.paper, print.panel).symbol

/** A sheet that is only guessed has no place to look at. */
const hasOwnSymbol = (symbols: FoundSymbol[], sheet: FoundSheet): boolean =>
  sheet.confidence < surely ||
  symbols.some(({ quad }) => pointInQuad(centreOf(quad), sheetQuad(sheet, symbolPlace(sheet))))

const hintsFrom = (sheet: FoundSheet) => ({ sheet, place: symbolPlace(sheet) })

/** A sheet in a picture that is `by` times as large. */
function sheetTimes(sheet: FoundSheet, by: number): FoundSheet {
  const [a, b, c, d, e, f, g, h, i] = sheet.toPhoto as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  return { ...sheet, toPhoto: [by * a, by * b, by * c, by * d, by * e, by * f, g, h, i] }
}
