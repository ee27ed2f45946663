import { snapCorner } from '../../../../../shared-core/find/snap.ts'
import type { Point, Quad } from '../../../../../shared-core/records/area.ts'
import { type Desk, useDesk } from '../../desk-state.ts'
import { knownAt } from '../../known-marks.ts'
import type { Marks } from '../../marks.ts'
import type { MarkKey } from '../../moving.ts'
import { greyOf } from './shown-grey.ts'

/** How near an edge must lie, in pixels of the screen: less than a finger's shake, more than its aim. */
const reachPx = 9
/** A corner that was found is taken before an edge that is only seen. */
const cornerReachPx = 11

/** Starts to fetch what corners are drawn to, so that it is there when one is taken hold of. */
export function prepareSnapping(): void {
  const { photo, snaps } = useDesk.getState()
  if (photo && snaps) greyOf(photo.sha256)
}

/**
 * Where a corner that was put down here lies on something found: on a corner of what was proposed, or on edges in the
 * picture itself.
 * @param scale  screen pixels to one photo pixel
 * @returns null where nothing is near
 */
export function snapped(
  { photo, marks, made }: Pick<Desk, 'photo' | 'marks' | 'made'>,
  key: MarkKey,
  handle: number,
  at: Point,
  scale: number,
): Point | null {
  const quad = quadOf(marks, key)
  if (!photo || !quad) return null
  const corner = nearestCorner(foundCorners(made), at, cornerReachPx / scale)
  if (corner) return corner
  const grey = greyOf(photo.sha256)
  if (!grey) return null
  const k = grey.width / photo.width
  const inGrey = ([x, y]: Point): Point => [x * k, y * k]
  const found = snapCorner(
    grey,
    inGrey(at),
    [inGrey(quad[(handle + 3) % 4]!), inGrey(quad[(handle + 1) % 4]!)],
    Math.max((reachPx / scale) * k, 2),
  )
  return found && [found.point[0] / k, found.point[1] / k]
}

/** Round areas have no corners. */
function quadOf(marks: Marks, key: MarkKey): Quad | null {
  if (typeof key === 'string') return knownAt(marks, key)?.quad ?? null
  const mark = marks.list[key]
  return mark && mark.kind !== 'round' ? mark.quad : null
}

function foundCorners(made: Desk['made']): Point[] {
  const found = made?.found
  if (!found) return []
  return [...found.panels, ...found.cards, ...(found.chart ? [found.chart] : [])].flatMap(({ quad }) => quad)
}

function nearestCorner(corners: readonly Point[], [x, y]: Point, reach: number): Point | null {
  let best: { at: Point; far: number } | null = null
  for (const at of corners) {
    const far = Math.hypot(at[0] - x, at[1] - y)
    if (far <= reach && (!best || far < best.far)) best = { at, far }
  }
  return best?.at ?? null
}

/**
 * Where a corner that is pushed by a key comes to lie: a large step ends at an edge that it would cross, so that the
 * same key never pulls the corner back.
 */
export function snappedStep(
  desk: Desk,
  key: MarkKey,
  handle: number,
  from: Point,
  by: Point,
  scale: number,
): Point | null {
  const length = Math.hypot(by[0], by[1])
  const to: Point = [from[0] + by[0], from[1] + by[1]]
  const at = snapped(desk, key, handle, to, scale)
  if (!at || length === 0) return null
  const ahead = ((at[0] - from[0]) * by[0] + (at[1] - from[1]) * by[1]) / length
  return ahead > 0.25 / scale && ahead < 2 * length ? at : null
}
