import { type Homography, homographyBetween, isConvex, mapPoint, sidesOf, unitSquare } from '../../capture/geometry.ts'
import type { Pixels } from '../../capture/pixels.ts'
import type { RgbProfile } from '../../colour/profile.ts'
import type { Quad } from '../../records/area.ts'
import { type Boundary, boundariesIn, type Lanes } from './boundaries.ts'
import { rootsOf } from './roots.ts'

/** Lanes along the panel, and samples across each of them. */
const lanes = 28
const samplesAcross = 6
/** Numbers along it: two for each millimetre of a usual panel. */
const mostAlong = 300
/** Edge of the panel that is left out: bevels, masking lines, and outlines that are a little off. */
const margin = 0.06
const mostSteps = 40

/**
 * The strips of a panel that was taped and sprayed in steps.
 * @param quad  the whole panel, in pixels of the picture
 * @returns     strips from one end to the other, each with its corners in the order of the panel's; neighbours share their edge.
 *   None: it is of one piece, or no outline of a panel. Never throws
 */
export function findSteps(picture: Pixels, profile: RgbProfile, quad: Quad): Quad[] {
  if (!isConvex(quad)) return []
  const sides = sidesOf(quad)
  const roots = rootsOf(profile)
  const toPicture = homographyBetween(unitSquare, quad)
  const along = [false, true].map((isDown) => {
    const found = boundariesIn(lanesOf(picture, roots, toPicture, isDown, isDown ? sides.height : sides.width))
    return { isDown, found, weight: found.reduce((sum, { weight }) => sum + weight, 0) }
  })
  const best = along[0]!.weight >= along[1]!.weight ? along[0]! : along[1]!
  const edges = best.found.slice(0, mostSteps - 1)
  if (edges.length === 0) return []
  const ends: Boundary[] = [{ from: 0, to: 0, weight: 0 }, ...edges, { from: 1, to: 1, weight: 0 }]
  return ends.slice(1).map((far, i) => {
    const near = ends[i]!
    const corners: Quad = best.isDown
      ? [
          [0, near.from],
          [1, near.to],
          [1, far.to],
          [0, far.from],
        ]
      : [
          [near.from, 0],
          [far.from, 0],
          [far.to, 1],
          [near.to, 1],
        ]
    return corners.map((corner) => mapPoint(toPicture, corner)) as Quad
  })
}

/** The panel made rectangular, in lanes that run along it: so many numbers each, red green blue. */
function lanesOf(
  picture: Pixels,
  roots: Float64Array[],
  toPicture: Homography,
  isDown: boolean,
  length: number,
): Lanes {
  const count = Math.max(48, Math.min(mostAlong, Math.round(length)))
  const data = [0, 1, 2].map(() => new Float32Array(lanes * count))
  for (let lane = 0; lane < lanes; lane++) sampleLane(picture, roots, toPicture, isDown, lane, count, data)
  return { lanes, count, data, margin }
}

function sampleLane(
  { width, height, data, bits }: Pixels,
  [redRoot, greenRoot, blueRoot]: Float64Array[],
  h: Homography,
  isDown: boolean,
  lane: number,
  count: number,
  into: Float32Array[],
): void {
  const [red, green, blue] = into as [Float32Array, Float32Array, Float32Array]
  const unit = 255 / samplesAcross
  const shift = bits === 16 ? 8 : 0
  for (let n = 0; n < count; n++) {
    const t = (n + 0.5) / count
    let [r, g, b] = [0, 0, 0]
    for (let k = 0; k < samplesAcross; k++) {
      const s = margin + ((1 - 2 * margin) * (lane + (k + 0.5) / samplesAcross)) / lanes
      const [u, v] = isDown ? [s, t] : [t, s]
      const w = h[6] * u + h[7] * v + h[8]
      const x = Math.min(width - 1, Math.max(0, Math.floor((h[0] * u + h[1] * v + h[2]) / w)))
      const y = Math.min(height - 1, Math.max(0, Math.floor((h[3] * u + h[4] * v + h[5]) / w)))
      const i = (y * width + x) * 3
      r += redRoot![data[i]! >> shift]!
      g += greenRoot![data[i + 1]! >> shift]!
      b += blueRoot![data[i + 2]! >> shift]!
    }
    const at = lane * count + n
    red[at] = r * unit
    green[at] = g * unit
    blue[at] = b * unit
  }
}
