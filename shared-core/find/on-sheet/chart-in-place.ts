import { fitCamera } from '../../capture/camera/fit.ts'
import { readChart } from '../../capture/camera/known.ts'
import { firstBelief } from '../../capture/camera/prior.ts'
import { mapPoint } from '../../capture/geometry.ts'
import { equationsOf, leastSquares } from '../../capture/least-squares.ts'
import type { Pixels, Triple } from '../../capture/pixels.ts'
import type { SheetPage } from '../../capture/sheet/page.ts'
import { quantile } from '../../capture/statistics.ts'
import type { DecodeTables, RgbProfile } from '../../colour/profile.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Point, Quad } from '../../records/area.ts'
import type { FoundThing } from '../../records/proposal.ts'
import { rootsAt } from './side-lines.ts'

/** Patches that can be read, and what is left on them (median dE00), for an outline to be the chart's. */
const leastPatches = 16
const mostLeft = 5
/** Its white is many times as bright as its black; bare paper is about the same all over. */
const leastContrast = 4
/** A chart of another turn fits much worse. */
const clearly = 1.6

/**
 * The 24-patch chart in its place on the sheet, whichever way round: of the four turns the one whose colours fit a camera best, then
 * laid on its patches.
 */
export function chartIn(
  pixels: Pixels,
  tables: DecodeTables,
  profile: RgbProfile,
  page: SheetPage,
  place: Rect,
): FoundThing | null {
  const onPhoto = (quad: Quad): Quad => quad.map((corner) => mapPoint(page.toPhoto, corner)) as Quad
  // two ways fill its place; laid across it, the other two stick out of it
  const ways = [place, turnedPlace(place)].map((rect) => {
    const lying = laidIn(rect)
    return [0, 2].map((by) => lying.map((_, i) => lying[(i + by) % 4]!) as Quad)
  })
  const best = ways.reduce<Quad | null>((found, two) => found ?? clearlyBest(two), null)
  if (!best) return null
  const before = leftOn(pixels, tables, profile, onPhoto(best))
  const quad = onPatches(pixels, tables, page, best)
  const left = quad ? leftOn(pixels, tables, profile, onPhoto(quad)) : Number.POSITIVE_INFINITY
  const isBetter = quad !== null && left <= 1.1 * before
  const confidence = Math.max(0.5, Math.min(0.97, 1.1 - Math.min(left, before) / 8))
  return { quad: onPhoto(isBetter ? quad : best), confidence }

  function clearlyBest(quads: readonly Quad[]): Quad | null {
    const tries = quads
      .map((one) => ({ quad: one, left: leftOn(pixels, tables, profile, onPhoto(one)) }))
      .toSorted((a, b) => a.left - b.left)
    const [first, other] = tries
    return first && first.left <= mostLeft && !(other && other.left < clearly * first.left) ? first.quad : null
  }
}

/** The same place turned by a quarter about its middle. */
const turnedPlace = ({ xMm, yMm, widthMm, heightMm }: Rect): Rect => ({
  xMm: xMm + (widthMm - heightMm) / 2,
  yMm: yMm + (heightMm - widthMm) / 2,
  widthMm: heightMm,
  heightMm: widthMm,
})

/** The chart's six columns along the long side of its place. */
function laidIn({ xMm, yMm, widthMm, heightMm }: Rect): Quad {
  const [left, top, right, bottom] = [xMm, yMm, xMm + widthMm, yMm + heightMm]
  const corners: Quad = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ]
  return widthMm > heightMm ? corners : [corners[1], corners[2], corners[3], corners[0]]
}

/** dE00 left on the patches with the camera that suits them best. */
function leftOn(pixels: Pixels, tables: DecodeTables, profile: RgbProfile, quad: Quad): number {
  const known = readChart(pixels, tables, { quad, table: 'avg30' }).filter((patch) => patch !== null)
  const brightness = known.map(({ light: [r, g, b] }) => r + g + b)
  const isPlain = Math.max(...brightness) < leastContrast * Math.min(...brightness)
  if (known.length < leastPatches || isPlain) return Number.POSITIVE_INFINITY
  return quantile(fitCamera(known, firstBelief('unknown'), profile).left, 0.5)
}

const columns = 6
const rows = 4
/** Along each axis a patch is looked over from its middle, so fine. */
const fineMm = 0.25
/** Lines beside each other that are averaged: half as far to each side, millimetres apart. */
const lines = [-2, -1, 0, 1, 2]
/** In cube roots of light: farther from the middle's colour is another patch, or the frame. */
const otherColour = 0.035
/** A patch is so wide against the pitch. */
const widest = 1.03
const narrowest = 0.6
const leastSeen = 8
const tolerance = 1

/**
 * The outline by where the patches are seen: from each one's middle outwards to where its colour ends, both ways; then the straight
 * map of rows and columns to those middles. Null where too few stand out from what lies between them.
 */
function onPatches(pixels: Pixels, tables: DecodeTables, { toPhoto }: SheetPage, quad: Quad): Quad | null {
  const [a, b, , d] = quad
  const across: Point = [(b[0] - a[0]) / columns, (b[1] - a[1]) / columns]
  const down: Point = [(d[0] - a[0]) / rows, (d[1] - a[1]) / rows]
  const pitch = Math.hypot(...across)
  const ways: [Point, Point] = [
    [across[0] / pitch, across[1] / pitch],
    [down[0] / pitch, down[1] / pitch],
  ]
  const rootsOver = (points: readonly Point[]): Triple => {
    const seen = points.map((point) => rootsAt(pixels, tables, mapPoint(toPhoto, point)))
    const of = (c: 0 | 1 | 2) => seen.reduce((sum, one) => sum + one[c], 0) / seen.length
    return [of(0), of(1), of(2)]
  }
  const offsets: { column: number; row: number; way: 0 | 1; off: number }[] = []
  for (let n = 0; n < columns * rows; n++) {
    const [column, row] = [n % columns, Math.floor(n / columns)]
    const middle: Point = [
      a[0] + (column + 0.5) * across[0] + (row + 0.5) * down[0],
      a[1] + (column + 0.5) * across[1] + (row + 0.5) * down[1],
    ]
    const own = rootsOver(lines.flatMap((u) => lines.map((v): Point => [middle[0] + u / 2, middle[1] + v / 2])))
    for (const way of [0, 1] as const) {
      const [ahead, aside] = [ways[way], ways[way === 0 ? 1 : 0]]
      const endOf = (sign: 1 | -1): number | null => {
        for (let t = fineMm; t <= pitch; t += fineMm) {
          const here = lines.map(
            (v): Point => [
              middle[0] + sign * t * ahead[0] + v * aside[0],
              middle[1] + sign * t * ahead[1] + v * aside[1],
            ],
          )
          const [r, g, bl] = rootsOver(here)
          if (Math.hypot(r - own[0], g - own[1], bl - own[2]) > otherColour) return t
        }
        return null
      }
      const [fore, back] = [endOf(1), endOf(-1)]
      if (fore === null || back === null) continue
      const wide = (fore + back) / pitch
      if (wide > narrowest && wide < widest) offsets.push({ column, row, way, off: (fore - back) / 2 })
    }
  }
  const [alongWay, downWay] = ([0, 1] as const).map((way) => planeThrough(offsets.filter((one) => one.way === way)))
  if (!alongWay || !downWay) return null
  const cornerAt = (column: number, row: number): Point => {
    const [u, v] = [alongWay(column - 0.5, row - 0.5), downWay(column - 0.5, row - 0.5)]
    const base: Point = [a[0] + column * across[0] + row * down[0], a[1] + column * across[1] + row * down[1]]
    return [base[0] + u * ways[0][0] + v * ways[1][0], base[1] + u * ways[0][1] + v * ways[1][1]]
  }
  return [cornerAt(0, 0), cornerAt(columns, 0), cornerAt(columns, rows), cornerAt(0, rows)]
}

type Offset = { column: number; row: number; off: number }

/** Offsets as a plane over columns and rows; those that do not lie on it are left out. */
function planeThrough(all: readonly Offset[]): ((column: number, row: number) => number) | null {
  let kept = all
  let found: number[] = []
  for (let round = 0; round < 4; round++) {
    if (kept.length < leastSeen) return null
    const middle = quantile(
      kept.map(({ off }) => off),
      0.5,
    )
    const equations = equationsOf(
      kept.map(({ column, row }) => [1, column, row]),
      kept.map(({ off }) => off),
    )
    found =
      round === 0 ? [middle, 0, 0] : leastSquares(equations, new Float64Array(kept.length).fill(1), [1e-9, 0.5, 0.5])
    const [at = 0, u = 0, v = 0] = found
    const reach = round === 0 ? 2.5 * tolerance : tolerance
    kept = all.filter(({ column, row, off }) => Math.abs(off - at - u * column - v * row) <= reach)
  }
  const [at = 0, u = 0, v = 0] = found
  return (column, row) => at + u * column + v * row
}
