import { invert3, type Matrix3, multiply3 } from '../../colour/matrix.ts'
import { Refusal } from '../../contract/refusal.ts'
import { type PhotoSheetPlaces, photoSheetPlaces } from '../../label/photo-sheet/places.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Layout, Point, Quad } from '../../records/area.ts'
import type { SheetOnPhoto } from '../../records/photo-sheet.ts'
import { type Homography, isConvex, mapPoint } from '../geometry.ts'

/** A photo sheet as it lies in a photo, with all that is printed on it. Page places are millimetres from its top left. */
export type SheetPage = {
  places: PhotoSheetPlaces
  toPhoto: Homography
  toPage: Homography
}

/** @returns null where the sheet's numbers describe no page that could lie in a photo */
export function pageOf({ print, toPhoto }: SheetOnPhoto): SheetPage | null {
  const places = placesOf(print)
  const h = toPhoto as unknown as Homography
  if (!places || h.length !== 9 || !h.every(Number.isFinite)) return null
  const { widthMm, heightMm } = print.paper
  const page = { places, toPhoto: h, toPage: h }
  const outline = pageOutline(page)
  // all of it in front of the camera: the same sign of depth at each corner
  const depths = [0, widthMm].flatMap((x) => [0, heightMm].map((y) => h[6] * x + h[7] * y + h[8]))
  if (!isConvex(outline) || Math.min(...depths) * Math.max(...depths) <= 0) return null
  return { ...page, toPage: invert3(h) }
}

function placesOf({ paper, panel }: SheetOnPhoto['print']): PhotoSheetPlaces | null {
  try {
    return photoSheetPlaces(paper, panel)
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}

/** Where a rectangle of the page lies in the photo. @param marginMm  taken off on each side; negative: added */
export function quadOnPhoto({ toPhoto }: Pick<SheetPage, 'toPhoto'>, rect: Rect, marginMm = 0): Quad {
  const [left, top] = [rect.xMm + marginMm, rect.yMm + marginMm]
  const [right, bottom] = [rect.xMm + rect.widthMm - marginMm, rect.yMm + rect.heightMm - marginMm]
  const at = (x: number, y: number): Point => mapPoint(toPhoto, [x, y])
  return [at(left, top), at(right, top), at(right, bottom), at(left, bottom)]
}

/** Millimetres of the page under one photo pixel at a place of the page: the square root of the map's area there. */
export function mmPerPixelAt({ toPhoto: h }: Pick<SheetPage, 'toPhoto'>, [x, y]: Point): number {
  const depth = h[6] * x + h[7] * y + h[8]
  const determinant =
    h[0] * (h[4] * h[8] - h[5] * h[7]) - h[1] * (h[3] * h[8] - h[5] * h[6]) + h[2] * (h[3] * h[7] - h[4] * h[6])
  return Math.sqrt(Math.abs(depth ** 3 / determinant))
}

export const middleOfRect = ({ xMm, yMm, widthMm, heightMm }: Rect): Point => [xMm + widthMm / 2, yMm + heightMm / 2]

/** The page's own edge in the photo. */
export const pageOutline = (page: SheetPage): Quad => quadOnPhoto(page, { xMm: 0, yMm: 0, ...page.places.paper })

/** The same sheet in pixels whose origin lies elsewhere. */
export function movedSheet(sheet: SheetOnPhoto, dx: number, dy: number): SheetOnPhoto {
  const toPhoto = multiply3([1, 0, dx, 0, 1, dy, 0, 0, 1], sheet.toPhoto as unknown as Matrix3)
  return { ...sheet, toPhoto: [...toPhoto] }
}

/** Millimetres under one photo pixel where the panel lies: by the sheet, or else as it was told. */
export function scaleOf({ sheet, mmPerPixel }: Pick<Layout, 'sheet' | 'mmPerPixel'>): number | null {
  const page = sheet ? pageOf(sheet) : null
  return page ? mmPerPixelAt(page, middleOfRect(page.places.window)) : (mmPerPixel ?? null)
}
