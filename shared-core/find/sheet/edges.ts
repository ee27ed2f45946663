import { isConvex } from '../../capture/geometry.ts'
import { markCells } from '../../label/photo-sheet/corner-mark.ts'
import type { Point, Quad } from '../../records/area.ts'
import { type Grey, levelAt } from './grey.ts'

/** How far an edge is looked for, as a share of a side: less than a cell, or the cells within are edges too. */
const reach = 0.75 / markCells
/** Share of a side that is left out at its ends, where two edges run together. */
const ends = 0.07
/** Codes between inside and outside; less is no edge. */
const leastStep = 12
const mostProfiles = 28
/** Enough to see whether there is a square at all. */
const fewProfiles = 9
/** Light is a mean, codes are not: an edge lies where the light is half. Codes taken for sRGB (IEC 61966-2-1). */
const linear = Float64Array.from({ length: 256 }, (_one, code) => {
  const value = code / 255
  return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4
})
const lightOf = (code: number): number => {
  const below = Math.floor(code)
  return below >= 255 ? linear[255]! : linear[below]! + (linear[below + 1]! - linear[below]!) * (code - below)
}

/** Share of full light. */
export const lightAt = (grey: Grey, x: number, y: number): number => lightOf(levelAt(grey, x, y))

type Line = { at: Point; along: Point }

/**
 * The outline of a dark square on white to a fraction of a pixel: straight lines along its four edges.
 * @param rough  less than a cell away; clockwise on screen
 * @returns      null where an edge is not there
 */
export function refinedOutline(grey: Grey, rough: Quad, how: 'quickly' | 'well'): Quad | null {
  const lines: Line[] = []
  for (let i = 0; i < 4; i++) {
    const line = edgeBetween(grey, rough[i]!, rough[(i + 1) % 4]!, how === 'well' ? mostProfiles : fewProfiles)
    if (line === null) return null
    lines.push(line)
  }
  const quad = lines.map((line, i) => crossing(lines[(i + 3) % 4]!, line))
  const [a, b, c, d] = quad
  if (!a || !b || !c || !d) return null
  const refined: Quad = [a, b, c, d]
  return isConvex(refined) ? refined : null
}

/** @param from, to  clockwise on screen: the inside lies to the right of the way */
function edgeBetween(grey: Grey, from: Point, to: Point, most: number): Line | null {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]]
  const length = Math.hypot(dx, dy)
  if (!(length >= 8)) return null
  const outwards: Point = [dy / length, -dx / length]
  const half = Math.max(2, reach * length)
  const count = Math.min(most, Math.max(8, Math.round(length / 2)))
  const profiles: Profile[] = []
  for (let i = 0; i < count; i++) {
    const t = ends + ((1 - 2 * ends) * (i + 0.5)) / count
    const profile = profileAcross(grey, [from[0] + dx * t, from[1] + dy * t], outwards, half)
    if (profile) profiles.push(profile)
  }
  if (profiles.length < count * 0.4) return null
  // where white cells lie behind the border a blurred photo shows no black: how dark it is, is seen where they are black
  const blacks = profiles.map(({ inside, outside }) => inside / outside).toSorted((a, b) => a - b)
  const black = blacks[Math.floor(blacks.length / 5)]!
  const xs: number[] = []
  const ys: number[] = []
  for (const { at, light, outside } of profiles) {
    const off = stepOf(light, (outside * (1 + black)) / 2, half)
    if (off === null) continue
    xs.push(at[0] + outwards[0] * off)
    ys.push(at[1] + outwards[1] * off)
  }
  return xs.length < count * 0.4 ? null : lineThrough(xs, ys)
}

/** Light from inside to outside, evenly spaced; what it is on either side, from the outer thirds. */
type Profile = { at: Point; light: Float64Array; inside: number; outside: number }

/** @returns null without a clear step */
function profileAcross(grey: Grey, [x, y]: Point, [nx, ny]: Point, half: number): Profile | null {
  const steps = Math.max(6, Math.ceil(3 * half))
  const third = Math.max(1, Math.floor(steps / 3))
  const light = new Float64Array(steps + 1)
  let [low, high] = [255, 0]
  for (let k = 0; k <= steps; k++) {
    const off = half * ((2 * k) / steps - 1)
    const code = levelAt(grey, x + nx * off, y + ny * off)
    light[k] = lightOf(code)
    if (k <= third) low = Math.min(low, code)
    if (k >= steps - third) high = Math.max(high, code)
  }
  return high - low < leastStep ? null : { at: [x, y], light, inside: lightOf(low), outside: lightOf(high) }
}

/** How far outwards the light reaches a level, where it rises most. */
function stepOf(light: Float64Array, level: number, half: number): number | null {
  const steps = light.length - 1
  let [best, steepest] = [-1, 0]
  for (let k = 0; k < steps; k++) {
    if (light[k]! > level || light[k + 1]! <= level) continue
    const rise = light[k + 1]! - light[k]!
    if (rise > steepest) [best, steepest] = [k, rise]
  }
  if (best < 0) return null
  const part = (level - light[best]!) / (light[best + 1]! - light[best]!)
  return half * ((2 * (best + part)) / steps - 1)
}

/** Total least squares, three times over with less weight on what lies away: a finger's edge does not turn the line. */
function lineThrough(xs: readonly number[], ys: readonly number[]): Line | null {
  const weights = xs.map(() => 1)
  let line: Line | null = null
  for (let round = 0; round < 4; round++) {
    let [sum, mx, my] = [0, 0, 0]
    for (const [i, weight] of weights.entries()) {
      sum += weight
      mx += weight * xs[i]!
      my += weight * ys[i]!
    }
    if (sum < 3) return null
    mx /= sum
    my /= sum
    let [xx, xy, yy] = [0, 0, 0]
    for (const [i, weight] of weights.entries()) {
      const [x, y] = [xs[i]! - mx, ys[i]! - my]
      xx += weight * x * x
      xy += weight * x * y
      yy += weight * y * y
    }
    const angle = 0.5 * Math.atan2(2 * xy, xx - yy)
    const along: Point = [Math.cos(angle), Math.sin(angle)]
    line = { at: [mx, my], along }
    const away = xs.map((x, i) => Math.abs((x - mx) * along[1] - (ys[i]! - my) * along[0]))
    const middle = away.toSorted((a, b) => a - b)[away.length >> 1]!
    const most = Math.max(0.25, 4 * middle)
    for (const [i, off] of away.entries()) weights[i] = off < most ? (1 - (off / most) ** 2) ** 2 : 0
  }
  return line
}

function crossing(a: Line, b: Line): Point | null {
  const cross = a.along[0] * b.along[1] - a.along[1] * b.along[0]
  if (Math.abs(cross) < 0.1) return null
  const t = ((b.at[0] - a.at[0]) * b.along[1] - (b.at[1] - a.at[1]) * b.along[0]) / cross
  return [a.at[0] + t * a.along[0], a.at[1] + t * a.along[1]]
}
