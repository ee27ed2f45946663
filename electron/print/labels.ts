import { layOutLabel } from '../../shared-core/label/layout.ts'
import { unplaced } from '../../shared-core/label/sheet/placement.ts'
import { nothingSaid, type SafetySaid, usualShows } from '../../shared-core/label/text.ts'
import type { LabelPage, LabelSize, LabelWording } from '../../shared-core/records/label.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import type { Placement, SheetPage, Shown } from '../../shared-core/records/sheet.ts'
import { drawPagesPdf } from './draw-pages.ts'
import { measureText } from './fonts.ts'
import { qrRows } from './qr.ts'

/**
 * The labels of several panels, in order, with the marks that both the preview and the PDF draw.
 * @throws Refusal `label/too-small`
 */
export async function layOutLabels(
  panels: readonly Panel[],
  size: LabelSize,
  wording: LabelWording = { decimal: 'point', units: 'metric' },
  shows: ReadonlySet<Shown> = usualShows,
  said: SafetySaid = nothingSaid,
): Promise<LabelPage[]> {
  const pages: LabelPage[] = []
  for (const panel of panels) {
    const rows = await qrRows(panel.code)
    pages.push(...layOutLabel(panel, size, wording, measureText, () => rows, shows, said))
  }
  return pages
}

/** @param placement the printer's correction, see `placementOf` */
export const drawLabelsPdf = (
  pages: readonly SheetPage[],
  outPath: string,
  title = 'Panel labels',
  placement: Placement = unplaced,
): Promise<void> => drawPagesPdf(pages, outPath, { title, placement })
