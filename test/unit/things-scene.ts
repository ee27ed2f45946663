import { chartColours } from '../../shared-core/capture/camera/chart.ts'
import { homographyBetween, mapPoint, unitSquare } from '../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'
import { type LabTriple, linearOf } from './capture-scene.ts'

/** A flat thing in a picture: what colour it has at a place of its own, 0 to 1 both ways. */
export type Flat = { quad: Quad; at: (u: number, v: number) => LabTriple; grain?: number }

export const plain =
  (...lab: LabTriple) =>
  (): LabTriple =>
    lab

/** Uneven numbers that are the same every time: the well-known generator of Lehmer, 48271 modulo 2³¹ − 1. */
export function unevenness(seed: number): () => number {
  let state = seed
  return () => {
    state = (state * 48271) % 2147483647
    return state / 2147483647 - 0.5
  }
}

const encoded = Float64Array.from({ length: 4097 }, (_, i) => {
  const linear = i / 4096
  return 255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055)
})

/** Things on a ground with grain and light that falls off; sRGB numbers of 8 bits. Later things lie on earlier ones. */
export function pictureOf(width: number, height: number, ground: LabTriple, things: Flat[]): Pixels {
  const random = unevenness(4711)
  const maps = things.map(({ quad }) => homographyBetween(quad, unitSquare))
  const linears = new Map<number, LabTriple>()
  const linear = ([l, a, b]: LabTriple): LabTriple => {
    const key = l * 1e8 + a * 1e4 + b
    const known = linears.get(key) ?? linearOf([l, a, b])
    linears.set(key, known)
    return known
  }
  const data = new Uint8Array(width * height * 3)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let lab = ground
      let grain = 0.04
      for (const [i, thing] of things.entries()) {
        const [u, v] = mapPoint(maps[i]!, [x + 0.5, y + 0.5])
        if (!(u >= 0 && u < 1 && v >= 0 && v < 1)) continue
        lab = thing.at(u, v)
        grain = thing.grain ?? 0.02
      }
      const light = (0.85 - (0.2 * x) / width) * (1 + grain * 2 * random())
      const seenHere = linear(lab)
      for (let c = 0; c < 3; c++) {
        const lit = Math.min(1, Math.max(0, seenHere[c]! * light))
        const code = encoded[Math.round(lit * 4096)]! + 2 * random()
        data[(y * width + x) * 3 + c] = Math.round(Math.min(255, Math.max(0, code)))
      }
    }
  }
  return { width, height, channels: 3, bits: 8, data }
}

/** Where a tilted camera sees a rectangle of the bench; `turn` in radians. */
export function seen([x, y]: Point, wide: number, high: number, turn: number, tilt: number): Quad {
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  return [
    [-0.5, -0.5],
    [0.5, -0.5],
    [0.5, 0.5],
    [-0.5, 0.5],
  ].map(([u, v]): Point => {
    const [dx, dy] = [c * u! * wide - s * v! * high, s * u! * wide + c * v! * high]
    const far = 1 + tilt * (dy / 1000)
    return [x + dx / far, y + (dy * 0.92) / far]
  }) as Quad
}

const colours = chartColours('avg30')

/** A chart of 24 patches in a dark frame: the outline goes half a gap beyond the patches. */
export const chart = (u: number, v: number): LabTriple => {
  const [column, row] = [Math.floor(u * 6), Math.floor(v * 4)]
  const inside = Math.max(Math.abs(u * 6 - column - 0.5), Math.abs(v * 4 - row - 0.5)) < 0.41
  const { l, a, b } = colours[row * 6 + column]!
  return inside ? [l, a, b] : [12, 0, 0]
}

/** Corners of a quadrilateral from another one on, and the other way round: a thing that lies turned, or seen in a mirror. */
export const turnedBy = (quad: Quad, n: number): Quad => [0, 1, 2, 3].map((i) => quad[(i + n) % 4]!) as Quad
export const mirrored = ([a, b, c, d]: Quad): Quad => [b, a, d, c]
