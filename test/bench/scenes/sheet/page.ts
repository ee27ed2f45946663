import { qrRows } from '../../../../electron/print/qr.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { layOutPhotoSheet } from '../../../../shared-core/label/photo-sheet/layout.ts'
import { type PhotoSheetPlaces, photoSheetPlaces } from '../../../../shared-core/label/photo-sheet/places.ts'
import { papers } from '../../../../shared-core/label/sheet/paper.ts'
import type { SheetPrint } from '../../../../shared-core/records/photo-sheet.ts'
import { type PageRaster, pageRaster, textWidth } from '../picture/things/page-raster.ts'

/** A printed sheet as it lies on the bench: what it says, where everything lies on it, and its inks. */
export type PrintedSheet = { print: SheetPrint; code: string; places: PhotoSheetPlaces; raster: PageRaster }

/** Panels in use (common practice, no source). */
const panels = [
  [100, 150],
  [150, 100],
  [75, 125],
  [100, 100],
  [75, 150],
  [90, 120],
] as const

export function anyPrint(
  random: Random,
  series = random.whole(0, 65_535),
  paper = random.pick(papers).size,
): SheetPrint {
  const [widthMm, heightMm] = random.pick(panels)
  return { paper, panel: { widthMm, heightMm }, series }
}

export async function printedSheet(print: SheetPrint, code: string): Promise<PrintedSheet> {
  const places = photoSheetPlaces(print.paper, print.panel)
  const rows = await qrRows(code)
  const page = layOutPhotoSheet(print, { code, title: 'Panel to be photographed' }, textWidth, () => rows)
  return { print, code, places, raster: pageRaster(page) }
}
