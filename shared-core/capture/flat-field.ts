import { type DecodeTables, decodeTable, type RgbProfile } from '../colour/profile.ts'
import type { Quad } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { solveLinear } from './geometry.ts'
import { edge, gridOf } from './grid.ts'
import type { Pixels, Triple } from './pixels.ts'
import { quantile } from './statistics.ts'
import { words } from './words.ts'

/** How light and lens spread over a photo, from a picture of a blank sheet in the same light. */
export type FlatField = {
  version: 1
  /** Width over height of the photo that it was learnt from, upright. */
  aspect: number
  /** For each channel: natural logarithm of its light against the middle, as a polynomial in x and y (−1 to 1). */
  terms: [number[], number[], number[]]
  /** Light of the weakest place against the strongest, in green. */
  evenness: number
  /** Relative scatter of the blocks about the surface. */
  scatter: number
}

const degree = 4
/** Powers of x and y, the constant left out: only the ratio to the middle counts. */
const powers = Array.from({ length: degree + 1 }, (_, sum) =>
  Array.from({ length: sum + 1 }, (_term, y) => [sum - y, y] as const),
)
  .flat()
  .slice(1)

/** Blocks of the sheet are averaged over at most this many pixels in all. */
const samples = 400_000
const rounds = 12
/** Scatter that is always allowed for: 8 bits and JPEG make as much (natural logarithm of light). */
const leastScatter = 0.004
/** A sheet scatters less; a wall, cloth or a sheet with things on it more. */
const mostScatter = 0.025
/** Blocks that do not follow the surface: the sheet's edges and what lies beyond them, along the photo's rim … */
const mostLeftOut = 0.3
const rim = 0.18
/** … and away from it dirt, the phone's shadow and things on the sheet. */
const mostLeftOutInside = 0.06
/** Sheets that are this clipped tell nothing of their brightest part. */
const mostClipped = 0.02
const darkSheet = 0.03
/** Light that falls off more than this across a photo is no light to read colours in. */
const leastEvenness = 0.3
const ridge = 1e-4

/**
 * Learns the spread of the light from a photo of a blank sheet.
 * Method: logarithm of the light of 28 × 28 blocks, each channel fitted by a polynomial of the fourth degree; what does not
 * lie on it (edges of the sheet, dirt, shadows) is left out by Tukey's biweight. Sheets need not be white, only even.
 * @param tables  light of the file's numbers; with the camera's tone curve undone they give the truer field
 */
export function flatFieldOf(
  pixels: Pixels,
  profile: RgbProfile,
  tables: DecodeTables = decodeTable(profile, pixels.bits),
): FlatField | { refused: Caution } {
  const photo: Quad = [
    [0, 0],
    [pixels.width, 0],
    [pixels.width, pixels.height],
    [0, pixels.height],
  ]
  const grid = gridOf(pixels, tables, { kind: 'quad', quad: photo }, samples)
  const cells = (grid?.cells ?? []).filter((cell) => cell !== null)
  if (!grid || cells.length < 4 * powers.length) return { refused: words.flatTooSmall }
  const clipped = cells.filter((cell) => cell.clipped > mostClipped).length
  if (clipped > mostClipped * cells.length) return { refused: words.flatOverexposed }
  const lit = cells.filter((cell) => Math.min(...cell.mean) > 1e-4 && cell.clipped <= mostClipped)
  const level = quantile(
    cells.map((cell) => cell.mean[1]),
    0.5,
  )
  if (level < darkSheet || lit.length < cells.length / 2) return { refused: words.flatTooDark }
  const points = lit.map((cell) => {
    const [x, y] = [inPhoto(cell.u), inPhoto(cell.v)]
    const inside = Math.min(x, y, 1 - x, 1 - y) > rim
    return { inside, terms: termsAt(x, y), light: cell.mean.map((v) => Math.log(Math.max(v, 1e-6))) }
  })
  const { fits, scatter, leftOut } = fitChannels(points)
  const things = leftOut.filter(({ inside }) => inside).length
  const isBlank = (out: number, of: Point[]) => out <= mostLeftOutInside * of.length
  const within = points.filter(({ inside }) => inside)
  if (scatter > mostScatter || !isBlank(things, within)) {
    const alone = fitChannels(within)
    const blankWithin = alone.scatter <= mostScatter && isBlank(alone.leftOut.length, within)
    return { refused: blankWithin ? words.flatNotFilling : words.flatStructured }
  }
  if (leftOut.length + cells.length - lit.length > mostLeftOut * cells.length) return { refused: words.flatNotFilling }
  const terms = fits.map((fit) => fit.terms) as FlatField['terms']
  const field: FlatField = { version: 1, aspect: pixels.width / pixels.height, terms, evenness: 1, scatter }
  const greens = lit.map((cell) => relativeAt(field, inPhoto(cell.u), inPhoto(cell.v))[1])
  field.evenness = Math.min(...greens) / Math.max(...greens)
  return field.evenness < leastEvenness ? { refused: words.flatUneven } : field
}

/** Whether a flat field was taken the same way up as a photo, with the same shape of picture. */
export const flatSuits = (flat: FlatField, photo: Pick<Pixels, 'width' | 'height'>): boolean =>
  Math.abs(Math.log((flat.aspect * photo.height) / photo.width)) < 0.02

/**
 * What takes the unevenness of the light out at a place: multiplies linear light, tone curve undone.
 * @param x01, y01  0 to 1 across the upright photo, from its left and its top; beyond what was seen the last of it counts
 */
export function flatAt(flat: FlatField, x01: number, y01: number): Triple {
  const within = (v: number) => Math.min(1 - edge, Math.max(edge, v))
  const [r, g, b] = relativeAt(flat, within(x01), within(y01))
  return [1 / r, 1 / g, 1 / b]
}

/** Blocks lie inside the photo's own edge. */
const inPhoto = (u: number) => edge + u * (1 - 2 * edge)

function termsAt(x01: number, y01: number): number[] {
  const [x, y] = [2 * x01 - 1, 2 * y01 - 1]
  return powers.map(([i, j]) => x ** i * y ** j)
}

function relativeAt({ terms }: FlatField, x01: number, y01: number): Triple {
  const at = termsAt(x01, y01)
  const of = (c: 0 | 1 | 2) => Math.exp(at.reduce((sum, v, i) => sum + v * terms[c][i]!, 0))
  return [of(0), of(1), of(2)]
}

type Point = { inside: boolean; terms: number[]; light: number[] }
type Value = { terms: number[]; value: number }

function fitChannels(points: Point[]) {
  const fits = [0, 1, 2].map((c) => fitSurface(points.map(({ terms, light }) => ({ terms, value: light[c]! }))))
  return {
    fits,
    scatter: Math.max(...fits.map((fit) => fit.scatter)),
    leftOut: points.filter((_point, i) => fits.some(({ weights }) => weights[i] === 0)),
  }
}

function fitSurface(values: Value[]): { terms: number[]; scatter: number; weights: number[] } {
  const count = powers.length + 1
  const middle = quantile(
    values.map(({ value }) => value),
    0.5,
  )
  let weights = values.map(() => 1)
  let found: number[] = []
  let scatter = 0
  for (let round = 0; round < rounds; round++) {
    const rows = Array.from({ length: count }, () => Array<number>(count + 1).fill(0))
    let total = 0
    values.forEach(({ terms, value }, n) => {
      const w = weights[n]!
      if (w === 0) return
      total += w
      const x = [1, ...terms]
      for (let i = 0; i < count; i++) {
        for (let j = 0; j < count; j++) rows[i]![j]! += w * x[i]! * x[j]!
        rows[i]![count]! += w * x[i]! * (value - middle)
      }
    })
    // a little ridge: where few blocks are left, the surface stays calm
    for (let i = 1; i < count; i++) rows[i]![i]! += ridge * total
    found = solveLinear(rows)
    const left = values.map(({ terms, value }) =>
      Math.abs(value - middle - found[0]! - terms.reduce((sum, v, i) => sum + v * found[i + 1]!, 0)),
    )
    scatter = 1.4826 * quantile(left, 0.5)
    const reach = 4.7 * Math.max(scatter, leastScatter)
    weights = left.map((r) => (r < reach ? (1 - (r / reach) ** 2) ** 2 : 0))
  }
  return { terms: found.slice(1), scatter, weights }
}
