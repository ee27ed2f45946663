import { randomUUID } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { open, rename, rm } from 'node:fs/promises'
import { pipeline } from 'node:stream/promises'
import Pdf from 'pdfkit'
import { isUnplaced, unplaced } from '../../shared-core/label/sheet/placement.ts'
import type { Placement, SheetMark, SheetPage } from '../../shared-core/records/sheet.ts'
import { fontFiles } from './fonts.ts'

const pointsPerMm = 72 / 25.4

export type PictureMark = SheetMark & { kind: 'picture' }

export type DrawOptions = {
  title: string
  /** How pages are drawn so that this printer puts them where they were laid out. */
  placement?: Placement
  /** The JPEG of a picture; null when there is none any more. */
  pictureOf?: (mark: PictureMark) => Promise<Buffer | null>
  /** Told after each page; what it throws ends the drawing. */
  onPage?: (done: number) => void
}

/** Dark runs of a row as one rectangle each, in a single path: no seams between modules. */
function drawQr(pdf: PDFKit.PDFDocument, mark: SheetMark & { kind: 'qr' }): void {
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

function drawRectangle(pdf: PDFKit.PDFDocument, mark: SheetMark & { kind: 'box' | 'paint' }, fill: string): void {
  pdf
    .rect(mark.xMm * pointsPerMm, mark.yMm * pointsPerMm, mark.widthMm * pointsPerMm, mark.heightMm * pointsPerMm)
    .fill(fill)
}

function drawMark(pdf: PDFKit.PDFDocument, mark: SheetMark, jpeg: Buffer | null): void {
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
      drawRectangle(pdf, mark, 'black')
      return
    case 'paint':
      drawRectangle(pdf, mark, mark.hex)
      return
    case 'picture':
      if (jpeg === null) drawMissing(pdf, mark)
      else
        pdf.image(jpeg, mark.xMm * pointsPerMm, mark.yMm * pointsPerMm, {
          width: mark.widthMm * pointsPerMm,
          height: mark.heightMm * pointsPerMm,
        })
      return
    case 'qr':
      drawQr(pdf, mark)
  }
}

/** A frame that says so: nobody takes it for white paint. */
function drawMissing(pdf: PDFKit.PDFDocument, mark: PictureMark): void {
  const sizeMm = Math.min(2.2, mark.heightMm * 0.8)
  pdf
    .rect(mark.xMm * pointsPerMm, mark.yMm * pointsPerMm, mark.widthMm * pointsPerMm, mark.heightMm * pointsPerMm)
    .lineWidth(0.7)
    .stroke('black')
  pdf
    .font(fontFiles.regular)
    .fontSize(sizeMm * pointsPerMm)
    .fillColor('black')
    .text('photo missing', (mark.xMm + 0.8) * pointsPerMm, (mark.yMm + mark.heightMm / 2 + sizeMm / 3) * pointsPerMm, {
      lineBreak: false,
      baseline: 'alphabetic',
    })
}

/** So many pictures are made ready at once. */
const atOnce = 8

async function picturesOf(page: SheetPage, { pictureOf }: DrawOptions): Promise<Map<SheetMark, Buffer | null>> {
  const found = new Map<SheetMark, Buffer | null>()
  if (!pictureOf) return found
  const wanted = page.marks.filter((mark) => mark.kind === 'picture')
  for (let from = 0; from < wanted.length; from += atOnce) {
    const some = wanted.slice(from, from + atOnce)
    const jpegs = await Promise.all(some.map(pictureOf))
    for (const [index, mark] of some.entries()) found.set(mark, jpegs[index] ?? null)
  }
  return found
}

/**
 * Draws pages at exactly their size, text as text in an embedded face, symbols as vector squares. Pages go to the disk as
 * they are drawn; the file appears whole under its name or not at all.
 */
export async function drawPagesPdf(pages: readonly SheetPage[], outPath: string, options: DrawOptions): Promise<void> {
  const { title, placement = unplaced, onPage } = options
  const pdf = new Pdf({ autoFirstPage: false, margin: 0, info: { Title: title, Creator: 'Overground' } })
  const partial = `${outPath}.${randomUUID()}.partial`
  const written = pipeline(pdf, createWriteStream(partial))
  // what goes wrong while drawing is thrown below; the stream's own end must not be an unheard rejection meanwhile
  written.catch(() => undefined)
  try {
    for (const [index, page] of pages.entries()) {
      const pictures = await picturesOf(page, options)
      pdf.addPage({ size: [page.size.widthMm * pointsPerMm, page.size.heightMm * pointsPerMm], margin: 0 })
      if (!isUnplaced(placement)) {
        const { scaleX, scaleY, moveXMm, moveYMm } = placement
        pdf.transform(scaleX, 0, 0, scaleY, moveXMm * pointsPerMm, moveYMm * pointsPerMm)
      }
      for (const mark of page.marks) drawMark(pdf, mark, pictures.get(mark) ?? null)
      onPage?.(index + 1)
    }
    pdf.end()
    await written
    const file = await open(partial, 'r+')
    try {
      await file.sync()
    } finally {
      await file.close()
    }
    await rename(partial, outPath)
  } catch (error) {
    pdf.destroy(error instanceof Error ? error : undefined)
    await written.catch(() => undefined)
    await rm(partial, { force: true })
    throw error
  }
}
