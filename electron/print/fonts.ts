import { createRequire } from 'node:module'
import Pdf from 'pdfkit'
import type { Face, MeasureText } from '../../shared-core/label/measures.ts'

const resolve = createRequire(import.meta.url).resolve

/** DejaVu Sans Condensed as full TrueType files: pdfkit cannot embed the web form. */
export const fontFiles: Record<Face, string> = {
  regular: resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf'),
  bold: resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf'),
}

let ruler: PDFKit.PDFDocument | null = null
const emWidths = new Map<string, number>()

/** Widths as pdfkit will draw them, kerning included; kept for one em, because they grow in proportion. */
export const measureText: MeasureText = (text, face, sizeMm) => {
  const key = `${face}:${text}`
  let em = emWidths.get(key)
  if (em === undefined) {
    ruler ??= new Pdf({ autoFirstPage: false })
    em = ruler.font(fontFiles[face]).fontSize(1000).widthOfString(text) / 1000
    if (emWidths.size > 20_000) emWidths.clear()
    emWidths.set(key, em)
  }
  return em * sizeMm
}
