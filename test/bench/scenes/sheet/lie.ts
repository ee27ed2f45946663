import { benchToPhoto, project, type Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import type { Matrix3 } from '../../../../shared-core/colour/matrix.ts'
import type { Rect } from '../../../../shared-core/label/photo-sheet/room.ts'
import type { Point } from '../../../../shared-core/records/area.ts'

/** Where a sheet lies and how the camera sees it. */
export type Lie = {
  sheetOn: Rectangle
  toPhoto: Matrix3
  pixelsPerMm: number
  tiltDegrees: number
}

type Frame = {
  width: number
  height: number
  paper: { widthMm: number; heightMm: number }
  /** Places of the page that stay in the picture in any case. */
  kept?: readonly Rect[]
  leastTiltDegrees?: number
  mostTiltDegrees: number
}

/**
 * The whole sheet fills most of the picture, whichever way the camera leans.
 * @param out  a corner of the page (0 top left, clockwise) whose mark lies beyond the picture's border, the others do not;
 *             null: all are in it
 */
export function lieOf(random: Random, frame: Frame, out: number | null): Lie {
  if (out === null) return filling(random, frame, 0)
  let lie: Lie | null = null
  while (lie === null) lie = aside(random, frame, filling(random, frame, random.between(-0.3, 0.3)), out)
  return lie
}

function filling(
  random: Random,
  { width, height, paper, leastTiltDegrees = 0, mostTiltDegrees }: Frame,
  askew: number,
): Lie {
  const tiltDegrees = random.between(leastTiltDegrees, mostTiltDegrees)
  const theta = (tiltDegrees * Math.PI) / 180
  const towards = random.between(0, 2 * Math.PI)
  const yaw = Math.asin(Math.sin(theta) * Math.cos(towards))
  const pitch = -Math.atan2(Math.sin(theta) * Math.sin(towards), Math.cos(theta))
  const roll = 0.06 * random.normal()
  // The sheet's long side along the picture's, mostly; sometimes it is seen from its head.
  const isAlong = paper.widthMm > paper.heightMm === width > height
  const turn = (isAlong ? 0 : Math.PI / 2) + (random.chance(0.15) ? Math.PI : 0) + 0.04 * random.normal() + askew
  const margin = random.between(0.015, 0.08)
  const sheetOn: Rectangle = { xMm: 0, yMm: 0, turn, ...paper }
  let pixelsPerMm = Math.max(width, height) / 400
  const seen = () =>
    benchToPhoto({ pixelsPerMm, pitch, yaw, roll } as Parameters<typeof benchToPhoto>[0], width, height)
  for (let n = 0; n < 40; n++) {
    const toPhoto = seen()
    const corners = cornersOn(sheetOn).map(([x, y]) => project(toPhoto, x, y))
    const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)]
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
    const fill = Math.max((right - left) / width, (bottom - top) / height)
    // Half the step that would bring it to the middle were the camera straight above.
    sheetOn.xMm -= ((left + right) / 2 - width / 2) / pixelsPerMm / 2
    sheetOn.yMm -= ((top + bottom) / 2 - height / 2) / pixelsPerMm / 2
    pixelsPerMm *= ((1 - 2 * margin) / fill) ** 0.5
  }
  return { sheetOn, toPhoto: seen(), pixelsPerMm, tiltDegrees }
}

/** From the page's edges: where a mark begins, and its middle (see the sheet's own places). */
const markMm = { begins: 10, middle: 19.6 }

/** The camera looks aside until a mark is cut by the picture's border; null where it would cut another one too. */
function aside(random: Random, { width, height, kept = [] }: Frame, lie: Lie, out: number): Lie | null {
  const { sheetOn } = lie
  const inset = (mm: number) =>
    cornersOn({ ...sheetOn, widthMm: sheetOn.widthMm - 2 * mm, heightMm: sheetOn.heightMm - 2 * mm })
  const [x, y] = project(lie.toPhoto, ...inset(markMm.middle)[out]!)
  const beyond = random.between(0, 0.02) * Math.max(width, height)
  const byWidth = random.chance(0.5)
  const dx = byWidth ? (x < width / 2 ? -x - beyond : width - x + beyond) : 0
  const dy = byWidth ? 0 : y < height / 2 ? -y - beyond : height - y + beyond
  const toPhoto = moved(lie.toPhoto, dx, dy)
  const others = inset(markMm.begins).filter((_, corner) => corner !== out)
  const places = kept.flatMap((place) => cornersOn(lyingOn(sheetOn, place)))
  const areIn = [...others, ...places].every(([u, v]) => {
    const [px, py] = project(toPhoto, u, v)
    return px > 2 && py > 2 && px < width - 2 && py < height - 2
  })
  return areIn ? { ...lie, toPhoto } : null
}

/** Corners of a rectangle on the bench, clockwise from its own top left. */
export const cornersOn = (on: Rectangle): Point[] => {
  const [c, s] = [Math.cos(on.turn), Math.sin(on.turn)]
  const [hw, hh] = [on.widthMm / 2, on.heightMm / 2]
  return (
    [
      [-hw, -hh],
      [hw, -hh],
      [hw, hh],
      [-hw, hh],
    ] as const
  ).map(([u, v]) => [on.xMm + c * u - s * v, on.yMm + s * u + c * v])
}

/** A rectangle that lies in another's own millimetres (from its top left corner), as one of the bench. */
export function lyingOn(
  sheet: Rectangle,
  { xMm, yMm, widthMm, heightMm }: Rect,
  { dx = 0, dy = 0, turn = 0 } = {},
): Rectangle {
  const [c, s] = [Math.cos(sheet.turn), Math.sin(sheet.turn)]
  const u = xMm + widthMm / 2 - sheet.widthMm / 2 + dx
  const v = yMm + heightMm / 2 - sheet.heightMm / 2 + dy
  return { xMm: sheet.xMm + c * u - s * v, yMm: sheet.yMm + s * u + c * v, turn: sheet.turn + turn, widthMm, heightMm }
}

const moved = (m: Matrix3, dx: number, dy: number): Matrix3 => [
  m[0] + dx * m[6],
  m[1] + dx * m[7],
  m[2] + dx * m[8],
  m[3] + dy * m[6],
  m[4] + dy * m[7],
  m[5] + dy * m[8],
  m[6],
  m[7],
  m[8],
]
