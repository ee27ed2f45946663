import type { LabelMark } from '../../../../../shared-core/records/label.ts'
import type { SheetMark } from '../../../../../shared-core/records/sheet.ts'

/** A printed page as small squares, each with the number of its ink; 0 is the bare paper. */
export type PageRaster = {
  perMm: number
  columns: number
  rows: number
  inks: Uint8Array
  hexes: string[]
  /** Tiles of `tileCells` squares a side: the ink that fills it and all tiles around it, or `mixedTile`. */
  tiles: { columns: number; inks: Uint8Array }
}

export const tileCells = 32
export const mixedTile = 255

/** What small print comes to from some way off. */
const textHex = '#777777'
const xHeightEm = 0.55

/** Fine enough for an edge to lie within 0.03 mm. */
const usualPerMm = 16

export function pageRaster(
  { size, marks }: { size: { widthMm: number; heightMm: number }; marks: readonly (SheetMark | LabelMark)[] },
  perMm = usualPerMm,
): PageRaster {
  const [columns, rows] = [Math.round(size.widthMm * perMm), Math.round(size.heightMm * perMm)]
  const inks = new Uint8Array(columns * rows)
  const hexes = ['#ffffff']
  const inkNumber = (hex: string): number => {
    const at = hexes.indexOf(hex)
    return at >= 0 ? at : hexes.push(hex) - 1
  }
  const fill = (xMm: number, yMm: number, widthMm: number, heightMm: number, hex: string) => {
    const ink = inkNumber(hex)
    const [left, right] = [xMm, xMm + widthMm].map((v) => Math.min(columns, Math.max(0, Math.round(v * perMm))))
    const [top, bottom] = [yMm, yMm + heightMm].map((v) => Math.min(rows, Math.max(0, Math.round(v * perMm))))
    for (let row = top!; row < bottom!; row++) inks.fill(ink, row * columns + left!, row * columns + right!)
  }
  for (const mark of marks) {
    if (mark.kind === 'box') fill(mark.xMm, mark.yMm, mark.widthMm, mark.heightMm, '#000000')
    else if (mark.kind === 'paint') fill(mark.xMm, mark.yMm, mark.widthMm, mark.heightMm, mark.hex)
    else if (mark.kind === 'qr') {
      const module = mark.sideMm / mark.rows.length
      mark.rows.forEach((row, y) => {
        for (let x = 0; x < row.length; x++)
          if (row[x] === '1') fill(mark.xMm + x * module, mark.yMm + y * module, module, module, '#000000')
      })
    } else if (mark.kind === 'text') {
      const high = mark.sizeMm * xHeightEm
      fill(mark.xMm, mark.baselineMm - high, textWidth(mark.text, mark.face, mark.sizeMm), high, textHex)
    }
  }
  return { perMm, columns, rows, inks, hexes, tiles: evenTiles(inks, columns, rows) }
}

function evenTiles(inks: Uint8Array, columns: number, rows: number): PageRaster['tiles'] {
  const [across, down] = [Math.ceil(columns / tileCells), Math.ceil(rows / tileCells)]
  const own = new Uint8Array(across * down)
  for (let tile = 0; tile < own.length; tile++) {
    const [left, top] = [(tile % across) * tileCells, Math.floor(tile / across) * tileCells]
    const first = inks[top * columns + left]!
    own[tile] = first
    for (let y = top; y < Math.min(rows, top + tileCells); y++)
      for (let x = left; x < Math.min(columns, left + tileCells); x++)
        if (inks[y * columns + x] !== first) own[tile] = mixedTile
  }
  const even = own.map((ink, tile) => {
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        const [x, y] = [(tile % across) + dx, Math.floor(tile / across) + dy]
        if (x >= 0 && x < across && y >= 0 && y < down && own[y * across + x] !== ink) return mixedTile
      }
    return ink
  })
  return { columns: across, inks: even }
}

/** Near enough to a condensed face for a page that nobody reads the words of. */
export const textWidth = (text: string, face: 'regular' | 'bold', sizeMm: number): number =>
  text.length * sizeMm * (face === 'bold' ? 0.56 : 0.5)
