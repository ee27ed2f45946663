import { Refusal } from '../../contract/refusal.ts'
import type { LabelMark, LabelSize, LabelWording } from '../../records/label.ts'
import type { Panel } from '../../records/panel.ts'
import type { Shown } from '../../records/sheet.ts'
import {
  ascent,
  clamp,
  descent,
  type MeasureText,
  type QrRows,
  quietModules,
  smallestModuleMm,
  smallestQrMm,
  smallestTextMm,
} from '../measures.ts'
import { boxMark, textMark, wrapped } from '../sheet/wrap.ts'
import { nothingSaid, type SafetySaid, tidy } from '../text.ts'
import { type CardRow, cardCautions, cardRows } from './rows.ts'

/** Office printers leave about this much blank (common practice, no source). */
const marginMm = 6
const ruleMm = 0.2
const leading = 1.32
const mostCards = 12
const largestTextMm = 3.5

type Head = { marks: LabelMark[]; bottomMm: number }
type Foot = { marks: LabelMark[]; topMm: number }

/** Code, title and symbol; below them a rule. @throws Refusal `label/too-small` */
function headOf(panel: Panel, size: LabelSize, shows: ReadonlySet<Shown>, measure: MeasureText, qrRows: QrRows): Head {
  const marks: LabelMark[] = []
  let rightMm = size.widthMm - marginMm
  let bottomMm = marginMm
  if (shows.has('qr')) {
    const rows = qrRows(panel.code)
    const sideMm = Math.max(smallestQrMm, rows.length * smallestModuleMm, clamp(size.widthMm * 0.19, 12, 24))
    const quietMm = (quietModules * sideMm) / rows.length
    marks.push({ kind: 'qr', xMm: rightMm - sideMm, yMm: marginMm, sideMm, rows })
    rightMm -= sideMm + quietMm
    bottomMm += sideMm + quietMm
  }
  const roomMm = rightMm - marginMm
  const codeMm = Math.min(clamp(size.widthMm * 0.08, 5, 10), roomMm / (measure(panel.code, 'bold', 1) + 0.1))
  if (codeMm < 3) throw tooSmall(size)
  const titleMm = clamp(codeMm * 0.52, 2.6, 5)
  let baselineMm = marginMm + codeMm * 0.76
  marks.push(textMark(panel.code, marginMm, baselineMm, codeMm, 'bold'))
  const title = shows.has('title') ? tidy(panel.title) : ''
  baselineMm += codeMm * 0.28
  for (const line of wrapped(title, { widthMm: roomMm, sizeMm: titleMm, face: 'regular', measure })) {
    baselineMm += titleMm * 1.22
    marks.push(textMark(line, marginMm, baselineMm, titleMm))
  }
  bottomMm = Math.max(bottomMm, baselineMm + titleMm * descent + 1.6)
  return { marks, bottomMm }
}

/** Cautions, above the lower edge; room is kept for "card 1 of 2" at their right. */
function footOf(
  panel: Panel,
  size: LabelSize,
  shows: ReadonlySet<Shown>,
  measure: MeasureText,
  said: SafetySaid,
): Foot {
  const sizeMm = 2.1
  const widthMm = size.widthMm - 2 * marginMm - 16
  const lines = cardCautions(panel, shows, said).flatMap((says) =>
    wrapped(says, { widthMm, sizeMm, face: 'regular', measure }),
  )
  const heightMm = Math.max(lines.length, 1) * sizeMm * 1.25
  const topMm = size.heightMm - marginMm - heightMm
  return {
    topMm: topMm - 1.4,
    marks: lines.map((line, i) => textMark(line, marginMm, topMm + (i * 1.25 + ascent) * sizeMm, sizeMm)),
  }
}

/**
 * Rows over as many cards as they need at one size of text; null when a word or the cards do not suffice.
 * A layer is kept together where it fits on one card.
 */
function flow(
  rows: readonly CardRow[],
  size: LabelSize,
  headMm: number,
  footMm: number,
  textMm: number,
  measure: MeasureText,
): LabelMark[][] | null {
  const right = size.widthMm - marginMm
  const abouts = rows.map(({ about }) => measure(about, 'bold', textMm))
  const leftMm = marginMm + Math.max(0, ...abouts) + textMm * 0.8
  const cards: LabelMark[][] = [[]]
  let y = headMm
  const airMm = textMm * 0.42

  const blocks: CardRow[][] = []
  for (const each of rows) {
    const last = blocks.at(-1)
    if (each.begins || !last) blocks.push([each])
    else last.push(each)
  }
  for (const block of blocks) {
    const drawn = block.map((each) => {
      const sizeMm = Math.max(textMm * each.scale, smallestTextMm)
      const rightMm = each.right === '' ? 0 : measure(each.right, 'bold', textMm) + textMm
      const lines = wrapped(each.says, { widthMm: right - rightMm - leftMm, sizeMm, face: each.face, measure })
      return { each, sizeMm, lines: lines.length === 0 ? [''] : lines, lineMm: sizeMm * leading }
    })
    if (right - leftMm < textMm * 6) return null
    const heightMm = drawn.reduce((sum, { lines, lineMm }) => sum + lines.length * lineMm, 0) + 2 * airMm + ruleMm
    const turn = (): boolean => {
      cards.push([])
      y = headMm
      return cards.length <= mostCards
    }
    if (y > headMm && y + heightMm > footMm && heightMm <= footMm - headMm && !turn()) return null
    if (y + drawn[0]!.lineMm + airMm > footMm && !turn()) return null
    cards.at(-1)?.push(boxMark(marginMm, y, right - marginMm, ruleMm))
    y += airMm + ruleMm
    let isFirst = true
    for (const { each, sizeMm, lines, lineMm } of drawn) {
      for (const line of lines) {
        if (y + lineMm > footMm) {
          if (!turn()) return null
          if (y + lineMm > footMm) return null
          // on the next card the reader has to see again what it is about
          cards.at(-1)?.push(boxMark(marginMm, y, right - marginMm, ruleMm))
          y += airMm + ruleMm
          isFirst = true
        }
        const baselineMm = y + sizeMm * ascent
        const card = cards.at(-1)
        if (isFirst && block[0]) card?.push(textMark(block[0].about, marginMm, y + textMm * ascent, textMm, 'bold'))
        if (line !== '')
          card?.push(textMark(line, leftMm, isFirst ? y + textMm * ascent : baselineMm, sizeMm, each.face))
        if (isFirst && each.right !== '' && line === lines[0])
          card?.push(
            textMark(each.right, right - measure(each.right, 'bold', textMm), y + textMm * ascent, textMm, 'bold'),
          )
        isFirst = false
        y += lineMm
      }
    }
    y += airMm
  }
  return cards
}

/**
 * A card for the back of a panel: code, title, symbol, then the whole build from the substrate up with its mixtures in
 * parts, coats, gun, booth and notes; cautions at its foot. As few cards as hold it, and on them the largest text:
 * nothing is ever cut.
 * @throws Refusal `label/too-small`
 */
export function layOutCard(
  panel: Panel,
  size: LabelSize,
  wording: LabelWording,
  measure: MeasureText,
  qrRows: QrRows,
  shows: ReadonlySet<Shown>,
  said: SafetySaid = nothingSaid,
): LabelMark[][] {
  const head = headOf(panel, size, shows, measure, qrRows)
  const foot = footOf(panel, size, shows, measure, said)
  const rows = cardRows(panel, wording, shows)
  const attempt = (textMm: number) => flow(rows, size, head.bottomMm, foot.topMm, textMm, measure)
  const smallest = attempt(smallestTextMm)
  if (smallest === null || foot.topMm <= head.bottomMm) throw tooSmall(size)
  let best = smallest
  for (let textMm = largestTextMm; textMm > smallestTextMm; textMm -= 0.1) {
    const cards = attempt(textMm)
    // text that can hardly be read at arm's length is worse than turning the card
    if (cards && cards.length <= (textMm >= 2.4 ? Math.max(smallest.length, 1) : smallest.length)) {
      best = cards
      break
    }
  }
  return best.map((marks, index) => {
    const part = best.length > 1 ? `card ${index + 1} of ${best.length}` : ''
    const partMark =
      part === ''
        ? []
        : [
            textMark(
              part,
              size.widthMm - marginMm - measure(part, 'regular', 2.3),
              size.heightMm - marginMm - 2.3 * descent,
              2.3,
            ),
          ]
    return [...head.marks, ...marks, ...foot.marks, ...partMark]
  })
}

const tooSmall = (size: LabelSize): Refusal =>
  new Refusal(
    'label/too-small',
    `A card of ${size.widthMm} × ${size.heightMm} mm is too small for what is to stand on it.`,
    'Choose a larger card, or say less on it.',
  )
