import { randomUUID } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { open, rename, rm } from 'node:fs/promises'
import { pipeline } from 'node:stream/promises'
import Pdf from 'pdfkit'
import { layOutLabel } from '../../shared-core/label/layout.ts'
import type { LabelMark, LabelPage, LabelSize, LabelWording } from '../../shared-core/records/label.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import { fontFiles, measureText } from './fonts.ts'
import { qrRows } from './qr.ts'

const pointsPerMm = 72 / 25.4

/**
 * The labels of several panels, in order, with the marks that both the preview and the PDF draw.
 * @throws Refusal `label/too-small`
 */
export async function layOutLabels(
  panels: readonly Panel[],
  size: LabelSize,
  wording: LabelWording = { decimal: 'point', units: 'metric' },
): Promise<LabelPage[]> {
  const pages: LabelPage[] = []
  for (const panel of panels) {
    const rows = await qrRows(panel.code)
    pages.push(...layOutLabel(panel, size, wording, measureText, () => rows))
  }
  return pages
}

/** Dark runs of a row as one rectangle each, in a single path: no seams between modules. */
function drawQr(pdf: PDFKit.PDFDocument, mark: LabelMark & { kind: 'qr' }): void {
  const moduleMm = mark.sideMm / mark.rows.length
  for (const [y, row] of mark.rows.entries()) {
    for (const run of row.matchAll(/1+/gu)) {
      pdf.rect(
        (mark.xMm + run.index * moduleMm) * pointsPerMm,
        (mark.yMm + y * moduleMm) * pointsPerMm,
        run[0].length * moduleMm * pointsPerMm,
        moduleMm * pointsPerMm,
      )
    }
  }
  pdf.fill('black')
}

function drawMark(pdf: PDFKit.PDFDocument, mark: LabelMark): void {
  switch (mark.kind) {
    case 'text':
      pdf
        .font(fontFiles[mark.face])
        .fontSize(mark.sizeMm * pointsPerMm)
        .fillColor('black')
        .text(mark.text, mark.xMm * pointsPerMm, mark.baselineMm * pointsPerMm, {
          lineBreak: false,
          baseline: 'alphabetic',
        })
      return
    case 'box':
      pdf
        .rect(mark.xMm * pointsPerMm, mark.yMm * pointsPerMm, mark.widthMm * pointsPerMm, mark.heightMm * pointsPerMm)
        .fill('black')
      return
    case 'qr':
      drawQr(pdf, mark)
  }
}

/**
 * Draws each page at exactly its size, text as text in an embedded face, symbols as vector squares. The file appears
 * whole under its name or not at all.
 */
export async function drawLabelsPdf(pages: readonly LabelPage[], outPath: string): Promise<void> {
  const pdf = new Pdf({
    autoFirstPage: false,
    margin: 0,
    info: { Title: 'Panel labels', Creator: 'Overground' },
  })
  for (const { size, marks } of pages) {
    pdf.addPage({ size: [size.widthMm * pointsPerMm, size.heightMm * pointsPerMm], margin: 0 })
    for (const mark of marks) drawMark(pdf, mark)
  }
  pdf.end()
  const partial = `${outPath}.${randomUUID()}.partial`
  try {
    await pipeline(pdf, createWriteStream(partial))
    const file = await open(partial, 'r+')
    try {
      await file.sync()
    } finally {
      await file.close()
    }
    await rename(partial, outPath)
  } catch (error) {
    await rm(partial, { force: true })
    throw error
  }
}
