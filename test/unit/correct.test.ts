/**
 * A photo with its correction laid on every pixel, on rendered scenes whose paint is known. Colours by colorjs.io. The mean of
 * the picture's light is the reading within 0.3 dE00: what is left is that colour terms of a mean are not the mean of colour terms.
 */
import Color from 'colorjs.io'
import { describe, expect, it } from 'vitest'
import { correctArea, correctedQuad, correctedSize } from '../../shared-core/capture/correct.ts'
import { learnLayout } from '../../shared-core/capture/learn-layout.ts'
import { readLayout } from '../../shared-core/capture/read-layout.ts'
import { surveyOf } from '../../shared-core/capture/surroundings.ts'
import { displayP3Profile, type RgbProfile, srgbProfile } from '../../shared-core/colour/profile.ts'
import type { Shape } from '../../shared-core/records/area.ts'
import type { ScreenSpace } from '../../shared-core/records/side.ts'
import { type LabTriple, layoutOf, type Scene, sceneOf } from './capture-scene.ts'

const colour = ([l, a, b]: LabTriple) => new Color('lab', [l, a, b])
const de00 = (a: LabTriple, b: LabTriple) => colour(a).deltaE(colour(b), '2000')
const triple = ({ l, a, b }: { l: number; a: number; b: number }): LabTriple => [l, a, b]

function corrected(scene: Scene, space: ScreenSpace = 'sRGB', shape?: Shape, profile: RgbProfile = srgbProfile) {
  const pixels = sceneOf(scene)
  const layout = layoutOf(shape)
  const survey = surveyOf(pixels, profile)
  const reading = readLayout(pixels, profile, layout, { survey }).results[0]?.colour
  const options = { tone: 'unknown', survey, setup: null, flat: null } as const
  const learned = learnLayout(pixels, profile, layout, options)
  const picture = whole(correctArea(pixels, profile, layout.areas[0]!.shape, learned, space))
  if (!reading) throw new Error('not read')
  return { reading, picture, shown: meanOf(picture.rgb, space) }
}

function whole<T>(work: Generator<undefined, T>): T {
  for (;;) {
    const { done, value } = work.next()
    if (done) return value
  }
}

/** Mean of the picture's light as somebody else's library decodes its numbers. */
function meanOf(rgb: Uint8Array, space: ScreenSpace): LabTriple {
  const encoded = space === 'sRGB' ? 'srgb' : 'p3'
  const decode = Array.from({ length: 256 }, (_, i) => new Color('srgb', [i / 255, 0, 0]).to('srgb-linear').coords[0]!)
  const sum = [0, 0, 0]
  for (let i = 0; i < rgb.length; i++) sum[i % 3]! += decode[rgb[i]!]!
  const light = sum.map((v) => (3 * v) / rgb.length) as LabTriple
  return new Color(`${encoded}-linear`, light).to('lab').coords as LabTriple
}

/** Grain, four pixels wide: up to a tenth lighter or darker, by a fixed pattern. */
const grain: NonNullable<Scene['change']> = (v, x, y) => {
  const by = 1 + 0.1 * (((Math.floor(x / 4) * 7 + Math.floor(y / 4) * 13) % 11) / 5 - 1)
  return [v[0] * by, v[1] * by, v[2] * by]
}

const paints: LabTriple[] = [
  [40, 30, 20],
  [60, -20, 25],
  [35, 10, -30],
  [70, 0, 5],
  [25, 5, 3],
]
const lights: LabTriple[] = [
  [0.6, 0.5, 0.4],
  [0.35, 0.5, 0.6],
]

describe('a corrected picture', () => {
  it.each(paints)('has the reading of %d %d %d as its mean, whatever the light', (...panel) => {
    for (const light of lights) {
      const { reading, picture, shown } = corrected({ panel, light, change: grain })
      expect(de00(triple(picture.mean), triple(reading.lab))).toBeLessThanOrEqual(0.3)
      // and so has what was written down in eight bits
      expect(de00(shown, triple(reading.lab))).toBeLessThanOrEqual(0.4)
      expect(de00(shown, panel)).toBeLessThanOrEqual(reading.bound90)
    }
  })

  it('makes one paint in two lights alike, which differed by far before', () => {
    const panel: LabTriple = [45, 35, 25]
    const [warm, cold] = lights.map((light) => corrected({ panel, light, change: grain }))
    const raw = lights.map((light) => {
      const { data, width } = sceneOf({ panel, light, bits: 8 })
      const at = (80 * width + 80) * 3
      return new Color('srgb', [data[at]! / 255, data[at + 1]! / 255, data[at + 2]! / 255]).to('lab')
        .coords as LabTriple
    })
    expect(de00(raw[0]!, raw[1]!)).toBeGreaterThan(7)
    expect(de00(warm!.shown, cold!.shown)).toBeLessThanOrEqual(1)
  })

  it('keeps the grain: as much spread in lightness as the paint has', () => {
    const { picture } = corrected({ panel: [50, 20, 10], change: grain })
    const lightness = Array.from({ length: picture.width * picture.height }, (_, i) => picture.rgb[3 * i + 1]!)
    const mean = lightness.reduce((sum, v) => sum + v, 0) / lightness.length
    const spread = Math.sqrt(lightness.reduce((sum, v) => sum + (v - mean) ** 2, 0) / lightness.length)
    // light up to a tenth either way, evenly, is 6.3 % of spread; encoded with 1 / 2.4 about 2.6 %
    expect(spread / mean).toBeGreaterThan(0.02)
    expect(spread / mean).toBeLessThan(0.035)
  })

  it('tells how much of it the screen does not have: less in Display P3 than in sRGB', () => {
    // what fills sRGB's numbers to the brim lies outside of it where they are a Display P3 file's
    const scene = { panel: [48, 68, 50] as LabTriple, change: grain }
    const [usual, wide] = (['sRGB', 'Display P3'] as const).map((space) =>
      corrected(scene, space, undefined, displayP3Profile),
    )
    if (!usual || !wide) throw new Error('not corrected')
    expect(usual.picture.outside).toBeGreaterThan(0.3)
    expect(wide.picture.outside).toBeLessThan(usual.picture.outside / 2)
    // mean before anything was fitted: the same for both
    expect(de00(triple(usual.picture.mean), triple(wide.picture.mean))).toBeLessThanOrEqual(0.01)
    expect(corrected({ panel: [50, 10, 10] }).picture.outside).toBe(0)
  })

  it('shows the square inside of a round area, and no edge of any', () => {
    const round: Shape = { kind: 'round', centre: [80, 80], radius: 40 }
    const { widthPx, heightPx } = correctedSize(round)
    expect([widthPx, heightPx]).toEqual([57, 57])
    const [[left, top], , [right, bottom]] = correctedQuad(round)
    for (const [x, y] of [
      [left, top],
      [right, bottom],
    ])
      expect(Math.hypot(x! - 80, y! - 80)).toBeCloseTo(40, 6)
    const { picture, reading } = corrected({ panel: [40, 30, 20] }, 'sRGB', round)
    expect(de00(triple(picture.mean), triple(reading.lab))).toBeLessThanOrEqual(0.3)
    const quad: Shape = {
      kind: 'quad',
      quad: [
        [0, 0],
        [100, 0],
        [100, 50],
        [0, 50],
      ],
    }
    expect(correctedSize(quad)).toEqual({ widthPx: 92, heightPx: 46, smaller: 1 })
  })

  it('of a very large area is made smaller, and says by how much', () => {
    const wide: Shape = {
      kind: 'quad',
      quad: [
        [0, 0],
        [5000, 0],
        [5000, 2500],
        [0, 2500],
      ],
    }
    const { widthPx, heightPx, smaller } = correctedSize(wide)
    expect([widthPx, heightPx]).toEqual([2000, 1000])
    expect(smaller).toBeCloseTo(2.3, 6)
  })
})
