import { labToCssColour } from '../../colour/screen.ts'
import { Refusal } from '../../contract/refusal.ts'
import { formatShort } from '../../mix/units.ts'
import type { LabelWording } from '../../records/label.ts'
import type { Band, PanelSummary } from '../../records/panel.ts'
import type { PaperSize, SheetMark, SheetPage, Shown } from '../../records/sheet.ts'
import { ascent, descent, type Face, type MeasureText } from '../measures.ts'
import { boxMark, textMark, wrapped } from './wrap.ts'

const marginMm = 11
const gapMm = 3.6
const headMm = 10
const footMm = 6
const ruleMm = 0.25
/** Height of the paint, in widths of a column: panels hang upright. */
const tall = 1.25
const smallestColumnMm = 15
const headingMm = 8.4

/** A heading before the first panel of a group, null where the index has no groups. */
export type IndexGroup = { name: string | null; panels: readonly PanelSummary[] }

export type IndexWords = {
  /** The rack's name. */
  title: string
  /** "60 panels, sorted by code". */
  below: string
  wording: LabelWording
  shows: ReadonlySet<Shown>
}

type Line = { text: string; sizeMm: number; face: Face }
type Cell = { panel: PanelSummary; lines: Line[] }

/**
 * The rack on paper: panels in columns with their pictures in bands, as they hang, and under each what it is. Nothing is
 * cut: a row is as high as its longest title needs.
 * @throws Refusal `sheet/does-not-fit`
 */
export function layOutIndex(
  groups: readonly IndexGroup[],
  paper: PaperSize,
  columns: number,
  words: IndexWords,
  measure: MeasureText,
): SheetPage[] {
  const widthMm = paper.widthMm - 2 * marginMm
  const columnMm = (widthMm - (columns - 1) * gapMm) / columns
  const paintMm = columnMm * tall
  const topMm = marginMm + headMm
  const bottomMm = paper.heightMm - marginMm - footMm
  if (columnMm < smallestColumnMm || bottomMm - topMm < paintMm + headingMm + 10) throw noRoom(paper, columns)
  const sheets: SheetMark[][] = []
  let y = Number.POSITIVE_INFINITY
  const turn = (): void => {
    sheets.push([])
    y = topMm
  }
  const put = (...marks: SheetMark[]): void => void sheets.at(-1)?.push(...marks)

  for (const group of groups) {
    for (let from = 0; from < group.panels.length; from += columns) {
      const cells = group.panels.slice(from, from + columns).map((panel) => cellOf(panel, columnMm, words, measure))
      const textMm = Math.max(...cells.map(({ lines }) => heightOf(lines)))
      const rowMm = paintMm + 1.2 + textMm + gapMm
      if (headingMm + rowMm - gapMm > bottomMm - topMm) throw noRoom(paper, columns)
      const isHeaded = from === 0 && group.name !== null
      const heading = isHeaded ? headingMm : 0
      if (y + heading + rowMm - gapMm > bottomMm) {
        turn()
        // a group that goes on says so on the next page
        if (!isHeaded && group.name !== null) {
          put(...headingOf(`${group.name}, continued`, y, widthMm))
          y += headingMm
        }
      }
      if (isHeaded && group.name !== null) {
        put(...headingOf(group.name, y, widthMm))
        y += headingMm
      }
      for (const [column, cell] of cells.entries())
        put(...cellMarks(cell, marginMm + column * (columnMm + gapMm), y, columnMm, paintMm, measure))
      y += rowMm
    }
  }
  if (sheets.length === 0) turn()
  return sheets.map((marks, index) => ({
    size: paper,
    marks: [
      textMark(words.title, marginMm, marginMm + 4.4, 5, 'bold'),
      ...rightText(words.below, marginMm + 4.4, 3, paper, measure),
      boxMark(marginMm, marginMm + 6.6, widthMm, ruleMm),
      ...marks,
      textMark(
        'Printed colours are not the paint: judge the panel itself under the customer’s light.',
        marginMm,
        paper.heightMm - marginMm,
        2.4,
      ),
      ...rightText(`page ${index + 1} of ${sheets.length}`, paper.heightMm - marginMm, 2.8, paper, measure),
    ],
  }))
}

const noRoom = (paper: PaperSize, columns: number): Refusal =>
  new Refusal(
    'sheet/does-not-fit',
    `${columns} columns of pictures with their words do not fit on a page of ${paper.widthMm.toFixed(0)} × ${paper.heightMm.toFixed(0)} mm.`,
    'Choose another number of columns, larger paper, or fewer words below the pictures.',
  )

const headingOf = (name: string, yMm: number, widthMm: number): SheetMark[] => [
  textMark(name, marginMm, yMm + 4.2, 3.9, 'bold'),
  boxMark(marginMm, yMm + 5.8, widthMm, ruleMm / 2),
]

const rightText = (text: string, baselineMm: number, sizeMm: number, paper: PaperSize, measure: MeasureText) => [
  textMark(text, paper.widthMm - marginMm - measure(text, 'regular', sizeMm), baselineMm, sizeMm),
]

const heightOf = (lines: readonly Line[]): number => lines.reduce((sum, { sizeMm }) => sum + sizeMm * 1.22, 0)

function cellOf(panel: PanelSummary, widthMm: number, words: IndexWords, measure: MeasureText): Cell {
  const { shows } = words
  const [codeMm, titleMm, smallMm] = widthMm < 26 ? [2.9, 2.4, 2.1] : [3.3, 2.7, 2.3]
  const lines: Line[] = []
  const say = (text: string, sizeMm: number, face: Face = 'regular') => {
    for (const line of wrapped(text, { widthMm, sizeMm, face, measure })) lines.push({ text: line, sizeMm, face })
  }
  say(panel.status === 'retired' ? `${panel.code} retired` : panel.code, codeMm, 'bold')
  if (shows.has('title')) say(panel.title, titleMm)
  if (shows.has('formula')) say(panel.candies.join(' + '), smallMm)
  const under = [
    ...(shows.has('ground') ? [panel.ground ?? 'no ground'] : []),
    ...(shows.has('coats') ? [coatsOf(panel, words.wording)] : []),
    ...(shows.has('date') && panel.sprayedOn !== null ? [panel.sprayedOn] : []),
  ]
  say(under.join(', '), smallMm)
  return { panel, lines }
}

function coatsOf({ coatsFrom, coatsTo }: PanelSummary, { decimal }: LabelWording): string {
  const [from, to] = [coatsFrom, coatsTo].map((coats) => formatShort(coats, 1, decimal))
  return `${from === to ? to : `${from}–${to}`} ${coatsTo === 1 ? 'coat' : 'coats'}`
}

function cellMarks(
  { panel, lines }: Cell,
  xMm: number,
  yMm: number,
  widthMm: number,
  paintMm: number,
  measure: MeasureText,
): SheetMark[] {
  const marks = panel.bands.some(({ cut, lab }) => cut || lab)
    ? panel.bands.flatMap((band, index) => {
        const heightMm = paintMm / panel.bands.length
        return bandMarks(band, xMm, yMm + index * heightMm, widthMm, heightMm)
      })
    : outline(panel.status === 'planned' ? 'planned' : 'no colour yet', xMm, yMm, widthMm, paintMm, measure)
  let baselineMm = yMm + paintMm + 1.2
  for (const { text, sizeMm, face } of lines) {
    marks.push(textMark(text, xMm, baselineMm + sizeMm * ascent, sizeMm, face))
    baselineMm += sizeMm * 1.22
  }
  return marks
}

/** Its picture, its measured colour, or nothing while it has neither: white paper, which no paint is taken for. */
function bandMarks(band: Band, xMm: number, yMm: number, widthMm: number, heightMm: number): SheetMark[] {
  if (band.cut) return [{ kind: 'picture', xMm, yMm, widthMm, heightMm, key: `cut/${band.cut}` }]
  if (band.lab) return [{ kind: 'paint', xMm, yMm, widthMm, heightMm, hex: labToCssColour(band.lab).hex }]
  return frame(xMm, yMm, widthMm, heightMm)
}

const frame = (xMm: number, yMm: number, widthMm: number, heightMm: number): SheetMark[] => [
  boxMark(xMm, yMm, widthMm, ruleMm),
  boxMark(xMm, yMm + heightMm - ruleMm, widthMm, ruleMm),
  boxMark(xMm, yMm, ruleMm, heightMm),
  boxMark(xMm + widthMm - ruleMm, yMm, ruleMm, heightMm),
]

function outline(words: string, xMm: number, yMm: number, widthMm: number, heightMm: number, measure: MeasureText) {
  const sizeMm = 2.3
  const lines = wrapped(words, { widthMm: widthMm - 3, sizeMm, face: 'regular', measure })
  return [
    ...frame(xMm, yMm, widthMm, heightMm),
    ...lines.map((line, i) =>
      textMark(
        line,
        xMm + (widthMm - measure(line, 'regular', sizeMm)) / 2,
        yMm + heightMm / 2 + (i - lines.length / 2) * sizeMm * 1.25 + sizeMm * (1 - descent),
        sizeMm,
      ),
    ),
  ]
}

/** As the wall groups: grounds by name, panels without one last. */
export function byGround(panels: readonly PanelSummary[]): IndexGroup[] {
  const groups = new Map<string | null, PanelSummary[]>()
  for (const panel of panels) {
    const group = groups.get(panel.ground)
    if (group) group.push(panel)
    else groups.set(panel.ground, [panel])
  }
  return [...groups]
    .toSorted(([a], [b]) => (a === null ? 1 : b === null ? -1 : a.localeCompare(b)))
    .map(([ground, group]) => ({ name: ground === null ? 'No ground' : `Over ${ground}`, panels: group }))
}
