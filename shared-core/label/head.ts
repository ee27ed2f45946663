import { Refusal } from '../contract/refusal.ts'
import type { LabelMark, LabelSize } from '../records/label.ts'
import {
  capital,
  clamp,
  closest,
  descent,
  type MeasureText,
  marginMm,
  mostParts,
  overhang,
  type QrRows,
  quietModules,
  smallestCodeMm,
  smallestModuleMm,
  smallestQrMm,
  smallestTextMm,
  tallLetter,
} from './measures.ts'
import { plain } from './text.ts'

/** Letters that reach below the line; codes have mostly capitals and figures, which do not. */
const reachesBelow = /[^A-Z0-9 .:#+*/-]|[QJ/]/u
/** Between the code and what stands beside it, in ems of the code. */
const gapEm = 0.45

export type Frame = {
  size: LabelSize
  codeMm: number
  /** Left end of what stands beside the code; null where the code takes the whole width. */
  besideMm: number | null
  /** Top of the body. */
  topMm: number
  /** Null where no symbol is wanted. */
  qr: { xMm: number; yMm: number; sideMm: number; rows: string[] } | null
  /** What the symbol and its quiet zone take from the right, and how far down. */
  blockedFromMm: number
  blockedToMm: number
  measure: MeasureText
}

/** What every part of a label carries: the code in large letters, and what the symbol says, if there is one. */
export type Head = { code: string; symbol: string | null }

/** Places the symbol in the top right corner and the code beside it. @throws Refusal `label/too-small` */
export function frameOf({ code, symbol }: Head, size: LabelSize, measure: MeasureText, qrRows: QrRows): Frame {
  if (symbol === null) {
    const frame = frameBeside(code, size, measure, size.widthMm - marginMm)
    if (!frame) throw tooSmall(size)
    return { ...frame, qr: null, blockedFromMm: size.widthMm - marginMm, blockedToMm: 0 }
  }
  const rows = qrRows(symbol)
  const smallest = Math.max(smallestQrMm, rows.length * smallestModuleMm)
  const sideMm = Math.max(smallest, clamp(size.heightMm * 0.45, 10, 18))
  const placed = [sideMm, smallest].map((side) => {
    const quiet = (quietModules * side) / rows.length
    const inset = Math.max(quiet, marginMm)
    return { side, quiet, inset, blockedFromMm: size.widthMm - inset - side - quiet, blockedToMm: inset + side + quiet }
  })
  for (const { side, inset, blockedFromMm, blockedToMm } of placed) {
    const frame = blockedToMm > size.heightMm ? null : frameBeside(code, size, measure, blockedFromMm)
    if (!frame) continue
    const qr = { xMm: size.widthMm - inset - side, yMm: inset, sideMm: side, rows }
    return { ...frame, qr, blockedFromMm, blockedToMm }
  }
  throw tooSmall(size)
}

/** The code and where what stands beside it begins, left of `endMm`; null when the code would be too small. */
function frameBeside(code: string, size: LabelSize, measure: MeasureText, endMm: number) {
  const roomMm = endMm - marginMm
  const emMm = measure(code, 'bold', 1)
  const partMm = measure(partWords(mostParts, mostParts), 'regular', smallestTextMm) + overhang * smallestTextMm
  const wantedMm = clamp(size.heightMm * 0.16, 4, 8)
  // Beside a long code there is no room for "part 1 of 2": it gets a line of its own.
  const withPartMm = Math.min(wantedMm, (roomMm - partMm) / (emMm + gapEm))
  const isBeside = withPartMm >= 3
  const codeMm = isBeside ? withPartMm : Math.min(wantedMm, roomMm / (emMm + overhang))
  if (codeMm < smallestCodeMm) return null
  // Room for the descenders beside the code, and for those of the code itself.
  const belowMm = Math.max(0.55, smallSize(codeMm) * descent + 0.05) + (isBeside ? 0 : smallestTextMm * closest)
  const topMm = marginMm + codeMm * (capital + (reachesBelow.test(code) ? descent : 0)) + belowMm
  const besideMm = isBeside ? marginMm + codeMm * (emMm + gapEm) : null
  return { size, codeMm, besideMm, topMm, measure }
}

export const tooSmall = (size: LabelSize): Refusal =>
  new Refusal(
    'label/too-small',
    `A label of ${size.widthMm} × ${size.heightMm} mm is too small for its code, its QR code and what is said below them.`,
    'Choose a larger label or say less on it, or give the panel a shorter code.',
  )

/**
 * Code and symbol, and beside the code two small lines: day above, "part 1 of 2" below. On every part.
 * @param day  may be empty; otherwise it fits, see `fitsBeside`
 */
export function headMarks(frame: Frame, code: string, part: number, of: number, day: string): LabelMark[] {
  const { codeMm, qr, besideMm, topMm } = frame
  const baselineMm = marginMm + codeMm * capital
  const marks: LabelMark[] = [
    { kind: 'text', xMm: marginMm, baselineMm, sizeMm: codeMm, face: 'bold', text: code },
    ...(qr ? [{ kind: 'qr', ...qr } as const] : []),
  ]
  const words = of > 1 ? [day, partWords(part, of)] : [day]
  if (besideMm === null) {
    const line = { xMm: marginMm, baselineMm: topMm - smallestTextMm * descent, sizeMm: smallestTextMm } as const
    return of === 1 ? marks : [...marks, { kind: 'text', ...line, face: 'regular', text: partWords(part, of) }]
  }
  const small = { kind: 'text', xMm: besideMm, sizeMm: sizeBeside(frame, besideMm, words), face: 'regular' } as const
  if (day !== '') marks.push({ ...small, baselineMm: marginMm + small.sizeMm * capital, text: plain(day) })
  if (of > 1) marks.push({ ...small, baselineMm, text: partWords(part, of) })
  return marks
}

const partWords = (part: number, of: number): string => `part ${part} of ${of}`
/** Largest text beside the code: two lines of it stand there with air between. */
const smallSize = (codeMm: number): number => Math.max(smallestTextMm, codeMm * 0.36)

const sizeBeside = (frame: Frame, besideMm: number, words: readonly string[]): number => {
  const widest = Math.max(0.01, ...words.map((text) => frame.measure(plain(text), 'regular', 1)))
  return Math.min(smallSize(frame.codeMm), (frame.blockedFromMm - besideMm) / (widest + overhang))
}

/** The text can stand beside the code, above "part 1 of 2". */
export const fitsBeside = (frame: Frame, text: string): boolean => {
  if (frame.besideMm === null) return false
  const sizeMm = sizeBeside(frame, frame.besideMm, [text, partWords(mostParts, mostParts)])
  return sizeMm >= smallestTextMm && sizeMm * (capital + descent + tallLetter) <= frame.codeMm * capital
}
