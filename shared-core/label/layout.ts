import type { LabelMark, LabelPage, LabelSize, LabelWording } from '../records/label.ts'
import type { Panel } from '../records/panel.ts'
import type { Shown } from '../records/sheet.ts'
import { type Frame, fitsBeside, frameOf, headMarks, tooSmall } from './head.ts'
import {
  ascent,
  clamp,
  closest,
  descent,
  type Face,
  loosest,
  type MeasureText,
  marginMm,
  mostParts,
  overhang,
  type QrRows,
  smallestTextMm,
} from './measures.ts'
import { boundSpace, dot, type LabelLine, labelLines, nothingSaid, plain, type SafetySaid, usualShows } from './text.ts'

/** Usual sizes of label rolls (common practice, no source); any other is typed. */
export const labelSizes: readonly { name: string; size: LabelSize }[] = [
  { name: '62 × 29 mm', size: { widthMm: 62, heightMm: 29 } },
  { name: '89 × 36 mm', size: { widthMm: 89, heightMm: 36 } },
  { name: '100 × 50 mm', size: { widthMm: 100, heightMm: 50 } },
]

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
    const face: Face = line.role === 'title' || line.role === 'loud' ? 'bold' : 'regular'
    const emMm = measure(line.says, face, 1)
    // A caution gives way a little to stay on one line.
    const sizeMm =
      line.role === 'title'
        ? textMm * 1.15
        : line.role === 'loud'
          ? clamp((rightMm - marginMm - 0.01) / emMm, textMm, textMm * 1.6)
          : line.role === 'caution'
            ? clamp((rightMm - marginMm - 0.01) / emMm, smallestTextMm, Math.max(smallestTextMm, textMm * 0.85))
            : textMm
    const left = marginMm + (line.about ? indentMm : 0)
    const width = (text: string): number => measure(plain(text), face, sizeMm)
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
      const isBesideQr = top < frame.blockedToMm
      const roomMm = (isBesideQr ? Math.min(frame.blockedFromMm - sizeMm * overhang, rightMm) : rightMm) - left
      let count = 0
      while (count < words.length && width(lineOf(words, count + 1)) <= roomMm) count += 1
      if (count === 0) {
        const [fits, rest] = splitAt(words[0] ?? '', roomMm, width)
        words = [fits, rest, ...words.slice(1)].filter((each) => each !== '')
        count = 1
        if (width(words[0] ?? '') > roomMm) return null
      }
      const baselineMm = top + sizeMm * ascent
      const page = pages.at(-1)
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
export function largestThatFits(lines: readonly LabelLine[], frame: Frame): LabelMark[][] | null {
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
  for (let leading = loosest; leading > closest; leading -= 0.02) {
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
 * @param shows    what stands on it besides the code
 * @throws         Refusal `label/too-small` when not even code and symbol fit, or more than 20 parts would be needed
 */
export function layOutLabel(
  panel: Panel,
  size: LabelSize,
  wording: LabelWording,
  measure: MeasureText,
  qrRows: QrRows,
  shows: ReadonlySet<Shown> = usualShows,
  said: SafetySaid = nothingSaid,
): LabelPage[] {
  const frame = frameOf({ code: panel.code, symbol: shows.has('qr') ? panel.code : null }, size, measure, qrRows)
  const all = labelLines(panel, wording, size.widthMm < 80, shows, said)
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
    marks: [...headMarks(frame, panel.code, index + 1, pages.length, isBeside ? sprayed : ''), ...marks],
  }))
}
