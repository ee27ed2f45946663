import { boxAround, moveQuad, outlineOf, type PixelBox } from '../../shared-core/capture/geometry.ts'
import { type LayoutReading, readLayout } from '../../shared-core/capture/read-layout.ts'
import type { Layout, Shape } from '../../shared-core/records/area.ts'
import { decodePhoto } from './decode.ts'
import { factsOf } from './inspect.ts'

/**
 * Reads the marked areas of a photo on disk.
 * @param layout  in upright photo pixels, corner of the first pixel at (0, 0)
 * @param wholePhoto  up to this many pixels all are decoded, because the surroundings tell whether the photo is sharp and its
 *   light of one colour; of larger photos only what is marked, and half as much around it
 * @throws Refusal when the file cannot be read at all
 */
export async function readPhoto(path: string, layout: Layout, wholePhoto = 50_000_000): Promise<LayoutReading> {
  const facts = await factsOf(path)
  const box = facts.width * facts.height > wholePhoto ? boxOf(layout, facts) : null
  const { pixels, profile } = await decodePhoto(path, box ?? undefined, facts)
  return readLayout(pixels, profile, box ? moveLayout(layout, -box.left, -box.top) : layout)
}

/** All that is marked, with half as much around it. */
function boxOf(layout: Layout, photo: { width: number; height: number }): PixelBox | null {
  const quads = layout.areas.map((area) => outlineOf(area.shape))
  if (layout.card) quads.push(layout.card.quad)
  const points = quads.flat()
  const tight = points.length > 0 ? boxAround(points, 0, photo) : null
  return tight && boxAround(points, Math.max(tight.width, tight.height) / 2, photo)
}

function moveLayout(layout: Layout, dx: number, dy: number): Layout {
  const moved = (shape: Shape): Shape =>
    shape.kind === 'round'
      ? { ...shape, centre: [shape.centre[0] + dx, shape.centre[1] + dy] }
      : { ...shape, quad: moveQuad(shape.quad, dx, dy) }
  return {
    areas: layout.areas.map((area) => ({ ...area, shape: moved(area.shape) })),
    card: layout.card && { ...layout.card, quad: moveQuad(layout.card.quad, dx, dy) },
  }
}
