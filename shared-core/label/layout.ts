import { Refusal } from '../contract/refusal.ts'
import type { LabelMark, LabelPage, LabelSize } from '../records/label.ts'
import type { Panel } from '../records/panel.ts'
import { boundSpace, dot, type LabelLine, type LabelWording, labelLines } from './text.ts'

export type Face = 'regular' | 'bold'
/** Width in millimetres of a text whose em is `sizeMm`. */
export type MeasureText = (text: string, face: Face, sizeMm: number) => number
/** Rows of a QR symbol without quiet zone: one character a module, '1' dark and '0' light. */
export type QrRows = (text: string) => string[]

/** Usual sizes of label rolls (common practice, no source); any other is typed. */
export const labelSizes: readonly { name: string; size: LabelSize }[] = [
  { name: '62 × 29 mm', size: { widthMm: 62, heightMm: 29 } },
  { name: '89 × 36 mm', size: { widthMm: 89, heightMm: 36 } },
  { name: '100 × 50 mm', size: { widthMm: 100, heightMm: 50 } },
]

/**
 * Smallest em: 1.9 mm (5.4 pt), at which a capital of DejaVu Sans Condensed is 1.4 mm and an x 1.04 mm high, still read at
 * arm's length. Below that the label flows on to a second one.
 */
export const smallestTextMm = 1.9
const smallestCodeMm = 3
/** QR Code (ISO/IEC 18004): a quiet zone of 4 modules. */
export const quietModules = 4
/** 0.33 mm a module and 8 mm a side: read by a phone at hand's breadth, and 2.6 dots of a 203 dpi printer. */
export const smallestModuleMm = 0.33
export const smallestQrMm = 8
/** Label printers leave about this much blank at the edges (common practice, no source). */
const marginMm = 1.6
/** Extents of DejaVu Sans Condensed in ems: ascender and descender of its hhea table (1901 and 483 of 2048 units). */
export const ascent = 1901 / 2048
export const descent = 483 / 2048
/** Height of a capital, 1493 of 2048 units. */
const capital = 1493 / 2048
const closest = 1.17
/** Lines stand no further apart than this; there is room for it on a label with little to say. */
const widest = 1.4
/** Letters that reach below the line; codes have mostly capitals and figures, which do not. */
const reachesBelow = /[^A-Z0-9 .:#+*/-]|[QJ/]/u
const mostParts = 20

type Frame = {
  size: LabelSize
  codeMm: number
  /** Left end of what stands beside the code. */
  besideMm: number
  /** Top of the body. */
  topMm: number
  qr: { xMm: number; yMm: number; sideMm: number; rows: string[] }
  /** What the symbol and its quiet zone take from the right, and how far down. */
  blockedFromMm: number
  blockedToMm: number
  measure: MeasureText
}

const clamp = (value: number, from: number, to: number): number => Math.min(Math.max(value, from), to)

/** Places the symbol in the top right corner and the code beside it. @throws Refusal `label/too-small` */
function frameOf(panel: Panel, size: LabelSize, measure: MeasureText, qrRows: QrRows): Frame {
  const rows = qrRows(panel.code)
  const smallest = Math.max(smallestQrMm, rows.length * smallestModuleMm)
  const sideMm = Math.max(smallest, clamp(size.heightMm * 0.34, 8, 16))
  const placed = [sideMm, smallest].map((side) => {
    const quiet = (quietModules * side) / rows.length
    const inset = Math.max(quiet, marginMm)
    return { side, quiet, inset, blockedFromMm: size.widthMm - inset - side - quiet, blockedToMm: inset + side + quiet }
  })
  for (const { side, inset, blockedFromMm, blockedToMm } of placed) {
    // "part 10 of 10" has to fit beside the code.
    const roomMm = blockedFromMm - marginMm
    const partMm = measure(partWords(mostParts, mostParts), 'regular', smallestTextMm)
    const wide = measure(panel.code, 'bold', 1) + 0.45
    const codeMm = Math.min(clamp(size.heightMm * 0.16, 4, 8), (roomMm - partMm) / wide)
    if (blockedToMm > size.heightMm || codeMm < smallestCodeMm) continue
    const topMm = marginMm + codeMm * (capital + (reachesBelow.test(panel.code) ? descent : 0)) + 0.55
    const qr = { xMm: size.widthMm - inset - side, yMm: inset, sideMm: side, rows }
    const besideMm = marginMm + measure(panel.code, 'bold', codeMm) + codeMm * 0.45
    return { size, codeMm, besideMm, topMm, qr, blockedFromMm, blockedToMm, measure }
  }
  throw tooSmall(size)
}

const tooSmall = (size: LabelSize): Refusal =>
  new Refusal(
    'label/too-small',
    `A label of ${size.widthMm} × ${size.heightMm} mm is too small for the panel's code, its QR code and its formula.`,
    'Choose a larger label, or give the panel a shorter code.',
  )

/** Code and symbol, and beside the code two small lines: day above, "1 of 2" below. On every part. */
function headMarks(frame: Frame, panel: Panel, part: number, of: number, day: string): LabelMark[] {
  const { codeMm, qr, besideMm } = frame
  const baselineMm = marginMm + codeMm * capital
  const marks: LabelMark[] = [
    { kind: 'text', xMm: marginMm, baselineMm, sizeMm: codeMm, face: 'bold', text: panel.code },
    { kind: 'qr', ...qr },
  ]
  const small = { kind: 'text', xMm: besideMm, sizeMm: smallSize(frame), face: 'regular' } as const
  if (day !== '') {
    marks.push({ ...small, baselineMm: marginMm + small.sizeMm * capital, text: day.replaceAll(boundSpace, ' ') })
  }
  if (of > 1) marks.push({ ...small, baselineMm, text: partWords(part, of) })
  return marks
}

const partWords = (part: number, of: number): string => `part ${part} of ${of}`
/** Two of them stand beside the code with air between. */
const smallSize = (frame: Frame): number => Math.max(smallestTextMm, frame.codeMm * 0.36)
const fitsBeside = (frame: Frame, text: string): boolean =>
  frame.measure(text, 'regular', smallSize(frame)) <= frame.blockedFromMm - frame.besideMm

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })

/** Splits a word that is wider than a whole line. */
function splitWord(word: string, roomMm: number, width: (text: string) => number): [string, string] {
  const letters = Array.from(graphemes.segment(word), (each) => each.segment)
  let count = letters.length
  while (count > 1 && width(letters.slice(0, count).join('')) > roomMm) count -= 1
  return [letters.slice(0, count).join(''), letters.slice(count).join('')]
}

/** The first words as a line; a dot between clauses is dropped where the line breaks. */
const lineOf = (words: readonly string[], count: number): string => {
  const line = words.slice(0, count).join(' ')
  return line.endsWith(dot) ? line.slice(0, -dot.length) : line
}

/**
 * Flows the lines over as many labels as they need at one size of text.
 * @param leading  distance of two baselines in ems
 * @returns        the marks of each label, or null where the size cannot be used: too wide, or more than 20 labels
 */
function flow(frame: Frame, lines: readonly LabelLine[], textMm: number, leading: number): LabelMark[][] | null {
  const { size, measure } = frame
  const startMm = frame.topMm + (leading - closest) * 2 * textMm
  const bottomMm = size.heightMm - marginMm
  const rightMm = size.widthMm - marginMm
  const pages: LabelMark[][] = [[]]
  const indentMm =
    Math.max(0, ...lines.map((line) => (line.about ? measure(line.about, 'bold', textMm) : 0))) + textMm * 0.55
  let top = startMm

  for (const line of lines) {
    const face: Face = line.role === 'title' ? 'bold' : 'regular'
    const emMm = measure(line.says, face, 1)
    // A caution gives way a little to stay on one line.
    const sizeMm =
      line.role === 'title'
        ? textMm * 1.15
        : line.role === 'caution'
          ? clamp((rightMm - marginMm - 0.01) / emMm, smallestTextMm, Math.max(smallestTextMm, textMm * 0.85))
          : textMm
    const left = marginMm + (line.about ? indentMm : 0)
    const width = (text: string): number => measure(text.replaceAll(boundSpace, ' '), face, sizeMm)
    let words = line.says.split(' ')
    let about = line.about
    // A little air before the cautions sets them off without a rule.
    if (line.role === 'caution' && top > startMm) top += sizeMm * 0.2
    while (words.length > 0) {
      if (top + sizeMm * (ascent + descent) > bottomMm + 1e-9) {
        pages.push([])
        if (pages.length > mostParts) return null
        top = startMm
        // On the next label the reader has to see again what the line is about.
        about = line.about
        if (top + sizeMm * (ascent + descent) > bottomMm + 1e-9) return null
      }
      const roomMm = (top < frame.blockedToMm ? Math.min(frame.blockedFromMm, rightMm) : rightMm) - left
      let count = words.length
      while (count > 0 && width(lineOf(words, count)) > roomMm) count -= 1
      if (count === 0) {
        const [fits, rest] = splitAt(words[0] ?? '', roomMm, width)
        words = [fits, rest, ...words.slice(1)].filter((each) => each !== '')
        count = 1
        if (width(words[0] ?? '') > roomMm) return null
      }
      const baselineMm = top + sizeMm * ascent
      const page = pages.at(-1)
      const plain = (text: string): string => text.replaceAll(boundSpace, ' ')
      if (about) page?.push({ kind: 'text', xMm: marginMm, baselineMm, sizeMm, face: 'bold', text: plain(about) })
      page?.push({ kind: 'text', xMm: left, baselineMm, sizeMm, face, text: plain(lineOf(words, count)) })
      about = ''
      words = words.slice(count)
      top += sizeMm * leading
    }
  }
  return pages
}

/** At a bound space if that helps, else between letters. */
function splitAt(word: string, roomMm: number, width: (text: string) => number): [string, string] {
  const pieces = word.split(boundSpace)
  for (let count = pieces.length - 1; count > 0; count--) {
    const fits = pieces.slice(0, count).join(boundSpace)
    if (width(fits) <= roomMm) return [fits, pieces.slice(count).join(boundSpace)]
  }
  return splitWord(word, roomMm, width)
}

/** The fewest labels that hold the lines, on them the largest text, and then the widest lines. */
function largestThatFits(lines: readonly LabelLine[], frame: Frame): LabelMark[][] | null {
  const smallest = flow(frame, lines, smallestTextMm, closest)
  if (smallest === null) return null
  const attempt = (textMm: number, leading: number): LabelMark[][] | null => {
    const pages = flow(frame, lines, textMm, leading)
    return pages?.length === smallest.length ? pages : null
  }
  let textMm = clamp(frame.size.heightMm * 0.075, smallestTextMm, 3.6)
  while (textMm > smallestTextMm && !attempt(textMm, closest)) textMm -= 0.05
  textMm = Math.max(textMm, smallestTextMm)
  // What height is left over goes between the lines.
  for (let leading = widest; leading > closest; leading -= 0.02) {
    const pages = attempt(textMm, leading)
    if (pages) return pages
  }
  return attempt(textMm, closest) ?? smallest
}

/**
 * What stands on a panel's label, in millimetres: code, QR symbol of the code, title, each layer with its formula and
 * coats, gun set-up, day, cautions. Black on white, no frames. Text is as large as fits; when it would have to be smaller
 * than `smallestTextMm` the label flows on to further parts, each with code, symbol and "1 of 2": nothing is ever cut.
 *
 * @param measure  width of a text in the face that will be drawn (DejaVu Sans Condensed, regular or bold)
 * @param qrRows   modules of the QR symbol
 * @throws         Refusal `label/too-small` when not even code and symbol fit, or more than 20 parts would be needed
 */
export function layOutLabel(
  panel: Panel,
  size: LabelSize,
  wording: LabelWording,
  measure: MeasureText,
  qrRows: QrRows,
): LabelPage[] {
  const frame = frameOf(panel, size, measure, qrRows)
  const all = labelLines(panel, wording, size.widthMm < 80)
  const sprayed = all.find((line) => line.role === 'day')?.says ?? ''
  const isBeside = panel.status !== 'planned' && fitsBeside(frame, sprayed)
  const lines = isBeside ? all.filter((line) => line.role !== 'day') : all
  const pages = largestThatFits(lines, frame)
  if (pages === null) throw tooSmall(size)
  return pages.map((marks, index) => ({
    size,
    panelId: panel.id,
    part: index + 1,
    of: pages.length,
    marks: [...headMarks(frame, panel, index + 1, pages.length, isBeside ? sprayed : ''), ...marks],
  }))
}
