import type { Point } from '../../../../shared-core/records/area.ts'
import type { Size } from '../marks.ts'

/** How the photo lies on the desk: screen pixels to one photo pixel, and where its top left corner is. */
export type View = { scale: number; x: number; y: number }

/** Ground that stays free around a photo that is fitted, for handles and plates. */
const free = 28
const most = 8

export function fitView(photo: Size, room: Size): View {
  const scale = Math.min(
    Math.max(room.width - 2 * free, 1) / photo.width,
    Math.max(room.height - 2 * free, 1) / photo.height,
  )
  return { scale, x: (room.width - photo.width * scale) / 2, y: (room.height - photo.height * scale) / 2 }
}

/** Keeps the photo on the desk: centred where it is smaller than the desk, without a needless gap where it is larger. */
function held(view: View, photo: Size, room: Size): View {
  const along = (at: number, length: number, space: number) =>
    length + 2 * free <= space ? (space - length) / 2 : Math.min(Math.max(at, space - length - free), free)
  return {
    scale: view.scale,
    x: along(view.x, photo.width * view.scale, room.width),
    y: along(view.y, photo.height * view.scale, room.height),
  }
}

/** Zooms so that what lies under `at` (screen) stays there. @returns null for the fitted view */
export function zoomAt(view: View, factor: number, at: Point, photo: Size, room: Size): View | null {
  const fitted = fitView(photo, room).scale
  const scale = Math.min(Math.max(view.scale * factor, fitted), Math.max(most, fitted))
  if (scale <= fitted * 1.0001) return null
  const k = scale / view.scale
  return held({ scale, x: at[0] - (at[0] - view.x) * k, y: at[1] - (at[1] - view.y) * k }, photo, room)
}

export function panBy(view: View, by: Point, photo: Size, room: Size): View {
  return held({ ...view, x: view.x + by[0], y: view.y + by[1] }, photo, room)
}

export function toScreen(view: View, [x, y]: Point): Point {
  return [x * view.scale + view.x, y * view.scale + view.y]
}

export function toPhoto(view: View, [x, y]: Point): Point {
  return [(x - view.x) / view.scale, (y - view.y) / view.scale]
}
