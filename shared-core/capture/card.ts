import { labToXyz } from '../colour/lab.ts'
import { apply3, invert3 } from '../colour/matrix.ts'
import type { DecodeTables, RgbProfile } from '../colour/profile.ts'
import type { Card } from '../records/area.ts'
import type { Caution } from '../records/photo.ts'
import { type Grid, gridOf } from './grid.ts'
import { findPaint, type Paint } from './paint.ts'
import type { Pixels, Triple } from './pixels.ts'
import { quantile } from './statistics.ts'
import { words } from './words.ts'

/** What the card says about camera and light. */
export type Calibration = {
  /** Linear light of the card in the file. */
  light: Triple
  /** Multiplies linear light per channel so that the card comes out with its known colour. */
  gain: Triple
  /** Linear RGB that the card has by its known colour, 1 for white. */
  target: Triple
  /** L* of the card. */
  cardL: number
  /** Linear light that a perfect white would have in the file, in its strongest channel; above 1 it would clip. */
  white: number
  /** How far the card itself is off even, relative: the darkest tenth against the brightest. */
  unevenness: number
  /** Relative uncertainty of the card's own mean. */
  noise: number
}

export type CardResult =
  | { calibration: Calibration; cautions: Caution[]; refused: null }
  | { calibration: null; cautions: Caution[]; refused: Caution }

/** Below this linear light of the card, the numbers of an 8-bit file stand a fiftieth apart or more. */
const darkCard = 0.025
const blackCard = 0.003
/** The darkest twentieth of an even card is at least this bright, relative to the brightest. */
const evenCard = 0.8
const shadowedCard = 0.72
const leastPixels = 9

const refuse = (refused: Caution): CardResult => ({ calibration: null, cautions: [], refused })

/** Reads the card and works out the gain per channel in the profile's own linear RGB. */
export function readCard(pixels: Pixels, tables: DecodeTables, profile: RgbProfile, card: Card): CardResult {
  const xyz = labToXyz(card.lab)
  const [r, g, b] = apply3(invert3(profile.toXyzD50), [xyz.x, xyz.y, xyz.z])
  const target: Triple = [r, g, b]
  if (target.some((t) => t < 1e-4)) return refuse(words.cardColour)
  const grid = gridOf(pixels, tables, { kind: 'quad', quad: card.quad })
  if (!grid || grid.pixelCount < leastPixels) return refuse(words.cardUnreadable)
  if (Math.max(...grid.atFull) > grid.pixelCount / 4) return refuse(words.overexposed)
  const paint = findPaint(grid, [1, 1, 1])
  if (!paint) return refuse(words.overexposed)
  const level = Math.min(...paint.linear)
  if (level < blackCard) return refuse(words.tooDark)
  const cautions: Caution[] = []
  if (level < darkCard) cautions.push(words.tooDark)
  const unevenness = 1 - lowToHigh(grid)
  // noise alone makes a dark card look uneven
  const tolerance = Math.max(0, 6 * paint.texture - 0.3)
  if (1 - unevenness < shadowedCard - tolerance && isTwoLevels(grid)) cautions.push(words.cardHalfShadow)
  else if (1 - unevenness < evenCard - tolerance) cautions.push(words.cardNotEven)
  const gain: Triple = [target[0] / paint.linear[0], target[1] / paint.linear[1], target[2] / paint.linear[2]]
  return {
    calibration: {
      light: paint.linear,
      gain,
      target,
      cardL: card.lab.l,
      white: 1 / Math.min(...gain),
      unevenness,
      noise: noiseOf(paint),
    },
    cautions,
    refused: null,
  }
}

const noiseOf = (paint: Paint) => paint.spread / Math.sqrt(Math.max(1, paint.kept / 4))

const sumOf = (mean: Triple) => mean[0] + mean[1] + mean[2]

function lowToHigh(grid: Grid): number {
  const brightness = grid.cells.flatMap((cell) => (cell ? [sumOf(cell.mean)] : []))
  return quantile(brightness, 0.05) / quantile(brightness, 0.95)
}

/**
 * Whether the blocks of the card fall into two levels, as a shadow's edge makes them, rather than run down a slope.
 * Method: the best split by Otsu's criterion. A slope leaves a quarter of its variance inside the two parts, a step hardly
 * any. Source: N. Otsu, IEEE Trans. Syst. Man Cybern. 9 (1979) 62–66.
 */
function isTwoLevels(grid: Grid): boolean {
  const sorted = grid.cells
    .flatMap((cell) => (cell ? [Math.log(sumOf(cell.mean) + 1e-6)] : []))
    .toSorted((a, b) => a - b)
  const total = sorted.reduce((a, b) => a + b, 0)
  const mean = total / sorted.length
  const variance = sorted.reduce((sum, v) => sum + (v - mean) ** 2, 0)
  let best = 0
  let below = 0
  for (let i = 1; i < sorted.length; i++) {
    below += sorted[i - 1]!
    const between =
      i * (below / i - mean) ** 2 + (sorted.length - i) * ((total - below) / (sorted.length - i) - mean) ** 2
    best = Math.max(best, between)
  }
  return best > 0.8 * variance
}
