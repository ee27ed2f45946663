import type { PaperSize, SheetMark, SheetPage } from '../../records/sheet.ts'
import { ascent, capital, descent, type Face, type MeasureText, type QrRows } from '../measures.ts'
import { boxMark, textMark, wrapped } from '../sheet/wrap.ts'
import type { Block, Cell, Column } from './blocks.ts'

/** What stands at the top of every page: its kind, a code with its symbol, and a title. */
export type PaperHead = { kind: string; code: string; title: string }

const marginMm = 14
const ruleMm = 0.25
const sizes = { small: 2.7, usual: 3.4, large: 4.3 }
const headingMm = 4.2
const leading = 1.4
const indentMm = 34
const squareMm = 5.5
const squareGapMm = 2
const symbolMm = 18
const headMm = symbolMm + 3
const swatchMm = { width: 34, height: 22 }

type Drawn = { heightMm: number; at: (yMm: number) => SheetMark[] }
type Room = { widthMm: number; measure: MeasureText }

/**
 * Blocks one after the other on as many pages as they need; head and foot stand on each.
 * @param foot  cautions and the like, in small print
 */
export function layOutPaper(
  head: PaperHead,
  blocks: readonly Block[],
  foot: readonly string[],
  size: PaperSize,
  measure: MeasureText,
  qrRows: QrRows,
): SheetPage[] {
  const room = { widthMm: size.widthMm - 2 * marginMm, measure }
  const footLines = foot.flatMap((text) => wrapped(text, lineRoom(room, sizes.small)))
  const footMm = footLines.length === 0 ? 0 : footLines.length * sizes.small * 1.3 + 3
  const topMm = marginMm + headMm
  const bottomMm = size.heightMm - marginMm - footMm
  const pages: SheetMark[][] = []
  let y = Number.POSITIVE_INFINITY
  const turn = (): void => {
    pages.push([])
    y = topMm
  }
  const put = (each: Drawn): void => {
    if (y + each.heightMm > bottomMm) turn()
    pages.at(-1)?.push(...each.at(y))
    y += each.heightMm
  }
  const all = blocks.map((block) => ({ block, drawn: draw(block, room) }))
  for (const [at, { block, drawn }] of all.entries()) {
    // a heading does not stand alone at the foot of a page
    const next = block.kind === 'heading' ? (all[at + 1]?.drawn[0]?.heightMm ?? 0) : 0
    const wholeMm = drawn.reduce((sum, { heightMm }) => sum + heightMm, next)
    const isWhole = block.kind === 'together' || block.kind === 'heading'
    if (isWhole && wholeMm <= bottomMm - topMm && y + wholeMm > bottomMm) turn()
    for (const each of drawn) put(each)
  }
  if (pages.length === 0) pages.push([])
  const rows = qrRows(head.code)
  return pages.map((marks, at) => ({
    size,
    marks: [
      ...headMarks(head, rows, at + 1, pages.length, room),
      ...marks,
      ...(footLines.length === 0 ? [] : [boxMark(marginMm, bottomMm + 1, room.widthMm, ruleMm)]),
      ...footLines.map((text, line) =>
        textMark(text, marginMm, bottomMm + 3 + (line + 0.9) * sizes.small * 1.3, sizes.small),
      ),
    ],
  }))
}

const lineRoom = ({ widthMm, measure }: Room, sizeMm: number, face: Face = 'regular') => ({
  widthMm,
  sizeMm,
  face,
  measure,
})

function headMarks(
  { kind, code, title }: PaperHead,
  rows: string[],
  page: number,
  of: number,
  { widthMm, measure }: Room,
): SheetMark[] {
  const codeMm = 8
  const right = marginMm + widthMm - symbolMm
  const besideMm = widthMm - symbolMm - 4
  const say = of === 1 ? kind : `${kind}, page ${page} of ${of}`
  const kindMm = measure(say, 'regular', sizes.usual)
  const lines = wrapped(title, { widthMm: besideMm, sizeMm: sizes.usual, face: 'regular', measure })
  const [first, second] = lines.length > 2 ? [lines[0], `${lines[1]?.slice(0, -2)}…`] : lines
  const titles = [first, second].flatMap((text, line) =>
    text === undefined
      ? []
      : [textMark(text, marginMm, marginMm + codeMm + 3.4 + line * sizes.usual * 1.25, sizes.usual)],
  )
  return [
    textMark(code, marginMm, marginMm + codeMm * capital, codeMm, 'bold'),
    textMark(say, right - 4 - kindMm, marginMm + codeMm * capital, sizes.usual),
    ...titles,
    { kind: 'qr', xMm: right, yMm: marginMm, sideMm: symbolMm, rows },
    boxMark(marginMm, marginMm + symbolMm + 1, widthMm - symbolMm - 4, ruleMm),
  ]
}

/** A block as pieces that stay whole. */
function draw(block: Block, room: Room): Drawn[] {
  switch (block.kind) {
    case 'together':
      return block.blocks.flatMap((each) => draw(each, room))
    case 'heading': {
      const lines = wrapped(block.text, lineRoom(room, headingMm, 'bold'))
      return lines.map((text, line) => ({
        heightMm: headingMm * (line === 0 ? 2.26 : 1.25),
        at: (y) => [textMark(text, marginMm, y + headingMm * (line === 0 ? 5 / 3 : 0.66), headingMm, 'bold')],
      }))
    }
    case 'text': {
      const sizeMm = sizes[block.size ?? 'usual']
      const face: Face = block.bold ? 'bold' : 'regular'
      return wrapped(block.text, lineRoom(room, sizeMm, face)).map((text) => ({
        heightMm: sizeMm * leading,
        at: (y) => [textMark(text, marginMm, y + sizeMm * ascent, sizeMm, face)],
      }))
    }
    case 'fact':
      return fact(block.about, block.says, room)
    case 'table':
      return block.rows.map((row) => tableRow(row, block.columns, sizes[block.size], room))
    case 'boxes':
      return squares(block, room)
    case 'blanks': {
      const each = room.widthMm / block.labels.length
      const at = (y: number): SheetMark[] =>
        block.labels.flatMap((label, i) => {
          const x = marginMm + i * each
          const behind = room.measure(label, 'regular', sizes.small) + 1.5
          return [
            textMark(label, x, y + 6.8, sizes.small),
            boxMark(x + behind, y + 7.4, Math.max(4, each - behind - 3), ruleMm),
          ]
        })
      return [{ heightMm: 9, at }]
    }
    case 'swatches':
      return [swatches(block.of, room)]
    case 'rule':
      return [{ heightMm: 3.5, at: (y) => [boxMark(marginMm, y + 1.7, room.widthMm, ruleMm)] }]
  }
}

function fact(about: string, says: string, room: Room): Drawn[] {
  const sizeMm = sizes.usual
  const inset = Math.max(indentMm, room.measure(about, 'bold', sizeMm) + 3)
  const lines = wrapped(says, { ...lineRoom(room, sizeMm), widthMm: room.widthMm - inset })
  const all = lines.length === 0 ? [''] : lines
  return all.map((text, line) => ({
    heightMm: sizeMm * leading,
    at: (y) => [
      ...(line === 0 ? [textMark(about, marginMm, y + sizeMm * ascent, sizeMm, 'bold')] : []),
      ...(text === '' ? [] : [textMark(text, marginMm + inset, y + sizeMm * ascent, sizeMm)]),
    ],
  }))
}

function tableRow(row: readonly Cell[], columns: readonly Column[], sizeMm: number, { measure }: Room): Drawn {
  const gapMm = 2
  const cells = columns.map(({ widthMm, align }, i) => {
    const left = marginMm + columns.slice(0, i).reduce((sum, each) => sum + each.widthMm, 0)
    const cell = row[i] ?? { text: '' }
    if (cell === 'write') return { left, widthMm, align, face: 'regular' as Face, lines: null }
    const face: Face = cell.bold ? 'bold' : 'regular'
    return {
      left,
      widthMm,
      align,
      face,
      lines: wrapped(cell.text, { widthMm: widthMm - gapMm, sizeMm, face, measure }),
    }
  })
  const rows = Math.max(1, ...cells.map(({ lines }) => lines?.length ?? 1))
  const heightMm = Math.max(rows * sizeMm * (ascent + descent) + sizeMm * 0.35, 7)
  const at = (y: number): SheetMark[] =>
    cells.flatMap(({ left, widthMm, align, face, lines }): SheetMark[] => {
      if (lines === null) return [boxMark(left, y + heightMm - 1.4, widthMm - gapMm, ruleMm)]
      return lines.map((text, line) => {
        const x = align === 'left' ? left : left + widthMm - gapMm - measure(text, face, sizeMm)
        return textMark(text, x, y + sizeMm * (ascent + line * (ascent + descent)), sizeMm, face)
      })
    })
  return { heightMm, at }
}

function squares({ about, says, count }: Block & { kind: 'boxes' }, room: Room): Drawn[] {
  const left = marginMm + indentMm + Math.max(36, room.measure(says, 'regular', sizes.usual) + 4)
  const inRow = Math.max(1, Math.floor((marginMm + room.widthMm - left + squareGapMm) / (squareMm + squareGapMm)))
  const rows = Math.max(1, Math.ceil(count / inRow))
  return Array.from({ length: rows }, (_, row) => ({
    heightMm: squareMm + 2,
    at: (y) => [
      ...(row > 0
        ? []
        : [
            textMark(about, marginMm, y + squareMm * 0.75, sizes.usual, 'bold'),
            textMark(says, marginMm + indentMm, y + squareMm * 0.75, sizes.usual),
          ]),
      ...Array.from({ length: Math.min(inRow, count - row * inRow) }, (__, i) =>
        square(left + i * (squareMm + squareGapMm), y),
      ).flat(),
    ],
  }))
}

const square = (xMm: number, yMm: number): SheetMark[] => [
  boxMark(xMm, yMm, squareMm, ruleMm),
  boxMark(xMm, yMm + squareMm - ruleMm, squareMm, ruleMm),
  boxMark(xMm, yMm, ruleMm, squareMm),
  boxMark(xMm + squareMm - ruleMm, yMm, ruleMm, squareMm),
]

/** Touching, without borders: what is judged against each other is not parted by a line. */
function swatches(of: (Block & { kind: 'swatches' })['of'], { measure }: Room): Drawn {
  return {
    heightMm: swatchMm.height + 6,
    at: (y) =>
      of.flatMap(({ under, hex, cut }, i): SheetMark[] => {
        const rect = { xMm: marginMm + i * swatchMm.width, yMm: y, widthMm: swatchMm.width, heightMm: swatchMm.height }
        const [line = ''] = wrapped(under, {
          widthMm: swatchMm.width - 1,
          sizeMm: sizes.small,
          face: 'regular',
          measure,
        })
        const label = textMark(line, rect.xMm, y + swatchMm.height + 3, sizes.small)
        if (cut !== null) return [{ kind: 'picture', ...rect, key: `cut/${cut}` }, label]
        return hex === null ? [label] : [{ kind: 'paint', ...rect, hex }, label]
      }),
  }
}
