/**
 * A chart in studio light and one in the sun, shown with each reading's correction on every pixel: before it the patches differ by
 * far, after it they agree as readings do.
 * Photos: r01, C. Wakholi, colour-correction package (2025), MIT; r04, Qiu Jueqin, chart extraction tool, MIT. They lie beside the project; without them this
 * file is skipped. The pictures are decoded by sharp with their embedded profile, differences by colorjs.io.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Color from 'colorjs.io'
import sharp, { type Region } from 'sharp'
import { describe, expect, it } from 'vitest'
import { correctedCut } from '../../electron/photos/corrected.ts'
import type { ScreenSpace } from '../../shared-core/records/side.ts'
import { type ChartPhoto, chartLayout } from '../bench/photos.ts'

const folder = fileURLToPath(new URL('../../../shared/photos', import.meta.url))
const present = existsSync(join(folder, 'index.json'))
if (!present) console.warn('chart photos are not beside the project: corrected-photos is skipped')

type Triple = [number, number, number]
const de00 = (a: Triple, b: Triple) => new Color('lab', a).deltaE(new Color('lab', b), '2000')
const median = (values: number[]) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!

/** Mean of a picture's light as Lab, by its own numbers in the space that it says. */
async function meanOf(bytes: Uint8Array | string, space: ScreenSpace, box?: Region): Promise<Triple> {
  const image = box ? sharp(bytes, { ignoreIcc: true }).extract(box) : sharp(bytes, { ignoreIcc: true })
  const { data, info } = await image.removeAlpha().raw().toBuffer({ resolveWithObject: true })
  const decode = Array.from({ length: 256 }, (_, i) => new Color('srgb', [i / 255, 0, 0]).to('srgb-linear').coords[0]!)
  const sum: Triple = [0, 0, 0]
  for (let i = 0; i < data.length; i += info.channels) for (let c = 0; c < 3; c++) sum[c]! += decode[data[i + c]!]!
  const light = sum.map((v) => (v * info.channels) / data.length) as Triple
  return new Color(space === 'sRGB' ? 'srgb-linear' : 'p3-linear', light).to('lab').coords as Triple
}

describe.runIf(present)('patches of one chart in two lights', () => {
  if (!present) return
  const { photos } = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as { photos: ChartPhoto[] }
  const named = (name: string) => photos.find(({ file }) => file.startsWith(name))!
  const pair = [named('r01_studio'), named('r04_outdoor')] as const
  // the coloured patches that sRGB holds, and no grey: card and its neighbours are what the correction goes by
  const patches = [0, 1, 2, 3, 4, 6, 7, 8, 9, 10, 13, 14, 16]

  const shownIn = async (photo: ChartPhoto, at: number, space: ScreenSpace) => {
    const layout = chartLayout(photo)
    const { result, corrected } = await correctedCut(join(folder, photo.file), layout, at, space)
    if (!result.colour || !corrected) throw new Error(`patch ${at + 1} of ${photo.file} was not read`)
    const shape = layout.areas[at]!.shape
    if (shape.kind === 'round') throw new Error('patches are quadrilaterals')
    const [xs, ys] = [0, 1].map((axis) => shape.quad.map((corner) => corner[axis]!))
    const [left, top] = [Math.ceil(Math.min(...xs!)), Math.ceil(Math.min(...ys!))]
    const box = { left, top, width: Math.floor(Math.max(...xs!)) - left, height: Math.floor(Math.max(...ys!)) - top }
    const { l, a, b } = result.colour.lab
    return {
      before: await meanOf(join(folder, photo.file), 'sRGB', box),
      after: await meanOf(corrected.webp, space),
      lab: [l, a, b] as Triple,
      bound90: result.colour.bound90,
      corrected,
    }
  }

  it('differ before, and agree within their bounds with their corrections', async () => {
    const seen = []
    for (const at of patches) {
      const [one, other] = [await shownIn(pair[0], at, 'Display P3'), await shownIn(pair[1], at, 'Display P3')]
      seen.push({
        before: de00(one.before, other.before),
        after: de00(one.after, other.after),
        bound: Math.hypot(one.bound90, other.bound90),
        reads: [de00(one.after, one.lab), de00(other.after, other.lab)],
      })
    }
    const [before, after] = [median(seen.map((s) => s.before)), median(seen.map((s) => s.after))]
    console.info(`median dE00 between the two: ${before.toFixed(1)} before, ${after.toFixed(1)} after`)
    expect(before).toBeGreaterThan(15)
    expect(after).toBeLessThan(before / 3)
    // nine in ten, as the bounds say
    expect(seen.filter((s) => s.after <= s.bound).length).toBeGreaterThanOrEqual(Math.floor(0.9 * seen.length))
    // what one sees is what was read: 8 bits, WebP, colour terms of a mean, and dust that a reading leaves out
    expect(median(seen.flatMap((s) => s.reads))).toBeLessThanOrEqual(0.4)
    expect(Math.max(...seen.flatMap((s) => s.reads))).toBeLessThanOrEqual(0.8)
  }, 120_000)

  it.each(['sRGB', 'Display P3'] as const)('carry the profile of %s, and show the reading in it', async (space) => {
    const { corrected, lab, after } = await shownIn(pair[0], 2, space)
    const { icc, format, width, height } = await sharp(corrected.webp).metadata()
    expect(format).toBe('webp')
    expect([width, height]).toEqual([corrected.widthPx, corrected.heightPx])
    expect(icc?.toString('latin1').replaceAll('\0', '')).toContain(space === 'sRGB' ? 'sRGB' : 'P3')
    expect(de00(after, lab)).toBeLessThanOrEqual(0.6)
    expect(de00([corrected.mean.l, corrected.mean.a, corrected.mean.b], lab)).toBeLessThanOrEqual(0.4)
  })
})
