import { srgb } from '../../colour/spaces.ts'
import type { Quad } from '../../records/area.ts'
import { isConvex, pointInQuad, shrinkQuad, solveLinear } from '../geometry.ts'
import type { Triple } from '../pixels.ts'
import { quantile } from '../statistics.ts'
import type { Survey } from '../surroundings.ts'
import { type Camera, redoTone, undoTone } from './model.ts'

/** What one surface of one colour under falling light says of the tone curve. */
export type Shading = { contrast: number; deviation: number }

const leastBlocks = 100
/** Numbers of a file are rounded, and a JPEG rounds the colour of whole blocks alike: it does not average out. */
const numberNoise = 0.5 / 255
/** So much independent evidence there is at most, however many blocks there are. */
const mostEvidence = 20
/** Surroundings that stray farther are not one surface in one light. */
const mostStray = 0.7 / 255
const tried = Array.from({ length: 24 }, (_, i) => -0.2 + i * 0.05)
const rounds = 8

/**
 * The contrast of a camera's tone curve by shading: light that falls off over a surface changes its channels in
 * proportion, so their ratios stay; a tone curve on each channel bends them with brightness. The curve that makes the
 * ratios follow place alone (a second light may drift with it) is the likeliest.
 * @param prior  what is believed of the contrast before, and the power that the curve has besides
 * @returns      contrast and its standard deviation with that belief; null where the surroundings are no one surface
 * Kin: S. Lin, J. Gu, S. Yamazaki, H.-Y. Shum, Radiometric calibration from a single image, CVPR 2004, from edges
 * instead of shading.
 */
export function contrastByShading(
  { blocks }: Pick<Survey, 'blocks'>,
  outlines: readonly Quad[],
  width: number,
  prior: Shading & Pick<Camera, 'power'>,
): Shading | null {
  const around = outlines.filter(isConvex).map((quad) => shrinkQuad(quad, -0.2))
  const free = blocks.filter(({ middle }) => !around.some((quad) => pointInQuad(middle, quad)))
  if (free.length < leastBlocks) return null
  const midX = quantile(
    free.map(({ middle }) => middle[0]),
    0.5,
  )
  const midY = quantile(
    free.map(({ middle }) => middle[1]),
    0.5,
  )
  const places = free.map(({ middle }) => [1, (middle[0] - midX) / width, (middle[1] - midY) / width])
  const strays = tried.map((contrast) => strayOf(free, places, { contrast, power: prior.power }))
  const least = Math.min(...strays)
  if (Math.sqrt(least) > mostStray) return null
  const misfit = Math.max(1, least / numberNoise ** 2)
  const weights = strays.map((stray, i) => {
    const evidence = (mostEvidence * (stray - least)) / (numberNoise ** 2 * misfit)
    return Math.exp(-evidence - ((tried[i]! - prior.contrast) / prior.deviation) ** 2 / 2)
  })
  const total = weights.reduce((a, b) => a + b, 0)
  const mean = weights.reduce((sum, w, i) => sum + w * tried[i]!, 0) / total
  const variance = weights.reduce((sum, w, i) => sum + w * (tried[i]! - mean) ** 2, 0) / total
  // between two of the values tried nothing is known better than their distance
  return { contrast: mean, deviation: Math.max(0.05, Math.sqrt(variance)) }
}

/** Mean square by which red and blue stray, in encoded numbers, from what green and place say of them. */
function strayOf(
  blocks: readonly { mean: Triple }[],
  places: readonly number[][],
  tone: Pick<Camera, 'contrast' | 'power'>,
): number {
  const light = blocks.map(({ mean }) => mean.map((v) => Math.max(1e-5, undoTone(v, tone))))
  const encoded = (v: number) => srgb.encode(redoTone(v, tone))
  let sum = 0
  for (const channel of [0, 2]) {
    const ratio = light.map((v) => Math.log(v[channel]! / v[1]!))
    const steep = light.map((v) => (encoded(v[channel]! * 1.01) - encoded(v[channel]!)) / Math.log(1.01))
    let weights = steep.map((s) => s * s)
    for (let round = 0; round < rounds; round++) {
      const found = fitPlane(places, ratio, weights)
      const away = ratio.map((v, i) => (v - dot(places[i]!, found)) * steep[i]!)
      const scale = Math.max(0.15 / 255, 1.4826 * quantile(away.map(Math.abs), 0.5)) * 4.7
      weights = away.map((r, i) => (Math.abs(r) < scale ? steep[i]! ** 2 * (1 - (r / scale) ** 2) ** 2 : 0))
      if (round === rounds - 1) sum += away.reduce((s, r) => s + Math.min(r * r, scale * scale), 0) / away.length / 2
    }
  }
  return sum
}

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0)

function fitPlane(places: readonly number[][], values: readonly number[], weights: readonly number[]): number[] {
  const rows = [0, 1, 2].map((i) => [0, 1, 2, 3].map((j) => (i === j ? 1e-12 : 0)))
  places.forEach((x, n) => {
    const w = weights[n]!
    if (w === 0) return
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) rows[i]![j]! += w * x[i]! * x[j]!
      rows[i]![3]! += w * x[i]! * values[n]!
    }
  })
  return solveLinear(rows)
}
