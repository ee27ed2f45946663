/**
 * Texture against photos made here whose statistics are known: discs strewn at random (Poisson), each adding light.
 * The variance of such a field is the discs' density times the square of one disc's light, integrated over its overlap
 * with itself (Campbell's theorem: N. Campbell, Proc. Camb. Philos. Soc. 15 (1909) 117–136, 310–328).
 */
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { noiseOf, textureOf } from '../../shared-core/capture/texture.ts'
import { decodeTable, srgbProfile } from '../../shared-core/colour/profile.ts'
import { srgb } from '../../shared-core/colour/spaces.ts'
import type { Shape } from '../../shared-core/records/area.ts'
import { rect } from './capture-scene.ts'

type Strewn = { perMm2: number; diameterMm: number; gain: number }
type Made = {
  sideMm: number
  mmPerPixel: number
  light?: number
  strewn?: Strewn[]
  /** Standard deviation in numbers of an 8-bit file, and of the level of blocks of 8 × 8. */
  noise?: number
  blocks?: number
  bits?: 8 | 16
}

const oversampled = 4

/** A square of paint as a camera without a lens would see it: each pixel the mean of 4 × 4 points. */
function madeOf({ sideMm, mmPerPixel, light = 0.15, strewn = [], noise = 0, blocks = 0, bits = 16 }: Made): Pixels {
  const side = Math.round(sideMm / mmPerPixel)
  const fine = new Float64Array((side * oversampled) ** 2)
  const step = mmPerPixel / oversampled
  for (const [n, { perMm2, diameterMm, gain }] of strewn.entries()) {
    const random = randomFrom(`discs/${n}`)
    const count = Math.round(perMm2 * sideMm * sideMm)
    for (let i = 0; i < count; i++)
      addDisc(fine, side * oversampled, random.next() * sideMm, random.next() * sideMm, diameterMm / 2, gain, step)
  }
  const random = randomFrom('noise')
  const full = bits === 16 ? 65535 : 255
  const data = bits === 16 ? new Uint16Array(side * side * 3) : new Uint8Array(side * side * 3)
  const levels = Array.from({ length: Math.ceil(side / 8) ** 2 }, () => blocks * random.normal())
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      let sum = 0
      for (let j = 0; j < oversampled; j++) {
        for (let i = 0; i < oversampled; i++)
          sum += fine[(y * oversampled + j) * side * oversampled + x * oversampled + i]!
      }
      const seen = light * (1 + sum / oversampled ** 2)
      const block = levels[(y >> 3) * Math.ceil(side / 8) + (x >> 3)]!
      const number = (255 * srgb.encode(seen) + noise * random.normal() + block) / 255
      data.fill(Math.round(full * Math.min(1, Math.max(0, number))), (y * side + x) * 3, (y * side + x) * 3 + 3)
    }
  }
  return { width: side, height: side, channels: 3, bits, data }
}

function addDisc(
  into: Float64Array,
  side: number,
  x: number,
  y: number,
  radius: number,
  gain: number,
  step: number,
): void {
  for (let row = Math.ceil((y - radius) / step); row <= (y + radius) / step; row++) {
    for (let column = Math.ceil((x - radius) / step); column <= (x + radius) / step; column++) {
      if (row < 0 || row >= side || column < 0 || column >= side) continue
      if ((row * step - y) ** 2 + (column * step - x) ** 2 <= radius * radius) into[row * side + column]! += gain
    }
  }
}

/** Relative deviation of discs' light (Campbell) after a blur of one arc minute at 500 mm, full width at half height. */
function expectedSpread({ perMm2, diameterMm, gain }: Strewn): number {
  const sigma = (500 * Math.PI) / (180 * 60) / 2.3548
  const area = (Math.PI * diameterMm ** 2) / 4
  let blurred = 0
  const steps = 4000
  for (let i = 0; i < steps; i++) {
    const r = ((i + 0.5) / steps) * diameterMm
    const t = r / diameterMm
    const overlap = (2 / Math.PI) * (Math.acos(t) - t * Math.sqrt(1 - t * t))
    blurred += ((overlap * r) / (2 * sigma * sigma)) * Math.exp(-(r * r) / (4 * sigma * sigma)) * (diameterMm / steps)
  }
  return Math.sqrt(perMm2 * area * gain * gain * blurred) / (1 + perMm2 * area * gain)
}

const whole = (pixels: Pixels): Shape => ({ kind: 'quad', quad: rect(0, 0, pixels.width, pixels.height) })
const read = (made: Made, mmPerPixel: number | null = made.mmPerPixel) => {
  const pixels = madeOf(made)
  return textureOf(pixels, decodeTable(srgbProfile, pixels.bits), whole(pixels), mmPerPixel)!
}

const flake: Strewn = { perMm2: 2.5, diameterMm: 0.4, gain: 0.5 }

describe('texture', () => {
  it('finds spread and size of discs strewn at random', () => {
    for (const strewn of [flake, { perMm2: 1.5, diameterMm: 0.6, gain: 0.3 }]) {
      const found = read({ sideMm: 40, mmPerPixel: 0.1, strewn: [strewn] })
      expect(found.coarsenessPercent / 100 / expectedSpread(strewn)).toBeGreaterThan(0.85)
      expect(found.coarsenessPercent / 100 / expectedSpread(strewn)).toBeLessThan(1.12)
      expect(found.grainMm! / strewn.diameterMm).toBeGreaterThan(0.8)
      expect(found.grainMm! / strewn.diameterMm).toBeLessThan(1.25)
    }
  })

  it('says the same of a photo twice as large', () => {
    const small = read({ sideMm: 32, mmPerPixel: 0.12, strewn: [flake] })
    const large = read({ sideMm: 32, mmPerPixel: 0.06, strewn: [flake] })
    expect(small.coarsenessPercent / large.coarsenessPercent).toBeCloseTo(1, 1)
    expect(small.grainMm! / large.grainMm!).toBeGreaterThan(0.85)
    expect(small.grainMm! / large.grainMm!).toBeLessThan(1.15)
  })

  it('counts glints that stand out of the grain, and how far they do', () => {
    for (const mmPerPixel of [0.05, 0.1]) {
      const glints: Strewn = { perMm2: 0.05, diameterMm: 0.35, gain: 2 }
      const found = read({ sideMm: 40, mmPerPixel, strewn: [{ ...flake, gain: 0.1 }, glints] })
      expect(found.glintsPerCm2!).toBeGreaterThan(5 * 0.75)
      expect(found.glintsPerCm2!).toBeLessThan(5 * 1.25)
      expect(found.glintContrast).toBeGreaterThan(1.4)
      expect(found.glintContrast).toBeLessThan(2.2)
    }
  })

  it('is not fooled by noise of the camera, nor by the blocks of a JPEG', () => {
    for (const light of [0.02, 0.15, 0.6]) {
      const noisy = read({ sideMm: 30, mmPerPixel: 0.1, light, noise: 1.5, bits: 8 })
      expect(noisy.coarsenessPercent).toBeLessThan(0.2)
      expect(noisy.glintsPerCm2).toBeLessThan(0.3)
    }
    expect(read({ sideMm: 30, mmPerPixel: 0.1, noise: 0.7, blocks: 0.7, bits: 8 }).coarsenessPercent).toBeLessThan(0.3)
    expect(read({ sideMm: 30, mmPerPixel: 0.1, bits: 8 }).coarsenessPercent).toBe(0)
  })

  it('finds grain through noise, and takes the noise of a card out', () => {
    const made: Made = { sideMm: 40, mmPerPixel: 0.1, strewn: [flake], noise: 4, bits: 8 }
    const pixels = madeOf(made)
    const card = madeOf({ ...made, strewn: [] })
    const tables = decodeTable(srgbProfile, 8)
    const noise = noiseOf(card, tables, whole(card), 0.1)!
    const found = textureOf(pixels, tables, whole(pixels), 0.1, noise)!
    expect(found.coarsenessPercent / 100 / expectedSpread(flake)).toBeGreaterThan(0.85)
    expect(found.coarsenessPercent / 100 / expectedSpread(flake)).toBeLessThan(1.12)
    expect(textureOf(card, tables, whole(card), 0.1, noise)!.coarsenessPercent).toBeLessThan(1)
  })

  it('leaves light that falls off across the area out', () => {
    const pixels = madeOf({ sideMm: 40, mmPerPixel: 0.1 })
    const data = pixels.data.map((v, i) => Math.round(v * (1 - ((i / 3) % pixels.width) / 1000)))
    expect(
      textureOf({ ...pixels, data }, decodeTable(srgbProfile, 16), whole(pixels), 0.1)!.coarsenessPercent,
    ).toBeLessThan(0.1)
  })

  it('gives neither millimetres nor counts without a scale, and nothing at all of too few or too coarse pixels', () => {
    const found = read({ sideMm: 40, mmPerPixel: 0.1, strewn: [flake] }, null)
    expect(found).toMatchObject({ grainMm: null, glintsPerCm2: null })
    expect(found.coarsenessPercent).toBeGreaterThan(5)
    const pixels = madeOf({ sideMm: 3, mmPerPixel: 0.1 })
    const tables = decodeTable(srgbProfile, 16)
    expect(textureOf(pixels, tables, whole(pixels), 0.1)).toBeNull()
    expect(textureOf(pixels, tables, { kind: 'quad', quad: rect(500, 500, 900, 900) }, 0.1)).toBeNull()
    const large = madeOf({ sideMm: 40, mmPerPixel: 0.1 })
    expect(textureOf(large, tables, whole(large), 0.8)).toBeNull()
  })

  it('reads a round area too', () => {
    const pixels = madeOf({ sideMm: 40, mmPerPixel: 0.1, strewn: [flake] })
    const shape: Shape = { kind: 'round', centre: [200, 200], radius: 190 }
    const found = textureOf(pixels, decodeTable(srgbProfile, 16), shape, 0.1)!
    expect(found.coarsenessPercent / 100 / expectedSpread(flake)).toBeGreaterThan(0.8)
    expect(found.coarsenessPercent / 100 / expectedSpread(flake)).toBeLessThan(1.2)
  })
})
