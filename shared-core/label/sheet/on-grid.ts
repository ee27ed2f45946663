import { Refusal } from '../../contract/refusal.ts'
import type { LabelMark } from '../../records/label.ts'
import type { LabelGrid, SheetMark, SheetPage } from '../../records/sheet.ts'

/** Rounding of typed measures, not room. */
const hairMm = 0.005

const mm = (value: number): string => `${Number(value.toFixed(2))} mm`

/** What a row of labels takes, from the paper's edge to the last label's end. */
const taken = (startMm: number, count: number, labelMm: number, gapMm: number): number =>
  startMm + count * labelMm + (count - 1) * gapMm

/** Why this grid has no place on its paper, in words; null when it has. */
export function gridFault({ paper, leftMm, topMm, columns, rows, label, gapXMm, gapYMm }: LabelGrid): string | null {
  const across = taken(leftMm, columns, label.widthMm, gapXMm)
  if (across > paper.widthMm + hairMm)
    return `${columns} ${columns === 1 ? 'column' : 'columns'} of ${mm(label.widthMm)} with their gaps and the left margin take ${mm(across)} across, and the page is ${mm(paper.widthMm)} wide.`
  const down = taken(topMm, rows, label.heightMm, gapYMm)
  if (down > paper.heightMm + hairMm)
    return `${rows} ${rows === 1 ? 'row' : 'rows'} of ${mm(label.heightMm)} with their gaps and the top margin take ${mm(down)} down, and the page is ${mm(paper.heightMm)} high.`
  return null
}

export const labelsOnSheet = ({ columns, rows }: LabelGrid): number => columns * rows

/** @param place from 0, row by row */
export const cellAt = (grid: LabelGrid, place: number): { xMm: number; yMm: number } => ({
  xMm: grid.leftMm + (place % grid.columns) * (grid.label.widthMm + grid.gapXMm),
  yMm: grid.topMm + Math.floor(place / grid.columns) * (grid.label.heightMm + grid.gapYMm),
})

export function moved<M extends SheetMark | LabelMark>(mark: M, xMm: number, yMm: number): M {
  return mark.kind === 'text'
    ? { ...mark, xMm: mark.xMm + xMm, baselineMm: mark.baselineMm + yMm }
    : { ...mark, xMm: mark.xMm + xMm, yMm: mark.yMm + yMm }
}

/** @throws Refusal `sheet/does-not-fit`, with the reason */
export function mustFit(grid: LabelGrid, start: number): void {
  const fault = gridFault(grid)
  if (fault !== null)
    throw new Refusal(
      'sheet/does-not-fit',
      `These labels do not fit on the page. ${fault}`,
      'Measure the sheet again: margins, labels and gaps, all in millimetres.',
    )
  const onSheet = labelsOnSheet(grid)
  if (start > onSheet)
    throw new Refusal(
      'sheet/does-not-fit',
      `The sheet has ${onSheet} labels, so none is number ${start}.`,
      'Tap the first free label in the drawing of the sheet.',
    )
}

/**
 * Labels one after another on as many sheets as they need, row by row.
 * @param labels  marks of each label, from its own top left corner
 * @param start   which label of the first sheet is the first to be printed, from 1
 * @throws        Refusal `sheet/does-not-fit`
 */
export function layOutOnGrid(labels: readonly (readonly LabelMark[])[], grid: LabelGrid, start: number): SheetPage[] {
  mustFit(grid, start)
  const onSheet = labelsOnSheet(grid)
  const pages: SheetPage[] = []
  for (const [index, marks] of labels.entries()) {
    const place = index + start - 1
    const sheet = Math.floor(place / onSheet)
    const page = (pages[sheet] ??= { size: grid.paper, marks: [] })
    const { xMm, yMm } = cellAt(grid, place % onSheet)
    for (const mark of marks) page.marks.push(moved(mark, xMm, yMm))
  }
  return pages
}
