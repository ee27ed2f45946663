import type { PaperSize } from '../../records/sheet.ts'
import type { PhotoSheetPlaces } from './places.ts'

/** What a corner's symbol on a photo sheet says. */
export type CornerText = {
  corner: 1 | 2 | 3 | 4
  paper: PaperSize
  /** The panel that the sheet is for, in millimetres. */
  panel: { widthMm: number; heightMm: number }
  /** Null: for any panel. */
  code: string | null
}

/**
 * What a corner's symbol says: the layout's version, which corner, page and panel in tenths of a millimetre, and the
 * panel's code ("-" where the sheet is for any panel). Capitals and figures alone make the symbol small.
 */
export const cornerText = (
  corner: 1 | 2 | 3 | 4,
  { paper, window }: Pick<PhotoSheetPlaces, 'paper' | 'window'>,
  code: string | null,
): string => {
  const tenths = (mm: number): number => Math.round(mm * 10)
  const size = (rect: { widthMm: number; heightMm: number }): string =>
    `${tenths(rect.widthMm)}X${tenths(rect.heightMm)}`
  return `OG1 ${corner} ${size(paper)} ${size(window)} ${code ?? '-'}`
}

/** A symbol in a photo may be anybody's: four corners of this version, sizes of at most six metres, a code as panels have one. */
const form = /^OG1 ([1-4]) (\d{2,5})X(\d{2,5}) (\d{2,5})X(\d{2,5}) (\S.{0,23})$/u

/** The inverse of `cornerText`. @returns null for every other text, as another sheet's, another version's or a stranger's */
export function readCornerText(text: string): CornerText | null {
  if (text.length > 80 || /\p{C}/u.test(text)) return null
  const found = form.exec(text)
  if (!found) return null
  const [, corner, ...sizes] = found
  const [paperWide = 0, paperHigh = 0, wide = 0, high = 0] = sizes.slice(0, 4).map((tenths) => Number(tenths) / 10)
  const code = sizes[4] ?? '-'
  // a panel lies on its page
  if (!(wide > 0 && high > 0 && wide <= paperWide && high <= paperHigh)) return null
  return {
    corner: Number(corner) as CornerText['corner'],
    paper: { widthMm: paperWide, heightMm: paperHigh },
    panel: { widthMm: wide, heightMm: high },
    code: code === '-' ? null : code,
  }
}
