/** What is drawn on a page, measured with fontkit on the glyphs themselves, apart from the widths that layouts use. */
import { createRequire } from 'node:module'
import { fontFiles } from '../../electron/print/fonts.ts'
import { type PaperSize, type SheetMark } from '../../shared-core/records/sheet.ts'

type Font = {
  unitsPerEm: number
  layout: (text: string) => { bbox: { minX: number; minY: number; maxX: number; maxY: number } }
}
const fontkit = createRequire(import.meta.url)('fontkit') as { openSync: (path: string) => Font }
const fonts = { regular: fontkit.openSync(fontFiles.regular), bold: fontkit.openSync(fontFiles.bold) }

type Box = { left: number; top: number; right: number; bottom: number; what: string }
function inkOf(mark: SheetMark): Box {
  if (mark.kind === 'text') {
    const font = fonts[mark.face]
    const { minX, minY, maxX, maxY } = font.layout(mark.text).bbox
    const mm = mark.sizeMm / font.unitsPerEm
    const [left, right] = [mark.xMm + minX * mm, mark.xMm + maxX * mm]
    return { left, right, top: mark.baselineMm - maxY * mm, bottom: mark.baselineMm - minY * mm, what: mark.text }
  }
  const [widthMm, heightMm] = mark.kind === 'qr' ? [mark.sideMm, mark.sideMm] : [mark.widthMm, mark.heightMm]
  return { left: mark.xMm, top: mark.yMm, right: mark.xMm + widthMm, bottom: mark.yMm + heightMm, what: mark.kind }
}

/** Two strokes of one frame share a corner, and two bands of paint an edge. */
const mayTouch = (a: SheetMark, b: SheetMark) => a.kind !== 'text' && b.kind !== 'text'

/** What leaves its page or lies over something else. */
export function faultsOf(marks: readonly SheetMark[], { widthMm, heightMm }: PaperSize): string[] {
  const hair = 1e-6
  const faults: string[] = []
  const boxes = marks.map(inkOf)
  for (const [i, box] of boxes.entries()) {
    if (box.left < -hair || box.top < -hair || box.right > widthMm + hair || box.bottom > heightMm + hair)
      faults.push(`${box.what} leaves the page`)
    for (const [j, other] of boxes.entries()) {
      if (j <= i || mayTouch(marks[i]!, marks[j]!)) continue
      const isApart =
        box.right <= other.left + hair ||
        other.right <= box.left + hair ||
        box.bottom <= other.top + hair ||
        other.bottom <= box.top + hair
      if (!isApart) faults.push(`${box.what} overlaps ${other.what}`)
    }
  }
  return faults
}
export const textOf = (marks: readonly SheetMark[]): string =>
  marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])).join(' ')
