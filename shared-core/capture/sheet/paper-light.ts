import type { Point } from '../../records/area.ts'
import { type Camera, redoTone, undoTone } from '../camera/model.ts'
import { mapPoint, solveLinear } from '../geometry.ts'
import { biweight, type Equations, equationsOf, leastSquares, leftOver, scatterOf } from '../least-squares.ts'
import type { LightMap } from '../light-map.ts'
import type { Triple } from '../pixels.ts'
import type { SheetPage } from './page.ts'
import type { WhiteCell } from './white-paper.ts'

/** How the light lies over a sheet by its bare paper. */
export type PaperLight = {
  map: LightMap
  /** Linear light of the paper in the file, as it would be in the middle of the page; null where it is beyond the file's limit. */
  white: Triple | null
  /** Relative scatter of the squares that follow the surface. */
  scatter: number
  /** Share of the squares that follow it: others lie in a shadow, in glare, on a fold or under something. */
  following: number
  /** Of the squares that tell: 0 for those that do not follow. */
  weights: Float64Array
}

/** Fewer squares than this tell no surface. */
const leastCells = 60
/** Of the squares that follow, so many tell of a channel by itself. */
const leastOwn = 0.4
const lengthMm = 100
/** Noise of a square that is always allowed for. */
const leastScatter = 0.003
const mostScatter = 0.03
const rounds = 8
const roundsOfTint = 4
const trials = 240
/** Every trial surface is held against about so many squares. */
const jury = 400
/** A square is taken to follow a trial surface within this (natural logarithm of light). */
const tolerance = 0.02
/** Shadows and things on the paper darken it, and reach farther than its own noise: less is allowed on the dark side. */
const reachDark = 3
const reachBright = 4.7
/** Of cubic terms, which few squares can tell: pulls them to nothing. */
const ridgeOfBend = 1

/**
 * The light over the sheet as a smooth surface through its bare paper.
 * Method: the logarithm of each square's light, tone curve undone, as a polynomial in place; first the surface that most
 * squares agree on among many laid through a few of them (shadows and glare may take a good part of the paper), then
 * Tukey's biweight, narrower on the dark side. The channels' ratios follow planes of their own: a second light.
 * @param before  weights of the same squares with another tone curve, to start from
 * @returns       null where too little paper is seen
 * Source: M. Fischler and R. Bolles, Commun. ACM 24 (1981) 381–395 (consensus of random samples).
 */
export function paperLightOf(
  cells: readonly WhiteCell[],
  page: SheetPage,
  camera: Pick<Camera, 'contrast' | 'power'>,
  before: Float64Array | null = null,
): PaperLight | null {
  const channels = tellingOf(cells)
  const telling = cells.filter(({ out }) => channels.every((c) => !out[c]))
  if (telling.length < leastCells) return null
  const { widthMm, heightMm } = page.places.paper
  const place = ([x, y]: Point): [number, number] => [(x - widthMm / 2) / lengthMm, (y - heightMm / 2) / lengthMm]
  const surface = (at: Point) => bent(place(at))
  const logAt = ({ mean }: WhiteCell, c: 0 | 1 | 2) => Math.log(Math.max(undoTone(mean[c], camera), 1e-6))
  const brightness = equationsOf(
    telling.map(({ page: at }) => surface(at)),
    telling.map((cell) => channels.reduce<number>((sum, c) => sum + logAt(cell, c) / channels.length, 0)),
  )
  const start = before?.length === telling.length ? before : agreedBy(brightness)
  const whole = robust(brightness, start, ridges(brightness.count, telling.length))
  const followed = telling.filter((_cell, i) => whole.weights[i]! > 0)
  // what is left of each channel when the common surface is taken off
  const tints = ([0, 1, 2] as const).map((c) => {
    const own = followed.filter(({ out }) => !out[c])
    if (own.length < Math.max(leastCells, leastOwn * followed.length)) return null
    const equations = equationsOf(
      own.map(({ page: at }) => [1, ...place(at)]),
      own.map((cell) => logAt(cell, c) - valueAt(surface(cell.page), whole.found)),
    )
    return robust(equations, new Float64Array(own.length).fill(1), [1e-9, 1e-9, 1e-9], roundsOfTint).found
  })
  const logOf = (at: Point, c: number) => valueAt(surface(at), whole.found) + valueAt([1, ...place(at)], tints[c] ?? [])
  const middle: Point = [widthMm / 2, heightMm / 2]
  const atMiddle = [0, 1, 2].map((c) => logOf(middle, c)) as Triple
  return {
    map: {
      from: 'sheet',
      camera,
      factor: (photo) => {
        const at = within(mapPoint(page.toPage, photo), widthMm, heightMm)
        return [0, 1, 2].map((c) => Math.exp(atMiddle[c]! - logOf(at, c))) as Triple
      },
    },
    white: tints.includes(null)
      ? null
      : (atMiddle.map((log) => redoTone(Math.min(1, Math.exp(log)), camera)) as Triple),
    scatter: whole.scatter,
    following: followed.length / telling.length,
    weights: whole.weights,
  }
}

/** The channels that most of the paper is below the file's limit in: their light is that of all. */
function tellingOf(cells: readonly WhiteCell[]): (0 | 1 | 2)[] {
  const whole = ([0, 1, 2] as const).map((c) => ({ c, count: cells.filter(({ out }) => !out[c]).length }))
  const most = Math.max(...whole.map(({ count }) => count))
  return whole.filter(({ count }) => count >= mostlyWhole * most).map(({ c }) => c)
}
const mostlyWhole = 0.8

/** Beyond the page the last of it counts: no paper told anything there. */
const within = ([x, y]: Point, widthMm: number, heightMm: number): Point => [
  Math.min(widthMm, Math.max(0, x)),
  Math.min(heightMm, Math.max(0, y)),
]

const quadratic = 6
const bent = ([u, v]: [number, number]) => [1, u, v, u * u, u * v, v * v, u * u * u, u * u * v, u * v * v, v * v * v]
const ridges = (count: number, cells: number) =>
  Array.from({ length: count }, (_, i) => (i < quadratic ? 1e-9 : ridgeOfBend * 1e-3 * cells))

const valueAt = (terms: readonly number[], found: readonly number[]): number => {
  let sum = 0
  for (let i = 0; i < terms.length; i++) sum += terms[i]! * (found[i] ?? 0)
  return sum
}

/** 1 for each square that lies on the quadratic surface which most of them agree on. */
function agreedBy({ terms, count, values }: Equations): Float64Array {
  const draw = numbers()
  const step = Math.max(1, Math.floor(values.length / jury))
  const awayFrom = (found: readonly number[], n: number): number => {
    let left = values[n]!
    for (let i = 0; i < quadratic; i++) left -= found[i]! * terms[n * count + i]!
    return left
  }
  let best: number[] | null = null
  let most = -1
  for (let trial = 0; trial < trials; trial++) {
    const found = through(
      Array.from({ length: quadratic }, () => {
        const n = Math.floor(draw() * values.length)
        return [...terms.subarray(n * count, n * count + quadratic), values[n]!]
      }),
    )
    if (!found) continue
    let agreed = 0
    for (let n = 0; n < values.length; n += step) agreed += Math.max(0, 1 - (awayFrom(found, n) / tolerance) ** 2)
    if (agreed <= most) continue
    most = agreed
    best = found
  }
  const surface = best
  return Float64Array.from(values, (_, n) => (!surface || Math.abs(awayFrom(surface, n)) < 2 * tolerance ? 1 : 0))
}

/** Null where the squares drawn lie so that many surfaces go through them. */
function through(rows: number[][]): number[] | null {
  try {
    return solveLinear(rows)
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
}

/** The same numbers each time, 0 to 1 (a linear congruence: Numerical Recipes' constants, from memory). */
function numbers(): () => number {
  let state = 20_011
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 32
  }
}

function robust(equations: Equations, start: Float64Array, ridge: readonly number[], count = rounds) {
  const weights = Float64Array.from(start)
  const away = new Float64Array(weights.length)
  let found: number[] = []
  let scatter = leastScatter
  for (let round = 0; round < count; round++) {
    found = leastSquares(equations, weights, ridge)
    leftOver(equations, found, away)
    const near = away.filter((_, i) => weights[i]! > 0)
    scatter = Math.min(mostScatter, Math.max(leastScatter, near.length > 0 ? scatterOf(near) : mostScatter))
    for (let i = 0; i < away.length; i++)
      weights[i] = biweight(away[i]!, (away[i]! < 0 ? reachDark : reachBright) * scatter)
  }
  return { found, weights, scatter }
}
