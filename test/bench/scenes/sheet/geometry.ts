import { mapPoint } from '../../../../shared-core/capture/geometry.ts'
import { invert3, type Matrix3 } from '../../../../shared-core/colour/matrix.ts'
import type { Rect } from '../../../../shared-core/label/photo-sheet/room.ts'
import type { Point } from '../../../../shared-core/records/area.ts'
import type { SheetOnPhoto } from '../../../../shared-core/records/photo-sheet.ts'
import type { SheetPhoto } from './plan.ts'

const corners = ({ xMm, yMm, widthMm, heightMm }: Rect): Point[] => [
  [xMm, yMm],
  [xMm + widthMm, yMm],
  [xMm + widthMm, yMm + heightMm],
  [xMm, yMm + heightMm],
]

/**
 * How far a sheet's geometry is off at worst: corners of window, card, chart and all printed places are looked up in the photo where
 * they truly are, and taken back to the page by what was found. Millimetres on the page; infinite for another print.
 */
export function farthestMm(found: SheetOnPhoto, { sheet, truth }: SheetPhoto): number {
  const { print, places } = sheet
  const same =
    found.print.series === print.series &&
    Math.abs(found.print.panel.widthMm - print.panel.widthMm) < 0.3 &&
    Math.abs(found.print.panel.heightMm - print.panel.heightMm) < 0.3
  if (!same) return Number.POSITIVE_INFINITY
  const toPage = invert3(found.toPhoto as unknown as Matrix3)
  const all = [places.window, places.card, places.chart, ...places.steps, ...places.colours].flatMap(corners)
  return Math.max(
    ...all.map((place) => {
      const [x, y] = mapPoint(toPage, truth.onPhoto(place))
      return Math.hypot(x - place[0], y - place[1])
    }),
  )
}
