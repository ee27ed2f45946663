import { homographyBetween, mapPoint } from '../../shared-core/capture/geometry.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'

/** The grid of a 24-patch chart: its outer corners stand at patches 1, 6, 24 and 19. */
const columns = 6
const rows = 4

/** The middle of one patch as a quadrilateral. @param patch 1 to 24, row by row; @param window share of its side */
export function patchQuad(chart: Quad, patch: number, window: number): Quad {
  const toPhoto = homographyBetween(
    [
      [0, 0],
      [columns, 0],
      [columns, rows],
      [0, rows],
    ],
    chart,
  )
  const x = ((patch - 1) % columns) + 0.5
  const y = Math.floor((patch - 1) / columns) + 0.5
  const half = window / 2
  const at = (dx: number, dy: number): Point => mapPoint(toPhoto, [x + dx * half, y + dy * half])
  return [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)]
}
