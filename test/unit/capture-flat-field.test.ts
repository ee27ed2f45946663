/** Flat fields against light that is laid over a sheet here, by formula. */
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { type FlatField, flatAt, flatFieldOf, flatSuits } from '../../shared-core/capture/flat-field.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { srgbProfile } from '../../shared-core/colour/profile.ts'
import { srgb } from '../../shared-core/colour/spaces.ts'
import type { LabTriple } from './capture-scene.ts'

/** Cosine fourth law of a lens with a field of about 60°, and a lamp that falls off to one side; bluer to the right. */
function lightAt(x: number, y: number): LabTriple {
  const vignette = 1 / (1 + 0.33 * ((x - 0.5) ** 2 + 0.56 * (y - 0.5) ** 2)) ** 2
  const lamp = 1 / (1 + 0.25 * (x - 0.1) ** 2 + 0.2 * (y - 0.8) ** 2)
  const v = vignette * lamp
  return [v * (1 - 0.06 * x), v, v * (1 + 0.06 * x)]
}

type Sheet = {
  width?: number
  level?: number
  noise?: number
  change?: (light: LabTriple, x: number, y: number) => LabTriple
}

function sheetOf({ width = 640, level = 0.4, noise = 1, change = (v) => v }: Sheet = {}): Pixels {
  const height = Math.round(width * 0.75)
  const random = randomFrom('sheet')
  const data = new Uint8Array(width * height * 3)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [u, v] = [(x + 0.5) / width, (y + 0.5) / height]
      const seen = change(lightAt(u, v), u, v)
      for (let c = 0; c < 3; c++) {
        const number = 255 * srgb.encode(Math.min(1, Math.max(0, level * seen[c]!))) + noise * random.normal()
        data[(y * width + x) * 3 + c] = Math.min(255, Math.max(0, Math.round(number)))
      }
    }
  }
  return { width, height, channels: 3, bits: 8, data }
}

const fieldOf = (sheet: Sheet = {}): FlatField => {
  const found = flatFieldOf(sheetOf(sheet), srgbProfile)
  if ('refused' in found) throw new Error(found.refused.code)
  return found
}
const refusalOf = (sheet: Sheet) => {
  const found = flatFieldOf(sheetOf(sheet), srgbProfile)
  return 'refused' in found ? found.refused.code : null
}

/** The largest relative error of the field anywhere inside, over the channels. */
function worst(field: FlatField): number {
  let most = 0
  const middle = lightAt(0.5, 0.5)
  for (let y = 0.05; y < 0.96; y += 0.05) {
    for (let x = 0.05; x < 0.96; x += 0.05) {
      const factor = flatAt(field, x, y)
      lightAt(x, y).forEach((v, c) => {
        most = Math.max(most, Math.abs((v / middle[c]!) * factor[c]! - 1))
      })
    }
  }
  return most
}

describe('a flat field', () => {
  it('takes vignette, falling light and its colour out', () => {
    const field = fieldOf()
    expect(worst(field)).toBeLessThan(0.01)
    expect(flatAt(field, 0.5, 0.5)).toEqual([1, 1, 1])
    expect(field.evenness).toBeLessThan(0.85)
  })

  it('is the same of a photo of any size, and of a grey or coloured sheet', () => {
    const one = fieldOf()
    const grey = ([r, g, b]: LabTriple): LabTriple => [0.3 * r, 0.5 * g, 0.4 * b]
    for (const other of [fieldOf({ width: 1000 }), fieldOf({ change: grey })]) {
      for (const [x, y] of [
        [0.1, 0.1],
        [0.9, 0.2],
        [0.5, 0.9],
      ] as const) {
        flatAt(other, x, y).forEach((v, c) => expect(v / flatAt(one, x, y)[c]!).toBeCloseTo(1, 2))
      }
    }
  })

  it('looks past dirt, dark rims and a small shadow', () => {
    const dirty = (light: LabTriple, x: number, y: number): LabTriple => {
      const off = x < 0.06 || y > 0.93 || Math.hypot(x - 0.3, y - 0.4) < 0.02 || Math.hypot(x - 0.8, y - 0.7) < 0.04
      return off ? [0.1 * light[0], 0.1 * light[1], 0.15 * light[2]] : light
    }
    expect(worst(fieldOf({ change: dirty }))).toBeLessThan(0.02)
  })

  it('suits photos of the same shape only', () => {
    const field = fieldOf()
    expect(flatSuits(field, { width: 4000, height: 3000 })).toBe(true)
    expect(flatSuits(field, { width: 3000, height: 4000 })).toBe(false)
  })

  it('is refused when clipped, dark, no blank sheet, or far too uneven', () => {
    expect(refusalOf({ level: 1.3 })).toBe('photo/flat-overexposed')
    expect(refusalOf({ level: 0.02 })).toBe('photo/flat-too-dark')
    const stripes = (v: LabTriple, x: number): LabTriple =>
      Math.floor(x * 20) % 2 ? v : [0.6 * v[0], 0.6 * v[1], 0.5 * v[2]]
    expect(refusalOf({ change: stripes })).toBe('photo/flat-structured')
    const card = (v: LabTriple, x: number, y: number): LabTriple =>
      x > 0.3 && x < 0.55 && y > 0.3 && y < 0.7 ? [0.3, 0.2, 0.1] : v
    expect(refusalOf({ change: card })).toBe('photo/flat-structured')
    const half = (v: LabTriple, x: number, y: number): LabTriple =>
      Math.min(x, y, 1 - x, 1 - y) < 0.14 ? [0.02, 0.05, 0.02] : v
    expect(refusalOf({ change: half })).toBe('photo/flat-not-filling')
    expect(refusalOf({ level: 0.8, change: (v, x) => v.map((c) => c * (1 - 0.85 * x)) as LabTriple })).toBe(
      'photo/flat-uneven',
    )
  })
})
