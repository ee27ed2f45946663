/** What one surface under falling light tells of a camera's tone curve; photos by a curve that is written here. */
import { describe, expect, it } from 'vitest'
import { contrastByShading } from '../../shared-core/capture/camera/shading.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { surveyOf } from '../../shared-core/capture/surroundings.ts'
import { srgbProfile } from '../../shared-core/colour/profile.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { type LabTriple, rect } from './capture-scene.ts'

const [width, height] = [480, 320]
const prior = { contrast: 0.6, deviation: 0.3, power: 0.07 }
const panel: Quad = rect(180, 90, 300, 230)

/**
 * IEC 61966-2-1, then the smoothstep curve of a given share; noise of a step of 8 bits, the same each time.
 * @param surface  linear light that it sends back under light 1
 */
function photoOf(
  share: number,
  surface: LabTriple,
  change: (v: LabTriple, x: number, y: number) => LabTriple = (v) => v,
): Pixels {
  const data = new Uint8Array(width * height * 3)
  let state = 5
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const inside = x >= panel[0][0] && x < panel[2][0] && y >= panel[0][1] && y < panel[2][1]
      const lamp = Math.exp(-1.3 * Math.hypot(x / width - 0.1, y / width - 0.1))
      const seen = change(inside ? [0.05, 0.2, 0.3] : surface, x, y)
      for (let c = 0; c < 3; c++) {
        const v = seen[c]! * lamp
        const encoded = (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055) ** Math.exp(-prior.power)
        const e = encoded + share * (encoded * encoded * (3 - 2 * encoded) - encoded)
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0
        data[(y * width + x) * 3 + c] = Math.round(255 * e + ((state >>> 8) / 2 ** 24 - 0.5) * 2)
      }
    }
  }
  return { width, height, channels: 3, bits: 8, data }
}
const tells = (pixels: Pixels) => contrastByShading(surveyOf(pixels, srgbProfile), [panel], width, prior)

const wood: LabTriple = [0.75, 0.4, 0.16]
const blueCloth: LabTriple = [0.2, 0.42, 0.8]

describe('shading of one coloured surface', () => {
  it.each([
    [0.1, wood],
    [0.3, wood],
    [0.85, wood],
    [0.15, blueCloth],
    [0.85, blueCloth],
  ])('by a curve of contrast %d says so, more surely than was believed before', (share, surface) => {
    const told = tells(photoOf(share, surface))
    expect(told).not.toBeNull()
    expect(Math.abs(told!.contrast - share)).toBeLessThan(Math.abs(prior.contrast - share) / 2)
    expect(told!.deviation).toBeLessThan(prior.deviation / 2)
    // and it is within what it says it does not know
    expect(Math.abs(told!.contrast - share)).toBeLessThan(3 * told!.deviation)
  })

  it('is not led astray by the colour of the light that drifts with place', () => {
    const drifting = ([r, g, b]: LabTriple, x: number): LabTriple => [
      r * Math.exp((0.05 * x) / width),
      g,
      b * Math.exp((-0.05 * x) / width),
    ]
    const told = tells(photoOf(0.25, wood, drifting))
    expect(Math.abs(told!.contrast - 0.25)).toBeLessThan(0.175)
  })

  it('that is neutral tells nothing: whatever the curve, the same is believed as before', () => {
    const [soft, hard] = [0.1, 0.85].map((share) => tells(photoOf(share, [0.5, 0.5, 0.5])))
    expect(soft && hard).not.toBeNull()
    expect(Math.abs(soft!.contrast - hard!.contrast)).toBeLessThan(0.05)
    for (const told of [soft, hard]) {
      expect(Math.abs(told!.contrast - prior.contrast)).toBeLessThan(0.15)
      expect(told!.deviation).toBeGreaterThan(prior.deviation / 2)
    }
  })

  it('is told of no patterned surroundings, nor of too few', () => {
    const boards = ([r, g, b]: LabTriple, x: number, y: number): LabTriple =>
      (Math.floor(x / 31) + Math.floor(y / 23)) % 2 ? [r, g, b] : [0.5 * b, 0.8 * g, 0.6 * r]
    expect(tells(photoOf(0.3, wood, boards))).toBeNull()
    const survey = surveyOf(photoOf(0.3, wood), srgbProfile)
    expect(contrastByShading(survey, [rect(2, 2, width - 2, height - 2)], width, prior)).toBeNull()
    expect(contrastByShading({ blocks: survey.blocks.slice(0, 99) }, [], width, prior)).toBeNull()
  })
})
