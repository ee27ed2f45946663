import type { PaperSize } from '../../records/sheet.ts'

/** ISO 216, and the sizes of ANSI/ASME Y14.1 A in inches. */
export const papers: readonly { name: string; size: PaperSize }[] = [
  { name: 'A4', size: { widthMm: 210, heightMm: 297 } },
  { name: 'Letter', size: { widthMm: 8.5 * 25.4, heightMm: 11 * 25.4 } },
]

export const cardSizes: readonly { name: string; size: PaperSize }[] = [
  { name: 'A6', size: { widthMm: 105, heightMm: 148 } },
  { name: 'A5', size: { widthMm: 148, heightMm: 210 } },
  { name: '4 × 6 in', size: { widthMm: 4 * 25.4, heightMm: 6 * 25.4 } },
]

export const sameSize = (a: PaperSize, b: PaperSize): boolean =>
  Math.abs(a.widthMm - b.widthMm) < 0.05 && Math.abs(a.heightMm - b.heightMm) < 0.05
