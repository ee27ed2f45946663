import { type Homography, mapPoint } from '../../capture/geometry.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Point, Quad } from '../../records/area.ts'
import type { SheetOnPhoto } from '../../records/photo-sheet.ts'

/** Millimetres on the page to upright photo pixels. */
export const homographyOf = ({ toPhoto }: Pick<SheetOnPhoto, 'toPhoto'>): Homography => toPhoto as unknown as Homography

/** Where a place of the sheet lies in the photo: top left of the sheet first, then clockwise on it. */
export function sheetQuad(sheet: Pick<SheetOnPhoto, 'toPhoto'>, { xMm, yMm, widthMm, heightMm }: Rect): Quad {
  const at = (x: number, y: number): Point => mapPoint(homographyOf(sheet), [x, y])
  return [at(xMm, yMm), at(xMm + widthMm, yMm), at(xMm + widthMm, yMm + heightMm), at(xMm, yMm + heightMm)]
}
