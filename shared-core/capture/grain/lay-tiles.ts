import type { Point, Shape } from '../../records/area.ts'
import { boxAround, isConvex, outlineOf, pointInQuad, shrinkQuad } from '../geometry.ts'
import type { Pixels } from '../pixels.ts'

/** So many pixels of an area are looked at, at most. */
export const tilePixels = 40_000
const margin = 0.05
const mostTiles = 200

/**
 * Square tiles of whole pixels inside a shape, spread evenly over it.
 * @returns  their top left corners; none where the shape holds no such square
 */
export function layTiles(photo: Pick<Pixels, 'width' | 'height'>, shape: Shape, side: number, most: number): Point[] {
  const outline = outlineOf(shape)
  if (!isConvex(outline)) return []
  const inner = shrinkQuad(outline, margin)
  const box = boxAround(inner, 0, photo)
  if (!box || box.width < side || box.height < side) return []
  const radius = shape.kind === 'round' ? shape.radius * (1 - margin) : null
  const inside = (x: number, y: number): boolean => {
    if (x > photo.width || y > photo.height) return false
    return shape.kind === 'round'
      ? Math.hypot(x - shape.centre[0], y - shape.centre[1]) <= (radius ?? 0)
      : pointInQuad([x, y], inner)
  }
  const columns = Math.floor(box.width / side)
  const rows = Math.floor(box.height / side)
  const left = box.left + Math.floor((box.width - columns * side) / 2)
  const top = box.top + Math.floor((box.height - rows * side) / 2)
  const found: Point[] = []
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [x, y] = [left + column * side, top + row * side]
      if (inside(x, y) && inside(x + side, y) && inside(x, y + side) && inside(x + side, y + side)) found.push([x, y])
    }
  }
  const wanted = Math.max(1, Math.min(most, mostTiles))
  if (found.length <= wanted) return found
  return Array.from({ length: wanted }, (_, i) => found[Math.floor(((i + 0.5) * found.length) / wanted)]!)
}
