import type { DensityOf } from '../mix/quantities.ts'
import type { LabelMark, LabelSize, LabelWording } from '../records/label.ts'
import type { Panel } from '../records/panel.ts'
import { ascent, descent, type Face, type MeasureText } from './measures.ts'
import { type ListLine, linesOfPanel, sprayCautions } from './spray-list-lines.ts'
import { plain } from './text.ts'

/** One sheet to spray from. */
export type SprayListPage = { size: LabelSize; marks: LabelMark[] }

/** ISO 216 A4, and Letter (8½ × 11 in). */
export const papers: Record<LabelWording['units'], LabelSize> = {
  metric: { widthMm: 210, heightMm: 297 },
  us: { widthMm: 8.5 * 25.4, heightMm: 11 * 25.4 },
}

const marginMm = 14
const ruleMm = 0.25
const textMm = 3.4
const smallMm = 2.7
const leading = 1.45
/** Where a line's text begins, behind what it is about. */
const indentMm = 26
const boxMm = 5
const boxGapMm = 2.2
const betweenPanelsMm = 6
/** Widths from the right: share, amount, filled up to. */
const columnsMm = [62, 36, 0] as const

export type SprayListWanted = {
  wording: LabelWording
  /** What each candy's cup is filled with. */
  cupMl: number
  densityOf: DensityOf
}

/**
 * Sheets to spray planned panels from: what to mix, what to lay, boxes to strike for every coat, and empty lines for what
 * was really done. A panel stays on one sheet where it fits on one; cautions stand at the foot of each.
 * @param measure  width of a text in the face that will be drawn
 */
export function layOutSprayList(
  panels: readonly Panel[],
  wanted: SprayListWanted,
  measure: MeasureText,
): SprayListPage[] {
  const size = papers[wanted.wording.units]
  const widthMm = size.widthMm - 2 * marginMm
  const foot = wrapAll(sprayCautions, widthMm, measure)
  const footMm = foot.length * smallMm * 1.3 + 3
  const topMm = marginMm + 9
  const bottomMm = size.heightMm - marginMm - footMm
  const sheets: LabelMark[][] = []
  let y = Number.POSITIVE_INFINITY
  const turn = () => {
    sheets.push([])
    y = topMm
  }
  for (const panel of panels) {
    const drawn = linesOfPanel(panel, wanted).map((line) => drawLine(line, widthMm, measure))
    const heightMm = drawn.reduce((sum, each) => sum + each.heightMm, 0)
    const isWhole = heightMm <= bottomMm - topMm
    if (y + (isWhole ? heightMm : 0) > bottomMm) turn()
    for (const { heightMm: lineMm, at } of drawn) {
      if (y + lineMm > bottomMm) turn()
      sheets.at(-1)?.push(...at(y))
      y += lineMm
    }
    y += betweenPanelsMm
  }
  return sheets.map((marks, i) => ({
    size,
    marks: [
      ...headOf(i + 1, sheets.length, widthMm, measure),
      ...marks,
      rule(marginMm, size.heightMm - marginMm - footMm, widthMm),
      ...foot.map((words, line) =>
        text(words, marginMm, size.heightMm - marginMm - footMm + 3 + (line + 0.8) * smallMm * 1.3, smallMm),
      ),
    ],
  }))
}

const text = (words: string, xMm: number, baselineMm: number, sizeMm: number, face: Face = 'regular'): LabelMark => ({
  kind: 'text',
  xMm,
  baselineMm,
  sizeMm,
  face,
  text: plain(words),
})
const rule = (xMm: number, yMm: number, widthMm: number): LabelMark => ({
  kind: 'box',
  xMm,
  yMm,
  widthMm,
  heightMm: ruleMm,
})
/** An empty square to be struck through. */
const square = (xMm: number, yMm: number): LabelMark[] => [
  rule(xMm, yMm, boxMm),
  rule(xMm, yMm + boxMm - ruleMm, boxMm),
  { kind: 'box', xMm, yMm, widthMm: ruleMm, heightMm: boxMm },
  { kind: 'box', xMm: xMm + boxMm - ruleMm, yMm, widthMm: ruleMm, heightMm: boxMm },
]

function headOf(page: number, of: number, widthMm: number, measure: MeasureText): LabelMark[] {
  const baselineMm = marginMm + 4.4
  const marks = [text('Spray list', marginMm, baselineMm, 5, 'bold'), rule(marginMm, marginMm + 6.4, widthMm)]
  if (of === 1) return marks
  const words = `sheet ${page} of ${of}`
  return [...marks, text(words, marginMm + widthMm - measure(words, 'regular', textMm), baselineMm, textMm)]
}

type Drawn = { heightMm: number; at: (yMm: number) => LabelMark[] }

function drawLine(line: ListLine, widthMm: number, measure: MeasureText): Drawn {
  const rowMm = textMm * leading
  const baseline = (yMm: number, row: number) => yMm + row * rowMm + textMm * ascent
  switch (line.kind) {
    case 'head': {
      const codeMm = 6
      const left = marginMm + measure(line.code, 'bold', codeMm) + 4
      const title = wrap(line.title, marginMm + widthMm - left, measure, textMm)
      const below = Math.max(0, title.length - 1) * rowMm
      return {
        heightMm: codeMm * (ascent + descent) + below + 1,
        at: (y) => [
          text(line.code, marginMm, y + codeMm * ascent, codeMm, 'bold'),
          ...title.map((words, i) => text(words, left, y + codeMm * ascent + i * rowMm, textMm)),
        ],
      }
    }
    case 'fact': {
      const boxes = line.boxes ?? 0
      const taken = boxes * (boxMm + boxGapMm)
      const rows = wrap(line.says, widthMm - indentMm - taken, measure, textMm)
      const left = marginMm + widthMm - taken + boxGapMm
      return {
        heightMm: Math.max(Math.max(1, rows.length) * rowMm, boxes > 0 ? boxMm + 1.5 : 0),
        at: (y) => [
          text(line.about, marginMm, baseline(y, 0), textMm, 'bold'),
          ...rows.map((words, i) => text(words, marginMm + indentMm, baseline(y, i), textMm)),
          ...Array.from({ length: boxes }, (_, i) => square(left + i * (boxMm + boxGapMm), y)).flat(),
        ],
      }
    }
    case 'pour': {
      const face: Face = line.isHead ? 'bold' : 'regular'
      const right = marginMm + widthMm
      const name = wrap(line.name, widthMm - indentMm - columnsMm[0] - 22, measure, textMm)
      return {
        heightMm: Math.max(1, name.length) * rowMm,
        at: (y) => [
          ...name.map((words, i) => text(words, marginMm + indentMm, baseline(y, i), textMm, face)),
          ...[line.share, line.amount, line.upTo].flatMap((words, i) =>
            words === ''
              ? []
              : [
                  text(
                    words,
                    right - (columnsMm[i] ?? 0) - measure(plain(words), face, textMm),
                    baseline(y, 0),
                    textMm,
                    face,
                  ),
                ],
          ),
        ],
      }
    }
    case 'coats': {
      const left = marginMm + indentMm + 34
      const inRow = Math.max(1, Math.floor((marginMm + widthMm - left + boxGapMm) / (boxMm + boxGapMm)))
      const rows = Math.max(1, Math.ceil(line.boxes / inRow))
      const heightMm = boxMm + 2
      return {
        heightMm: rows * heightMm,
        at: (y) => [
          text(line.about, marginMm, y + boxMm * 0.75, textMm, 'bold'),
          text(line.says, marginMm + indentMm, y + boxMm * 0.75, textMm),
          ...Array.from({ length: line.boxes }, (_, i) =>
            square(left + (i % inRow) * (boxMm + boxGapMm), y + Math.floor(i / inRow) * heightMm),
          ).flat(),
        ],
      }
    }
    case 'blank': {
      const heightMm = 8
      const each = widthMm / line.labels.length
      return {
        heightMm,
        at: (y) =>
          line.labels.flatMap((label, i) => {
            const x = marginMm + i * each
            const behind = measure(label, 'regular', smallMm) + 1.5
            return [
              text(label, x, y + heightMm - 1.6, smallMm),
              rule(x + behind, y + heightMm - 1, Math.max(4, each - behind - 3)),
            ]
          }),
      }
    }
    case 'rule':
      return { heightMm: 3, at: (y) => [rule(marginMm, y + 1.5, widthMm)] }
  }
}

function wrap(words: string, roomMm: number, measure: MeasureText, sizeMm: number): string[] {
  const rows: string[] = []
  let row = ''
  for (const word of plain(words)
    .split(' ')
    .filter(Boolean)
    .flatMap((each) => broken(each, roomMm, measure, sizeMm))) {
    const longer = row === '' ? word : `${row} ${word}`
    if (row !== '' && measure(longer, 'regular', sizeMm) > roomMm) {
      rows.push(row)
      row = word
    } else row = longer
  }
  return row === '' ? rows : [...rows, row]
}

/** A word that is wider than a line, in pieces that are not. */
function broken(word: string, roomMm: number, measure: MeasureText, sizeMm: number): string[] {
  const pieces: string[] = []
  let piece = ''
  for (const letter of word) {
    if (piece !== '' && measure(piece + letter, 'regular', sizeMm) > roomMm) {
      pieces.push(piece)
      piece = ''
    }
    piece += letter
  }
  return [...pieces, piece]
}

const wrapAll = (all: readonly string[], roomMm: number, measure: MeasureText): string[] =>
  all.flatMap((words) => wrap(words, roomMm, measure, smallMm))
