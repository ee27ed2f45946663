import type { Pixels } from '../../capture/pixels.ts'
import type { RgbProfile } from '../../colour/profile.ts'
import type { Point, Quad } from '../../records/area.ts'
import type { FoundThing } from '../../records/proposal.ts'
import { findChart } from './chart/find-chart.ts'
import { edgePointsOf, type Gradient, gradientOf } from './edges.ts'
import { type Features, featuresOf } from './kinds.ts'
import { linesOf } from './lines.ts'
import { areaOf, sharedArea } from './overlap.ts'
import { coarse, type Planes, reduce, smooth } from './planes.ts'
import { type Rectangle, rectanglesOf, type Scale } from './rectangles.ts'
import { refineQuad } from './refine.ts'
import { runningOut } from './running-out.ts'

/** Rectangles of whatever kind, with what tells their kind; in pixels of the picture. */
export type Outlines = { outlines: { quad: Quad; features: Features }[]; chart: FoundThing | null }

/** Longer side, in pixels, at which straight edges are looked for: grain is averaged out, a card still has fifty pixels. */
const edgeSize = 640
/** Handicap of what is only seen at half of that. */
const lessSharp = 0.05
/** How likely a chart must be for what lies in it to be its patches. */
const likelyChart = 0.3

export function outlinesIn(picture: Pixels, profile: RgbProfile): Outlines {
  const sharp = reduce(picture, edgeSize)
  const planes = smooth(sharp)
  const gradient = gradientOf(planes)
  const chart = findChart(planes, gradient, profile)
  const frame = chart && chart.confidence >= likelyChart ? frameOf(chart.quad) : null
  const half = coarse(sharp, planes)
  const isOutside = ({ quad }: Rectangle) =>
    !frame || sharedArea(quad, frame) < 0.3 * Math.min(areaOf(quad), areaOf(frame))
  const fine = scaleOf(planes, gradient, frame, 0)
  const rectangles = rectanglesOf([
    fine,
    scaleOf(half, gradientOf(half), frame && scaled(frame, 0.5), lessSharp),
  ]).filter(isOutside)
  const outlines = [...rectangles, ...runningOut(fine, rectangles).filter(isOutside)].map((one) => ({
    quad: refineQuad(picture, scaled(one.quad, planes.scale), Math.max(2, 2.2 * planes.scale)),
    features: featuresOf(one, rectangles, planes),
  }))
  return { outlines, chart: chart && { ...chart, quad: scaled(chart.quad, planes.scale) } }
}

function scaleOf(planes: Planes, gradient: Gradient, frame: Quad | null, less: number): Scale {
  const points = edgePointsOf(gradient, frame ? insideOf(frame) : () => false)
  return { planes, gradient, lines: linesOf(points, planes.width, planes.height), less }
}

const scaled = (quad: Quad, by: number) => quad.map(([x, y]): Point => [x * by, y * by]) as Quad

/** A chart's frame reaches beyond the outline of its patches. */
function frameOf(quad: Quad): Quad {
  const middle: Point = [0, 1].map((c) => quad.reduce((sum, p) => sum + p[c]!, 0) / 4) as Point
  return quad.map(([x, y]): Point => [middle[0] + 1.1 * (x - middle[0]), middle[1] + 1.1 * (y - middle[1])]) as Quad
}

function insideOf(quad: Quad): (x: number, y: number) => boolean {
  const sides = quad.map((a, i) => {
    const b = quad[(i + 1) % 4]!
    return [a, b] as const
  })
  const turn = Math.sign(sides.reduce((sum, [a, b]) => sum + a[0] * b[1] - b[0] * a[1], 0))
  return (x, y) => sides.every(([a, b]) => turn * ((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) >= 0)
}
