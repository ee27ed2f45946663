import { apply3, invert3, type Matrix3, multiply3 } from '../../../../shared-core/colour/matrix.ts'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'
import type { Camera } from './plan.ts'

/** A rectangle lying on the bench: millimetres, turned clockwise on screen. */
export type Rectangle = { xMm: number; yMm: number; turn: number; widthMm: number; heightMm: number }

/**
 * From bench (millimetres) to photo (pixels): a pinhole that looks at the middle of the picture from about the distance
 * at which a phone shows this much of the bench.
 */
export function benchToPhoto(camera: Camera, width: number, height: number): Matrix3 {
  const distanceMm = (1.25 * Math.max(width, height)) / camera.pixelsPerMm
  const focal = camera.pixelsPerMm * distanceMm
  const [cp, sp] = [Math.cos(camera.pitch), Math.sin(camera.pitch)]
  const [cy, sy] = [Math.cos(camera.yaw), Math.sin(camera.yaw)]
  const [cr, sr] = [Math.cos(camera.roll), Math.sin(camera.roll)]
  const tilt: Matrix3 = [1, 0, 0, 0, cp, -sp, 0, sp, cp]
  const swing: Matrix3 = [cy, 0, sy, 0, 1, 0, -sy, 0, cy]
  const twist: Matrix3 = [cr, -sr, 0, sr, cr, 0, 0, 0, 1]
  const turned = multiply3(twist, multiply3(tilt, swing))
  // A point of the bench has no height: its third column is the camera's distance instead.
  const placed: Matrix3 = [turned[0], turned[1], 0, turned[3], turned[4], 0, turned[6], turned[7], distanceMm]
  return multiply3([focal, 0, width / 2, 0, focal, height / 2, 0, 0, 1], placed)
}

export const photoToBench = (camera: Camera, width: number, height: number): Matrix3 =>
  invert3(benchToPhoto(camera, width, height))

export function project(matrix: Matrix3, xMm: number, yMm: number): Point {
  const [x, y, w] = apply3(matrix, [xMm, yMm, 1])
  return [x / w, y / w]
}

/** Corners of a part of a rectangle, clockwise from the top left; the part in shares of width and height. */
export function quadOf(
  matrix: Matrix3,
  rectangle: Rectangle,
  part: { left: number; top: number; right: number; bottom: number } = { left: 0, top: 0, right: 1, bottom: 1 },
): Quad {
  const [c, s] = [Math.cos(rectangle.turn), Math.sin(rectangle.turn)]
  const corner = (across: number, down: number): Point => {
    const u = (across - 0.5) * rectangle.widthMm
    const v = (down - 0.5) * rectangle.heightMm
    return project(matrix, rectangle.xMm + c * u - s * v, rectangle.yMm + s * u + c * v)
  }
  return [
    corner(part.left, part.top),
    corner(part.right, part.top),
    corner(part.right, part.bottom),
    corner(part.left, part.bottom),
  ]
}
