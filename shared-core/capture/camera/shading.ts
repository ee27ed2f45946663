import { srgb } from '../../colour/spaces.ts'
import type { Quad } from '../../records/area.ts'
import { isConvex, pointInQuad, shrinkQuad } from '../geometry.ts'
import { biweight, leastSquares, leftOver, scatterOf } from '../least-squares.ts'
import { quantile } from '../statistics.ts'
import type { Survey } from '../surroundings.ts'
import { type Camera, undoContrast } from './model.ts'

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

/** Darker light than this is taken for it: its ratios are noise. */
const darkest = 1e-5
const leastScatter = 0.15 / 255
/** A small change of light. */
const step = 1.01
const ridge = [1e-12, 1e-12, 1e-12]

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
  const seen: Blocks = {
    encoded: new Float64Array(free.flatMap(({ mean }) => mean.map((v) => srgb.encode(Math.min(1, Math.max(0, v)))))),
    places: new Float64Array(free.flatMap(({ middle: [x, y] }) => [1, (x - midX) / width, (y - midY) / width])),
  }
  const strays = tried.map((contrast) => strayOf(seen, { contrast, power: prior.power }))
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

/** Blocks as they are needed for every contrast: encoded numbers, red green blue in turn, and place. */
type Blocks = { encoded: Float64Array; places: Float64Array }

/** Mean square by which red and blue stray, in encoded numbers, from what green and place say of them. */
function strayOf({ encoded, places }: Blocks, { contrast, power }: Pick<Camera, 'contrast' | 'power'>): number {
  const [bent, straight] = [Math.exp(power), Math.exp(-power)]
  const count = encoded.length / 3
  const logs = new Float64Array(encoded.length)
  /** Change of the encoded number for a change of the logarithm of light. */
  const steep = new Float64Array(encoded.length)
  const curve = (s: number) => s + contrast * s * (3 * s - 2 * s * s - 1)
  const through = (light: number) => srgb.encode(Math.min(1, light)) ** straight
  for (let i = 0; i < encoded.length; i++) {
    const s = undoContrast(encoded[i]!, contrast)
    const light = Math.max(darkest, srgb.decode(s ** bent))
    logs[i] = Math.log(light)
    if (i % 3 !== 1)
      steep[i] = (curve(through(light * step)) - curve(light > darkest ? s : through(light))) / Math.log(step)
  }
  const values = new Float64Array(count)
  const weights = new Float64Array(count)
  const away = new Float64Array(count)
  const equations = { terms: places, count: 3, values }
  let sum = 0
  for (const channel of [0, 2]) {
    for (let n = 0; n < count; n++) {
      values[n] = logs[3 * n + channel]! - logs[3 * n + 1]!
      weights[n] = steep[3 * n + channel]! ** 2
    }
    for (let round = 0; round < rounds; round++) {
      leftOver(equations, leastSquares(equations, weights, ridge), away)
      for (let n = 0; n < count; n++) away[n]! *= steep[3 * n + channel]!
      const reach = Math.max(leastScatter, scatterOf(away)) * 4.7
      for (let n = 0; n < count; n++) weights[n] = steep[3 * n + channel]! ** 2 * biweight(away[n]!, reach)
      if (round < rounds - 1) continue
      for (const r of away) sum += Math.min(r * r, reach * reach) / count / 2
    }
  }
  return sum
}
