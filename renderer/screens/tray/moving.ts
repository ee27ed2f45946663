import { pointInQuad, signedArea } from '../../../shared-core/capture/geometry.ts'
import type { Point, Quad } from '../../../shared-core/records/area.ts'
import { type KnownKey, knownAt, knownKeysOf, withoutKnown, withQuad } from './known-marks.ts'
import { cutLine, type Mark, type Marks, placeUnder, type Size } from './marks.ts'

/** Which mark is worked on: its place in the list of areas, or something whose colour is known. */
export type MarkKey = number | KnownKey

/** Smallest share of a panel that one band may have. */
const leastBand = 0.01
const leastRadius = 2

export function clampTo(photo: Size, [x, y]: Point): Point {
  return [Math.min(Math.max(x, 0), photo.width), Math.min(Math.max(y, 0), photo.height)]
}

/** Four points in any order as corners: clockwise on screen, from the top left. */
export function inOrder(points: readonly [Point, Point, Point, Point]): Quad {
  const [cx, cy] = [0, 1].map((i) => points.reduce((sum, p) => sum + p[i]!, 0) / 4) as [number, number]
  const turned = points.toSorted((p, q) => Math.atan2(p[1] - cy, p[0] - cx) - Math.atan2(q[1] - cy, q[0] - cx))
  const sums = turned.map(([x, y]) => x + y)
  const first = sums.indexOf(Math.min(...sums))
  return [...turned.slice(first), ...turned.slice(0, first)] as Quad
}

/** The upright rectangle between two opposite corners. */
export function rectangleBetween([ax, ay]: Point, [bx, by]: Point): Quad {
  const [left, right] = [Math.min(ax, bx), Math.max(ax, bx)]
  const [top, bottom] = [Math.min(ay, by), Math.max(ay, by)]
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ]
}

/** What can be taken hold of: four corners, or a round area's centre and edge. */
export function handlesOf(marks: Marks, key: MarkKey): Point[] {
  if (typeof key === 'string') return knownAt(marks, key)?.quad ?? []
  const mark = marks.list[key]
  if (!mark) return []
  return mark.kind === 'round' ? [mark.centre, [mark.centre[0] + mark.radius, mark.centre[1]]] : mark.quad
}

/** Every mark with its place: the areas in order, then what is known. */
export function keysOf(marks: Marks): MarkKey[] {
  return [...marks.list.keys(), ...knownKeysOf(marks)]
}

function withMark(marks: Marks, index: number, change: (mark: Mark) => Mark): Marks {
  return { ...marks, list: marks.list.map((mark, i) => (i === index ? change(mark) : mark)) }
}

const withCorner = (quad: Quad, corner: number, to: Point): Quad => quad.map((p, i) => (i === corner ? to : p)) as Quad

/** Moves one handle; it stays inside the photo. */
export function moveHandle(marks: Marks, key: MarkKey, handle: number, to: Point, photo: Size): Marks {
  const at = clampTo(photo, to)
  if (typeof key === 'string') return withQuad(marks, key, (quad) => withCorner(quad, handle, at))
  return withMark(marks, key, (mark) => {
    if (mark.kind !== 'round') return { ...mark, quad: withCorner(mark.quad, handle, at) }
    if (handle === 0) return { ...mark, centre: at }
    return { ...mark, radius: Math.max(leastRadius, Math.hypot(at[0] - mark.centre[0], at[1] - mark.centre[1])) }
  })
}

/** Moves a whole mark as far as the photo's edges let it. */
export function moveWhole(marks: Marks, key: MarkKey, by: Point, photo: Size): Marks {
  const points =
    typeof key === 'number' && marks.list[key]?.kind === 'round' ? [handlesOf(marks, key)[0]!] : handlesOf(marks, key)
  if (points.length === 0) return marks
  const shift = ([0, 1] as const).map((i) => {
    const along = points.map((p) => p[i])
    const end = i === 0 ? photo.width : photo.height
    return Math.min(Math.max(by[i], -Math.min(...along)), end - Math.max(...along))
  }) as Point
  const move = ([x, y]: Point): Point => [x + shift[0], y + shift[1]]
  if (typeof key === 'string') return withQuad(marks, key, (quad) => quad.map(move) as Quad)
  return withMark(marks, key, (mark) =>
    mark.kind === 'round' ? { ...mark, centre: move(mark.centre) } : { ...mark, quad: mark.quad.map(move) as Quad },
  )
}

/** Moves a cut between its neighbours. */
export function moveCut(marks: Marks, key: number, cut: number, to: number): Marks {
  return withMark(marks, key, (mark) => {
    if (mark.kind !== 'bands') return mark
    const low = (mark.cuts[cut - 1] ?? 0) + leastBand
    const high = (mark.cuts[cut + 1] ?? 1) - leastBand
    return { ...mark, cuts: mark.cuts.map((c, i) => (i === cut ? Math.min(Math.max(to, low), high) : c)) }
  })
}

/** Where along its panel a cut under this point would lie; null while the outline is no panel. */
export function cutAt(marks: Marks, key: number, point: Point): number | null {
  const mark = marks.list[key]
  if (mark?.kind !== 'bands') return null
  return placeUnder(mark.quad, point)?.[mark.run === 'down' ? 1 : 0] ?? null
}

/** Which band of a panel lies under a point. */
export function bandAt(marks: Marks, key: MarkKey, point: Point): number {
  if (typeof key === 'string') return 0
  const at = cutAt(marks, key, point)
  const mark = marks.list[key]
  if (at === null || mark?.kind !== 'bands') return 0
  const next = mark.cuts.findIndex((cut) => at < cut)
  return next === -1 ? mark.cuts.length : next
}

export function removeMark(marks: Marks, key: MarkKey): Marks {
  if (typeof key === 'string') return withoutKnown(marks, key)
  return { ...marks, list: marks.list.filter((_, i) => i !== key) }
}

export type Hit =
  | { what: 'handle'; key: MarkKey; handle: number }
  | { what: 'cut'; key: number; cut: number }
  | { what: 'inside'; key: MarkKey }

/**
 * What lies under a point: a handle of the chosen mark first, then any handle, a cut, the smallest mark around it.
 * @param reach   how far from a handle counts as on it, in photo pixels
 * @param others  the same for handles of marks that are not chosen, which do not show
 */
export function hitAt(
  marks: Marks,
  chosen: MarkKey | null,
  point: Point,
  reach: number,
  others = reach / 2,
): Hit | null {
  const keys = keysOf(marks)
  const first = chosen === null ? keys : [chosen, ...keys.filter((key) => key !== chosen)]
  for (const key of first) {
    const within = key === chosen ? reach : others
    const handle = nearest(handlesOf(marks, key), point, within)
    if (handle !== null) return { what: 'handle', key, handle }
  }
  for (const [key, mark] of marks.list.entries()) {
    if (mark.kind !== 'bands') continue
    const cut = mark.cuts.findIndex((_, i) => distanceToLine(point, ...cutLine(mark, i)) <= reach / 2)
    if (cut !== -1) return { what: 'cut', key, cut }
  }
  const around = keys.filter((key) => contains(marks, key, point))
  const smallest = around.toSorted((a, b) => areaOf(marks, a) - areaOf(marks, b))[0]
  return smallest === undefined ? null : { what: 'inside', key: smallest }
}

function nearest(points: Point[], [x, y]: Point, within: number): number | null {
  const distances = points.map(([px, py]) => Math.hypot(px - x, py - y))
  const least = Math.min(...distances)
  return least <= within ? distances.indexOf(least) : null
}

function distanceToLine([x, y]: Point, [ax, ay]: Point, [bx, by]: Point): number {
  const [dx, dy] = [bx - ax, by - ay]
  const length = dx * dx + dy * dy
  const t = length === 0 ? 0 : Math.min(Math.max(((x - ax) * dx + (y - ay) * dy) / length, 0), 1)
  return Math.hypot(x - ax - t * dx, y - ay - t * dy)
}

function contains(marks: Marks, key: MarkKey, point: Point): boolean {
  const mark = typeof key === 'string' ? knownAt(marks, key) : marks.list[key]
  if (!mark) return false
  if ('centre' in mark) return Math.hypot(point[0] - mark.centre[0], point[1] - mark.centre[1]) <= mark.radius
  return pointInQuad(point, mark.quad)
}

function areaOf(marks: Marks, key: MarkKey): number {
  const mark = typeof key === 'string' ? knownAt(marks, key) : marks.list[key]
  if (!mark) return 0
  return 'centre' in mark ? Math.PI * mark.radius ** 2 : Math.abs(signedArea(mark.quad))
}
