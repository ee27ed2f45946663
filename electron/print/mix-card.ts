import { type CardFacts, mixCardBlocks } from '../../shared-core/label/mix-card/lines.ts'
import { layOutPaper } from '../../shared-core/label/paper/lay-out.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import type { PaperSize, SheetPage } from '../../shared-core/records/sheet.ts'
import { measureText } from './fonts.ts'
import { qrRows } from './qr.ts'

/** Mix cards, each beginning on a page of its own. */
export async function layOutMixCards(
  cups: readonly { cup: Cup; facts: CardFacts }[],
  paper: PaperSize,
): Promise<SheetPage[]> {
  const pages: SheetPage[] = []
  for (const { cup, facts } of cups) {
    const rows = await qrRows(cup.code)
    const head = { kind: 'Mix card', code: cup.code, title: cup.title }
    pages.push(...layOutPaper(head, mixCardBlocks(cup, facts), [], paper, measureText, () => rows))
  }
  return pages
}
