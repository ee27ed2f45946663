import { z } from 'zod'
import { homographyBetween, isConvex, mapPoint, unitSquare } from '../../capture/geometry.ts'
import type { Pixels } from '../../capture/pixels.ts'
import { type Lab, lightnessOf, xyzToLab } from '../../colour/lab.ts'
import { apply3 } from '../../colour/matrix.ts'
import { decodeTable, srgbProfile } from '../../colour/profile.ts'
import { Quad } from '../../records/area.ts'
import { LabRecord } from '../../records/colour.ts'
import type { Run } from './strips.ts'

/**
 * What a quadrilateral of a small sRGB picture looks like along both of its sides: means of slices, Lab D50, 2°, as the camera gave
 * them. Good enough to tell strips apart, not to read a colour from.
 */
export const ColoursAlong = z.object({
  quad: Quad,
  down: z.array(LabRecord).max(100),
  right: z.array(LabRecord).max(100),
  /** How much of it the camera could not tell apart any more, 0 to 1. */
  clipped: z.number(),
})
export type ColoursAlong = z.infer<typeof ColoursAlong>

export const slices = 24
/** Of each slice its middle part is looked at: edges of tape and panel lie outside. */
const inset = 0.2
const samples = 9
/** Of 255: here the camera saw no difference any more. */
const blown = 253

/**
 * @param pixels  sRGB, 8 bits
 * @param quad    on the upright photo
 * @param photo   the size of that photo, of which `pixels` is a smaller picture
 */
export function coloursAlong(
  pixels: Pixels,
  quad: Quad,
  photo: { width: number; height: number },
): ColoursAlong | null {
  if (!isConvex(quad)) return null
  const h = homographyBetween(unitSquare, quad)
  const decode = decodeTable(srgbProfile, 8)
  const [across, down] = [pixels.width / photo.width, pixels.height / photo.height]
  let [clipped, all] = [0, 0]
  const at = (u: number, v: number): [number, number, number] | null => {
    const [x, y] = mapPoint(h, [u, v])
    const [px, py] = [Math.floor(x * across), Math.floor(y * down)]
    if (!(px >= 0 && py >= 0 && px < pixels.width && py < pixels.height)) return null
    const i = (py * pixels.width + px) * pixels.channels
    const codes = [pixels.data[i]!, pixels.data[i + 1]!, pixels.data[i + 2]!] as const
    all++
    if (codes.some((code) => code >= blown)) clipped++
    return [decode[0][codes[0]]!, decode[1][codes[1]]!, decode[2][codes[2]]!]
  }
  const slice = (run: Run, index: number): Lab => {
    const sum = [0, 0, 0]
    let count = 0
    for (let i = 0; i < samples; i++) {
      const side = inset + ((1 - 2 * inset) * (i + 0.5)) / samples
      const on = (index + 0.5) / slices
      const light = run === 'down' ? at(side, on) : at(on, side)
      if (!light) continue
      count++
      for (let c = 0; c < 3; c++) sum[c]! += light[c]!
    }
    const n = Math.max(1, count)
    const xyz = apply3(srgbProfile.toXyzD50, [sum[0]! / n, sum[1]! / n, sum[2]! / n])
    return rounded(xyzToLab({ x: xyz[0], y: xyz[1], z: xyz[2] }))
  }
  const along = (run: Run): Lab[] => Array.from({ length: slices }, (_, i) => slice(run, i))
  const found = { quad, down: along('down'), right: along('right') }
  return { ...found, clipped: all === 0 ? 0 : Math.round((1000 * clipped) / all) / 1000 }
}

const tenth = (value: number): number => Math.round(value * 10) / 10
const rounded = ({ l, a, b }: Lab): Lab => ({ l: tenth(l), a: tenth(a), b: tenth(b) })

/** What was seen along this very outline. */
export const alongOf = (quad: Quad, colours: readonly ColoursAlong[]): ColoursAlong | undefined =>
  colours.find((one) => JSON.stringify(one.quad) === JSON.stringify(quad))

/** `uneven`: between which the middle half of its lightness lies, as where a lamp shows in it. */
export type StripColour = { lab: Lab; uneven: number }

/** Medians of strips between cuts, so that an edge or a highlight in one slice does not count; null for one that no slice lies in. */
export function coloursOfStrips(along: readonly Lab[], cuts: readonly number[]): (StripColour | null)[] {
  const edges = [0, ...cuts, 1]
  return edges.slice(1).map((to, i) => {
    const from = edges[i]!
    // light that spills over an edge, or tape that lay askew, is left out where the strip is wide enough
    const margin = Math.min((to - from) * 0.2, 1 / slices)
    const inside = along.filter((_, k) => {
      const middle = (k + 0.5) / along.length
      return middle >= from + margin && middle <= to - margin
    })
    const chosen = inside.length > 0 ? inside : along.filter((_, k) => isNearest(k, along.length, (from + to) / 2))
    if (chosen.length === 0) return null
    const lightness = quartiles(chosen.map(({ l }) => l))
    const [a, b] = [quartiles(chosen.map((lab) => lab.a)), quartiles(chosen.map((lab) => lab.b))]
    return { lab: { l: lightness.middle, a: a.middle, b: b.middle }, uneven: lightness.apart }
  })
}

const isNearest = (k: number, count: number, at: number): boolean => Math.abs((k + 0.5) / count - at) <= 0.5 / count

export function meanOf(labs: readonly Lab[]): Lab {
  const mean = (of: (lab: Lab) => number) => labs.reduce((sum, lab) => sum + of(lab), 0) / labs.length
  return { l: mean((lab) => lab.l), a: mean((lab) => lab.a), b: mean((lab) => lab.b) }
}

/** L* of the 98th percentile of all pixels: a few glints do not make a photo bright. */
export function brightestOf({ data, width, height, channels }: Pixels): number {
  const decode = decodeTable(srgbProfile, 8)
  const row = srgbProfile.toXyzD50.slice(3, 6)
  const counts = new Uint32Array(101)
  for (let i = 0; i < width * height * channels; i += channels) {
    const y = row[0]! * decode[0][data[i]!]! + row[1]! * decode[1][data[i + 1]!]! + row[2]! * decode[2][data[i + 2]!]!
    counts[Math.max(0, Math.min(100, Math.round(lightnessOf(y))))]!++
  }
  let above = (width * height) / 50
  for (let l = 100; l >= 0; l--) {
    above -= counts[l]!
    if (above < 0) return l
  }
  return 0
}

function quartiles(values: readonly number[]): { middle: number; apart: number } {
  const sorted = values.toSorted((a, b) => a - b)
  const at = (share: number): number => {
    const place = share * (sorted.length - 1)
    const [low, high] = [sorted[Math.floor(place)]!, sorted[Math.ceil(place)]!]
    return low + (high - low) * (place - Math.floor(place))
  }
  return { middle: at(0.5), apart: at(0.75) - at(0.25) }
}
