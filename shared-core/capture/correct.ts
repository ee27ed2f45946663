import { fitInto } from '../colour/gamut.ts'
import { type Lab, xyzToLab } from '../colour/lab.ts'
import { apply3, invert3, type Matrix3, multiply3 } from '../colour/matrix.ts'
import type { RgbProfile } from '../colour/profile.ts'
import { displayP3, type RgbSpace, rgbToXyzD50Matrix, srgb } from '../colour/spaces.ts'
import type { Quad, Shape } from '../records/area.ts'
import type { ScreenSpace } from '../records/side.ts'
import { surfaceOf } from './camera/model.ts'
import { type Homography, homographyBetween, mapPoint, outlineOf, shrinkQuad, sidesOf } from './geometry.ts'
import { edge } from './grid.ts'
import type { LayoutLearned } from './learn-layout.ts'
import type { Pixels, Triple } from './pixels.ts'

/** A part of a photo made rectangular, its colours corrected: what a screen shows in place of the paint. */
export type CorrectedPicture = {
  width: number
  height: number
  /** Upright 8-bit RGB, row by row, in the space asked for. */
  rgb: Uint8Array
  /** Mean of its light as Lab (D50, 2°), before anything was fitted to the screen. */
  mean: Lab
  /** Share of the pixels that lay outside of the space. */
  outside: number
}

/** A longer side than this is made smaller: no screen shows more of it at once, and it is 12 megabytes already. */
const mostSide = 2000

/**
 * The part of a photo that a reading's correction is shown on: what was read, without the edge that reading leaves off. Of a
 * round area the largest square in it.
 */
export function correctedQuad(shape: Shape): Quad {
  if (shape.kind !== 'round') return shrinkQuad(outlineOf(shape), edge)
  const radius = shape.radius * Math.SQRT1_2
  return outlineOf({ ...shape, radius })
}

/** How large the picture of a shape becomes, and by how much it is smaller than in the photo (1: as there). */
export function correctedSize(shape: Shape): { widthPx: number; heightPx: number; smaller: number } {
  const { width, height } = sidesOf(correctedQuad(shape))
  const smaller = Math.max(1, Math.max(width, height) / mostSide)
  const whole = (side: number) => Math.max(1, Math.round(side / smaller))
  return { widthPx: whole(width), heightPx: whole(height), smaller }
}

const spaces: Record<ScreenSpace, RgbSpace> = { sRGB: srgb, 'Display P3': displayP3 }

/** Between these places the fall-off of the light is taken as straight: it is smooth over a whole photo. */
const lattice = 16
/** Steps of the table that encodes light, even in its square root, where 8 bits are closest. */
const encodeSteps = 4096

/**
 * Lays the correction that gave a reading on every pixel of what was read.
 * Method: as `readLayout` turns the mean of an area into its colour, each pixel by itself: tone curve undone, smoothed to
 * the picture's pixels in light, the light's fall-off taken out where it is, exposure and white balance, colour terms,
 * XYZ (D50), the screen's primaries, and what does not fit into them fitted by `fitInto`.
 * The mean of the light is then the reading but for two things: colour terms of a mean are not quite the mean of colour
 * terms, and a reading leaves glare and dust out.
 * @param pixels  file numbers, upright; the shape is in their coordinates and has an inside
 */
export function correctArea(
  pixels: Pixels,
  profile: RgbProfile,
  shape: Shape,
  { learned, tables }: Pick<LayoutLearned, 'learned' | 'tables'>,
  space: ScreenSpace,
): CorrectedPicture {
  const { widthPx: width, heightPx: height } = correctedSize(shape)
  const quad = correctedQuad(shape)
  const toPhoto = homographyBetween(
    [
      [0, 0],
      [width, 0],
      [width, height],
      [0, height],
    ],
    quad,
  )
  const sample = sampler(pixels, tables, toPhoto)
  const factorAt = evenly(toPhoto, width, height, learned.light?.factor ?? null)
  const target = spaces[space]
  const fromXyz = invert3(rgbToXyzD50Matrix(target))
  const toScreen: Matrix3 = multiply3(fromXyz, profile.toXyzD50)
  const fit = fitInto(target)
  const codes = encodeTable(target)
  const rgb = new Uint8Array(width * height * 3)
  const light = new Float64Array(3)
  const by = new Float64Array(3)
  const sum = [0, 0, 0]
  let outside = 0
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      sample(x, y, light)
      factorAt(x, y, by)
      const surface = surfaceOf([light[0]! * by[0]!, light[1]! * by[1]!, light[2]! * by[2]!], learned.camera)
      const [r, g, b] = apply3(toScreen, surface)
      sum[0]! += r
      sum[1]! += g
      sum[2]! += b
      light[0] = r
      light[1] = g
      light[2] = b
      if (fit(light)) outside++
      const at = (y * width + x) * 3
      for (let c = 0; c < 3; c++) rgb[at + c] = codes[Math.round(Math.sqrt(light[c]!) * encodeSteps)]!
    }
  }
  const count = width * height
  const [x, y, z] = apply3(rgbToXyzD50Matrix(target), [sum[0]! / count, sum[1]! / count, sum[2]! / count])
  return { width, height, rgb, mean: xyzToLab({ x, y, z }), outside: outside / count }
}

const encodeTable = ({ encode }: RgbSpace): Uint8Array =>
  Uint8Array.from({ length: encodeSteps + 1 }, (_, i) => Math.round(255 * encode((i / encodeSteps) ** 2)))

/** Samples a side for one pixel of the picture where it is smaller than the photo. */
const mostSamples = 8

/** Light before the tone curve under a pixel of the picture: bilinear, in light, so that nothing bright is lost. */
function sampler({ data, width, height }: Pixels, tables: LayoutLearned['tables'], h: Homography) {
  const [red, green, blue] = tables
  const add = (x: number, y: number, into: Float64Array) => {
    const px = Math.min(width - 1, Math.max(0, x - 0.5))
    const py = Math.min(height - 1, Math.max(0, y - 0.5))
    const left = Math.floor(px)
    const top = Math.floor(py)
    const fx = px - left
    const fy = py - top
    const a = (top * width + left) * 3
    const b = left + 1 < width ? a + 3 : a
    const down = top + 1 < height ? width * 3 : 0
    const [wa, wb, wc, wd] = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy]
    const at = (table: Float64Array, c: number) =>
      wa * table[data[a + c]!]! +
      wb * table[data[b + c]!]! +
      wc * table[data[a + down + c]!]! +
      wd * table[data[b + down + c]!]!
    into[0]! += at(red, 0)
    into[1]! += at(green, 1)
    into[2]! += at(blue, 2)
  }
  return (x: number, y: number, into: Float64Array): void => {
    const [x0, y0] = mapPoint(h, [x + 0.5, y + 0.5])
    const [x1, y1] = mapPoint(h, [x + 1.5, y + 0.5])
    const [x2, y2] = mapPoint(h, [x + 0.5, y + 1.5])
    // a hair over one is one: rounding of the size makes it so
    const reach = Math.max(Math.hypot(x1 - x0, y1 - y0), Math.hypot(x2 - x0, y2 - y0)) - 0.05
    const steps = Math.min(mostSamples, Math.max(1, Math.ceil(reach)))
    into.fill(0)
    for (let j = 0; j < steps; j++) {
      for (let i = 0; i < steps; i++) {
        const [px, py] = steps === 1 ? [x0, y0] : mapPoint(h, [x + (i + 0.5) / steps, y + (j + 0.5) / steps])
        add(px, py, into)
      }
    }
    const count = steps * steps
    into[0]! /= count
    into[1]! /= count
    into[2]! /= count
  }
}

type Factor = NonNullable<NonNullable<LayoutLearned['learned']['light']>>['factor']

/** What takes the light's fall-off out at a pixel of the picture. */
function evenly(toPhoto: Homography, width: number, height: number, factor: Factor | null) {
  if (!factor) return (_x: number, _y: number, into: Float64Array) => void into.fill(1)
  const nodes: Triple[] = []
  for (let j = 0; j <= lattice; j++) {
    for (let i = 0; i <= lattice; i++)
      nodes.push(factor(mapPoint(toPhoto, [(i / lattice) * width, (j / lattice) * height])))
  }
  return (x: number, y: number, into: Float64Array): void => {
    const u = ((x + 0.5) / width) * lattice
    const v = ((y + 0.5) / height) * lattice
    const [i, j] = [Math.min(lattice - 1, Math.floor(u)), Math.min(lattice - 1, Math.floor(v))]
    const [fu, fv] = [u - i, v - j]
    const at = j * (lattice + 1) + i
    const [a, b, c, d] = [nodes[at]!, nodes[at + 1]!, nodes[at + lattice + 1]!, nodes[at + lattice + 2]!]
    for (let k = 0; k < 3; k++)
      into[k] = (a[k]! * (1 - fu) + b[k]! * fu) * (1 - fv) + (c[k]! * (1 - fu) + d[k]! * fu) * fv
  }
}
