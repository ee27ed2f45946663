import { fitInto } from '../colour/gamut.ts'
import { type Lab, xyzToLab } from '../colour/lab.ts'
import { apply3, invert3, type Matrix3, multiply3 } from '../colour/matrix.ts'
import type { RgbProfile } from '../colour/profile.ts'
import { displayP3, type RgbSpace, rgbToXyzD50Matrix, srgb } from '../colour/spaces.ts'
import type { Quad, Shape } from '../records/area.ts'
import type { ScreenSpace } from '../records/side.ts'
import { type Camera, surfaceOf } from './camera/model.ts'
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
 * @returns       a picture that comes about row by row: whoever asks may do something else after each
 */
export function* correctArea(
  pixels: Pixels,
  profile: RgbProfile,
  shape: Shape,
  { learned, tables }: Pick<LayoutLearned, 'learned' | 'tables'>,
  space: ScreenSpace,
): Generator<undefined, CorrectedPicture> {
  const { widthPx: width, heightPx: height, smaller } = correctedSize(shape)
  const picture: Quad = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ]
  const toPhoto = homographyBetween(picture, correctedQuad(shape))
  const { camera, light } = learned
  const target = spaces[space]
  const correctRow = rowOf({
    width,
    sample: sampler(pixels, tables, toPhoto, smaller),
    factorAt: evenly(toPhoto, width, height, light?.factor ?? null),
    camera,
    toScreen: multiply3(invert3(rgbToXyzD50Matrix(target)), profile.toXyzD50),
    fit: fitInto(target),
    codes: encodeTable(target),
  })
  const rgb = new Uint8Array(width * height * 3)
  const sums = new Float64Array(4)
  for (let y = 0; y < height; y++) {
    correctRow(y, rgb, sums)
    yield
  }
  const count = width * height
  const mean: Triple = [sums[0]! / count, sums[1]! / count, sums[2]! / count]
  const [x, y, z] = apply3(rgbToXyzD50Matrix(target), mean)
  return { width, height, rgb, mean: xyzToLab({ x, y, z }), outside: sums[3]! / count }
}

type Row = {
  width: number
  sample: (x: number, y: number, into: Float64Array) => void
  factorAt: (x: number, y: number, into: Float64Array) => void
  camera: Camera
  toScreen: Matrix3
  fit: ReturnType<typeof fitInto>
  codes: Uint8Array
}

/** Corrects one row. @returns a function that adds to `sums`: the screen's linear red, green and blue, and how many lay outside */
function rowOf({ width, sample, factorAt, camera, toScreen, fit, codes }: Row) {
  const light = new Float64Array(3)
  const by = new Float64Array(3)
  return (y: number, rgb: Uint8Array, sums: Float64Array): void => {
    for (let x = 0; x < width; x++) {
      sample(x, y, light)
      factorAt(x, y, by)
      const surface = surfaceOf([light[0]! * by[0]!, light[1]! * by[1]!, light[2]! * by[2]!], camera)
      const [r, g, b] = apply3(toScreen, surface)
      sums[0]! += r
      sums[1]! += g
      sums[2]! += b
      light[0] = r
      light[1] = g
      light[2] = b
      if (fit(light)) sums[3]!++
      const at = (y * width + x) * 3
      for (let c = 0; c < 3; c++) rgb[at + c] = codes[Math.round(Math.sqrt(light[c]!) * encodeSteps)]!
    }
  }
}

const encodeTable = ({ encode }: RgbSpace): Uint8Array =>
  Uint8Array.from({ length: encodeSteps + 1 }, (_, i) => Math.round(255 * encode((i / encodeSteps) ** 2)))

/** Light before the tone curve under a pixel of the picture: bilinear, in light, so that nothing bright is lost. */
function sampler(
  { data, width, height }: Pixels,
  [red, green, blue]: LayoutLearned['tables'],
  h: Homography,
  smaller: number,
) {
  const [h0, h1, h2, h3, h4, h5, h6, h7, h8] = h
  // samples a side for one pixel of the picture; a hair over one is one, as rounding of its size makes it
  const steps = Math.ceil(smaller - 0.05)
  const count = steps * steps
  const [lastX, lastY] = [width - 1, height - 1]
  return (x: number, y: number, into: Float64Array): void => {
    let [r, g, b] = [0, 0, 0]
    for (let j = 0; j < steps; j++) {
      const v = y + (j + 0.5) / steps
      for (let i = 0; i < steps; i++) {
        const u = x + (i + 0.5) / steps
        const w = h6 * u + h7 * v + h8
        const px = Math.min(lastX, Math.max(0, (h0 * u + h1 * v + h2) / w - 0.5))
        const py = Math.min(lastY, Math.max(0, (h3 * u + h4 * v + h5) / w - 0.5))
        const [left, top] = [Math.floor(px), Math.floor(py)]
        const [fx, fy] = [px - left, py - top]
        const a = (top * width + left) * 3
        const across = left < lastX ? 3 : 0
        const down = top < lastY ? width * 3 : 0
        const [wa, wb, wc, wd] = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy]
        const [pb, pc, pd] = [a + across, a + down, a + across + down]
        r += wa * red[data[a]!]! + wb * red[data[pb]!]! + wc * red[data[pc]!]! + wd * red[data[pd]!]!
        g +=
          wa * green[data[a + 1]!]! +
          wb * green[data[pb + 1]!]! +
          wc * green[data[pc + 1]!]! +
          wd * green[data[pd + 1]!]!
        b +=
          wa * blue[data[a + 2]!]! + wb * blue[data[pb + 2]!]! + wc * blue[data[pc + 2]!]! + wd * blue[data[pd + 2]!]!
      }
    }
    into[0] = r / count
    into[1] = g / count
    into[2] = b / count
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
