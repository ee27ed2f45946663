import type { Point, Quad } from '../../records/area.ts'
import { type Gradient, usualAt } from './edges.ts'
import { type Planes, valueAt } from './planes.ts'

/** One number for each channel. */
export type Colour = number[]

/** What stands on both sides of one side of an outline. */
export type Side = {
  /** Share of it where the colour changes by more than grain. */
  share: number
  /** Median change from outside to inside, in numbers of the picture, and how many times the usual change that is. */
  step: number
  clear: number
  /** How much more it changes over a wider stretch: an edge 1, the half-shadow of something far more. */
  soft: number
  inside: Colour
  outside: Colour
}

/** Distances from the line, in pixels, at which the near and the wide change are taken. */
const near = [2, 3.5] as const
const wide = [7, 9] as const
/** Smaller changes are how a JPEG rounds its blocks. */
const leastStep = 1.8
const mostSamples = 32
const cornersLeftOut = 0.05

/** @param planes  smoothed */
export function sidesSeen(planes: Planes, gradient: Gradient, quad: Quad): Side[] {
  const middle = centreOf(quad)
  return [0, 1, 2, 3].map((i) => sideSeen(planes, gradient, quad[i]!, quad[(i + 1) % 4]!, middle))
}

export const centreOf = (quad: Quad): Point => [
  (quad[0][0] + quad[1][0] + quad[2][0] + quad[3][0]) / 4,
  (quad[0][1] + quad[1][1] + quad[2][1] + quad[3][1]) / 4,
]

function sideSeen(planes: Planes, gradient: Gradient, a: Point, b: Point, middle: Point): Side {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1])
  let normal: Point = [-(b[1] - a[1]) / length, (b[0] - a[0]) / length]
  if (normal[0] * (middle[0] - a[0]) + normal[1] * (middle[1] - a[1]) < 0) normal = [-normal[0], -normal[1]]
  const count = Math.max(5, Math.min(mostSamples, Math.floor(length / 3)))
  const seen = seenAlong(planes, a, b, normal, count)
  const steps: number[] = []
  const times: number[] = []
  const ratios: number[] = []
  let clear = 0
  for (let n = 0; n < count; n++) {
    const usual = Math.max(usualAt(gradient, seen.x[n]!, seen.y[n]!), 0.4)
    const [step, goesOn] = [seen.step[n]!, seen.goesOn[n]!]
    steps.push(step)
    times.push(step / usual)
    ratios.push(1 + (2 * Math.max(0, goesOn - usual)) / (step + usual))
    if (step > Math.max(leastStep, 2.5 * usual)) clear++
  }
  return {
    share: clear / count,
    step: medianOf(steps),
    clear: medianOf(times),
    soft: medianOf(ratios),
    inside: seen.inside.map((channel) => medianIn(channel)),
    outside: seen.outside.map((channel) => medianIn(channel)),
  }
}

type Seen = {
  x: Float32Array
  y: Float32Array
  /** Change over the near distances, and how much it goes on beyond them on both sides: what lies beside may change on one. */
  step: Float32Array
  goesOn: Float32Array
  inside: Float32Array[]
  outside: Float32Array[]
}

/** Signed distances from the line; positive ones lie inside. */
const distances = [near[0], near[1], -near[0], -near[1], wide[0], wide[1], -wide[0], -wide[1]]

/** The nearest pixel is near enough: the planes are smooth. Written out, because hundreds of outlines are looked at. */
function seenAlong({ channels, width, height }: Planes, a: Point, b: Point, normal: Point, count: number): Seen {
  const row = () => new Float32Array(count)
  const seen: Seen = {
    x: row(),
    y: row(),
    step: row(),
    goesOn: row(),
    inside: channels.map(row),
    outside: channels.map(row),
  }
  const at = new Int32Array(distances.length)
  for (let n = 0; n < count; n++) {
    const f = cornersLeftOut + ((1 - 2 * cornersLeftOut) * (n + 0.5)) / count
    const x = a[0] + f * (b[0] - a[0])
    const y = a[1] + f * (b[1] - a[1])
    for (let d = 0; d < at.length; d++) {
      const px = Math.min(width - 1, Math.max(0, Math.floor(x + distances[d]! * normal[0])))
      const py = Math.min(height - 1, Math.max(0, Math.floor(y + distances[d]! * normal[1])))
      at[d] = py * width + px
    }
    let step = 0
    let goesOnHere = 0
    let goesOnThere = 0
    for (let c = 0; c < channels.length; c++) {
      const channel = channels[c]!
      const here = (channel[at[0]!]! + channel[at[1]!]!) / 2
      const there = (channel[at[2]!]! + channel[at[3]!]!) / 2
      const farHere = (channel[at[4]!]! + channel[at[5]!]!) / 2 - here
      const farThere = (channel[at[6]!]! + channel[at[7]!]!) / 2 - there
      seen.inside[c]![n] = here
      seen.outside[c]![n] = there
      step += (here - there) * (here - there)
      goesOnHere += farHere * farHere
      goesOnThere += farThere * farThere
    }
    seen.x[n] = x
    seen.y[n] = y
    seen.step[n] = Math.sqrt(step)
    seen.goesOn[n] = Math.sqrt(Math.min(goesOnHere, goesOnThere))
  }
  return seen
}

export const colourAt = ({ channels, width, height }: Planes, x: number, y: number): Colour =>
  channels.map((channel) => valueAt(channel, width, height, x, y))

/** How far two colours are apart, in numbers of the picture. */
export function apart(a: Colour, b: Colour): number {
  let sum = 0
  for (let c = 0; c < a.length; c++) sum += (a[c]! - b[c]!) ** 2
  return Math.sqrt(sum)
}

export function medianOf(values: number[]): number {
  if (values.length === 0) return 0
  return Float64Array.from(values).toSorted()[values.length >> 1]!
}

const medianIn = (values: Float32Array): number => values.toSorted()[values.length >> 1] ?? 0

export const medianColour = (colours: Colour[]): Colour =>
  (colours[0] ?? []).map((_, c) => medianOf(colours.map((colour) => colour[c]!)))
