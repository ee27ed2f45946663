import { solveLinear } from './geometry.ts'
import type { Cell, Grid } from './grid.ts'
import type { Triple } from './pixels.ts'
import { halfSampleMode, quantile } from './statistics.ts'

/** What an area's blocks say once glare, shadow and dust are left out. */
export type Paint = {
  /** Linear light of the paint as the camera saw it, mean over the blocks kept. */
  linear: Triple
  /** Shares of the blocks left out: brighter than the paint, darker, and with numbers at the file's limit. */
  glare: number
  shadow: number
  clipped: number
  /** Relative spread from block to block after the light's slope is taken out: 1.4826 × median deviation. */
  spread: number
  /** Relative change of brightness across the area, from one side to the other, along its steepest direction. */
  slope: number
  /** Relative spread of pixels inside a block: flake, grain and noise. */
  texture: number
  /** Share of the pixels kept that have a channel at the file's limit: their true light is unknown, but more. */
  atLimit: number
  /** Blocks kept. */
  kept: number
}

type Seen = { cell: Cell; index: number; f: Triple; weight: number; residual: Triple; distance: number }
type Model = { base: Triple; slopeU: number; slopeV: number; scale: number }

/** Blocks are compared as cube roots of light: about equal steps to the eye from black to white. */
const root = (value: number) => Math.cbrt(Math.max(0, value))

/** A block may hold this much more clipped pixels than its quieter neighbours before it counts as glare. */
const clippedAllowance = 0.05
/** Relative deviation (of the cube root) that is always tolerated: numbers of 8 bits and JPEG blocks make as much. */
const leastScale = 0.004
const mostScale = 0.06
/** Ridge on the slope, as a share of the weights: steep slopes need the agreement of many blocks. */
const slopeRidge = 0.03
/** Ratios of cube roots this close count as the same purity. */
const likelyAsPure = 0.02
const glareLimit = 2.5
const shadowLimit = 4

/**
 * Finds the paint in an area: the colour that most blocks agree on once a common slope of the light is allowed for.
 * Method: half-sample mode of brightness, then iteratively reweighted least squares (Tukey's biweight) of a colour times
 * a plane; blocks brighter than that are glare (their neighbours too: glare fades out softly), darker ones are shadow.
 * @param light   linear light that a neutral surface reflects in this photo, relative; from the card, or [1, 1, 1]
 * @returns       null when two channels are clipped in every block
 * Source: Beaton and Tukey, Technometrics 16 (1974) 147–185 (biweight).
 */
export function findPaint(grid: Grid, light: Triple): Paint | null {
  const present = grid.cells.filter((cell) => cell !== null)
  const quiet = quantile(
    present.map((cell) => cell.clipped),
    0.25,
  )
  // where one channel is at its limit nearly everywhere, blocks are judged by a second channel instead
  const most = quiet > 0.5 ? 1 : quiet + clippedAllowance
  const seen: Seen[] = []
  grid.cells.forEach((cell, index) => {
    if (!cell || cell.clipped > most || cell.clippedTwice > 0.5) return
    const f: Triple = [root(cell.mean[0] / light[0]), root(cell.mean[1] / light[1]), root(cell.mean[2] / light[2])]
    seen.push({ cell, index, f, weight: 1, residual: [0, 0, 0], distance: 0 })
  })
  if (seen.length === 0) return null
  const model = fitModel(seen, grid)
  const { glare, shadow } = leaveOut(seen, model, grid)
  const kept = seen.filter((s) => s.weight > 0)
  const linear: Triple = [0, 0, 0]
  let pixels = 0
  let inside = 0
  let atLimit = 0
  for (const { cell } of kept) {
    pixels += cell.count
    atLimit += cell.clipped * cell.count
    for (let c = 0; c < 3; c++) linear[c]! += cell.mean[c]! * cell.count
    const sum = cell.mean[0] + cell.mean[1] + cell.mean[2]
    inside += (cell.count * Math.sqrt(Math.max(0, cell.meanSquare - sum * sum))) / Math.max(sum, 1e-6)
  }
  for (let c = 0; c < 3; c++) linear[c]! /= pixels
  return {
    linear,
    glare: glare / present.length,
    shadow: shadow / present.length,
    clipped: (present.length - seen.length) / present.length,
    // a relative change of the light is three times that of its cube root
    spread: 3 * model.scale,
    slope: 3 * Math.hypot(model.slopeU, model.slopeV),
    texture: inside / pixels,
    atLimit: atLimit / pixels,
    kept: kept.length,
  }
}

function fitModel(seen: Seen[], grid: Grid): Model {
  const most = Math.min(mostScale, 2 * noiseBetween(seen, grid) + leastScale)
  const pure = purest(seen)
  const brightness = pure.map(({ f }) => f[0] + f[1] + f[2])
  const mode = halfSampleMode(brightness)
  const near = pure.filter((_, i) => Math.abs(brightness[i]! - mode) <= 0.03 * mode + 1e-9)
  const start = near.length > 0 ? near : pure
  const base: Triple = [medianOf(start, 0), medianOf(start, 1), medianOf(start, 2)]
  let model: Model = { base, slopeU: 0, slopeV: 0, scale: 0.02 }
  for (let round = 0; round < 12; round++) {
    measure(seen, model)
    const nearThird = quantile(
      seen.map((s) => s.distance),
      0.3,
    )
    // 0.3 of a half-normal deviation lie within 0.39 of its scale, of three channels' mean square within 0.69
    const scale = Math.min(most, Math.max(leastScale, nearThird / 0.5))
    for (const s of seen) {
      const t = s.distance / (4.7 * scale)
      s.weight = t < 1 ? (1 - t * t) ** 2 : 0
    }
    model = { ...refit(seen, model), scale }
  }
  measure(seen, model)
  return model
}

/**
 * How much neighbouring blocks differ: flake, grain and noise do that, while glare and slopes of the light hardly change
 * from one block to the next. It limits what may still count as the same paint.
 */
function noiseBetween(seen: Seen[], grid: Grid): number {
  const byIndex = new Map(seen.map((s) => [s.index, s]))
  const size = Math.max(...seen.flatMap((s) => s.f), 1e-6)
  const steps = seen.flatMap((s) => {
    const next = (s.index + 1) % grid.columns === 0 ? undefined : byIndex.get(s.index + 1)
    if (!next) return []
    const squares = s.f.reduce((sum, v, c) => sum + (v - next.f[c]!) ** 2, 0)
    return [Math.sqrt(squares / 6) / size]
  })
  return steps.length < 8 ? mostScale : 1.4826 * quantile(steps, 0.5)
}

/**
 * The blocks of the purest colour, at least a third. Glare adds the light's own colour and so takes purity away, while a
 * shadow or a slope of the light leaves it; where all are about as pure, as on neutral paint, all of them are taken.
 */
function purest(seen: Seen[]): Seen[] {
  const greyness = seen.map(({ f }) => Math.min(...f) / Math.max(...f, 1e-6))
  const limit = Math.max(quantile(greyness, 1 / 3), quantile(greyness, 0.1) + likelyAsPure)
  return seen.filter((_, i) => greyness[i]! <= limit)
}

function measure(seen: Seen[], model: Model): void {
  const size = Math.max(...model.base, 1e-6)
  for (const s of seen) {
    const shade = 1 + model.slopeU * (s.cell.u - 0.5) + model.slopeV * (s.cell.v - 0.5)
    let squares = 0
    for (let c = 0; c < 3; c++) {
      const r = (s.f[c]! - model.base[c]! * shade) / size
      s.residual[c] = r
      squares += r * r
    }
    s.distance = Math.sqrt(squares / 3)
  }
}

function refit(seen: Seen[], model: Model): Model {
  const total = seen.reduce((sum, s) => sum + s.weight, 0)
  if (total <= 0) return model
  // the slope, common to the channels: least squares of the brightness along the colour found so far
  const strength = model.base[0] ** 2 + model.base[1] ** 2 + model.base[2] ** 2
  const rows = [
    [0, 0, 0, 0],
    [0, 0, 0, 0],
    [0, 0, 0, 0],
  ]
  for (const s of seen) {
    if (s.weight === 0) continue
    const along =
      (s.f[0] * model.base[0] + s.f[1] * model.base[1] + s.f[2] * model.base[2]) / Math.max(strength, 1e-12) - 1
    const x = [1, s.cell.u - 0.5, s.cell.v - 0.5]
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) rows[i]![j]! += s.weight * x[i]! * x[j]!
      rows[i]![3]! += s.weight * along * x[i]!
    }
  }
  // a little ridge keeps the slope at 0 where the blocks cannot tell it
  rows[1]![1]! += slopeRidge * total
  rows[2]![2]! += slopeRidge * total
  const [level = 0, slopeU = 0, slopeV = 0] = total < 6 ? [0, 0, 0] : solveLinear(rows)
  const base: Triple = [0, 0, 0]
  for (const s of seen) {
    const shade = 1 + (slopeU * (s.cell.u - 0.5) + slopeV * (s.cell.v - 0.5)) / (1 + level)
    for (let c = 0; c < 3; c++) base[c]! += (s.weight * s.f[c]!) / shade / total
  }
  return { ...model, base, slopeU: slopeU / (1 + level), slopeV: slopeV / (1 + level) }
}

/** Marks blocks left out with weight 0 and the others with 1; counts the bright and the dark ones. */
function leaveOut(seen: Seen[], model: Model, grid: Grid): { glare: number; shadow: number } {
  const bright = new Set<number>()
  const dark = new Set<number>()
  for (const s of seen) {
    const along = s.residual[0] + s.residual[1] + s.residual[2]
    if (along >= 0 && s.distance > glareLimit * model.scale) bright.add(s.index)
    if (along < 0 && s.distance > shadowLimit * model.scale) dark.add(s.index)
  }
  const unclipped = new Set(seen.map((s) => s.index))
  const clipped = new Set(grid.cells.flatMap((cell, i) => (cell && !unclipped.has(i) ? [i] : [])))
  const touches = (index: number, set: Set<number>) => neighbours(index, grid).filter((n) => set.has(n)).length
  for (const s of seen) {
    // single blocks are flake or dust at work, unless far off; a soft rim belongs to the glare it surrounds
    const rim = touches(s.index, bright) + touches(s.index, clipped) >= 2
    const lone = bright.has(s.index) && !rim && s.distance < 2 * glareLimit * model.scale
    s.weight = dark.has(s.index) || (bright.has(s.index) && !lone) || rim ? 0 : 1
  }
  if (seen.every((s) => s.weight === 0))
    for (const s of seen) s.weight = s.distance <= shadowLimit * model.scale ? 1 : 0
  if (seen.every((s) => s.weight === 0)) for (const s of seen) s.weight = 1
  return { glare: seen.filter((s) => s.weight === 0 && !dark.has(s.index)).length, shadow: dark.size }
}

function neighbours(index: number, { columns, rows }: Grid): number[] {
  const x = index % columns
  const y = Math.floor(index / columns)
  const found: number[] = []
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const inside = x + dx >= 0 && x + dx < columns && y + dy >= 0 && y + dy < rows
      if (inside && (dx !== 0 || dy !== 0)) found.push((y + dy) * columns + x + dx)
    }
  }
  return found
}

const medianOf = (seen: Seen[], channel: 0 | 1 | 2) =>
  quantile(
    seen.map((s) => s.f[channel]),
    0.5,
  )
