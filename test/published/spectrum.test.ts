/**
 * The spectral tables, added again and compared with published figures.
 * White points: CIE 15 / ASTM E308-01 table 5, 5 nm (D50 0.96422 1 0.82521; D65 0.95047 1 1.08883; A 1.09850 1 0.35585;
 * F2 0.99186 1 0.67393; F11 1.00962 1 0.64350).
 * LED-B3: CIE 15:2018 table 12, chromaticity 0.3756, 0.3723.
 * Sum of the observer's columns at 5 nm: 21.371 each (CIE 15; Wyszecki and Stiles, Color Science, 2nd ed., table I(3.3.1)).
 * D. Pascale's mean spectra of a 24-patch chart and their Lab: ../shared/data, where it is present.
 */
import { existsSync, readFileSync } from 'node:fs'
import Color from 'colorjs.io'
import { describe, expect, it } from 'vitest'
import {
  illuminantA,
  illuminantD50,
  illuminantD65,
  illuminantF2,
  illuminantF11,
  illuminantLedB3,
  observer2,
  tableCount,
} from '../../shared-core/colour/cie-tables.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { whites } from '../../shared-core/colour/lab.ts'
import {
  missingTable,
  samplingFault,
  spectralWhite,
  spectrumToLab,
  spectrumToXyz,
} from '../../shared-core/colour/spectrum.ts'

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0)

const smooth = (nm: number): number => 0.1 + 0.6 / (1 + Math.exp(-(nm - 560) / 30))

function whiteOf(light: readonly number[]): [number, number, number] {
  const [x, y, z] = [0, 1, 2].map((column) => sum(observer2.map((row, i) => (row[column] ?? 0) * (light[i] ?? 0))))
  return [(x ?? 0) / (y ?? 1), 1, (z ?? 0) / (y ?? 1)]
}

describe('CIE tables', () => {
  it('have 81 rows, and the observer sums to 21.371 in each column', () => {
    for (const table of [
      observer2,
      illuminantD50,
      illuminantD65,
      illuminantA,
      illuminantF2,
      illuminantF11,
      illuminantLedB3,
    ])
      expect(table).toHaveLength(tableCount)
    for (const column of [0, 1, 2]) expect(sum(observer2.map((row) => row[column] ?? 0))).toBeCloseTo(21.371, 2)
  })

  it.each([
    ['D50', illuminantD50, 0.96422, 0.82521],
    ['D65', illuminantD65, 0.95047, 1.08883],
    ['A', illuminantA, 1.0985, 0.35585],
    ['F2', illuminantF2, 0.99186, 0.67393],
    ['F11', illuminantF11, 1.00962, 0.6435],
  ] as const)('add up to the published white of %s', (_name, light, x, z) => {
    const white = whiteOf(light)
    expect(Math.abs(white[0] - x)).toBeLessThan(1e-4)
    expect(Math.abs(white[2] - z)).toBeLessThan(1e-4)
  })

  it('add up to the published chromaticity of LED-B3', () => {
    const [x, y, z] = whiteOf(illuminantLedB3)
    expect(x / (x + y + z)).toBeCloseTo(0.3756, 4)
    expect(y / (x + y + z)).toBeCloseTo(0.3723, 4)
  })

  it('hold illuminant A as Planck gives it at 2848 K with c2 of 1.435 cm K (ISO/CIE 11664-2, eq. 1)', () => {
    illuminantA.forEach((value, i) => {
      const nm = 380 + 5 * i
      const planck =
        100 * (560 / nm) ** 5 * ((Math.exp(1.435e7 / (2848 * 560)) - 1) / (Math.exp(1.435e7 / (2848 * nm)) - 1))
      expect(Math.abs(value / planck - 1)).toBeLessThan(2e-4)
    })
  })
})

describe('spectrumToXyz', () => {
  it.each(['D50', 'D65', 'A', 'F2', 'F11', 'LED-B3'] as const)(
    'sees a flat 50 %% reflector as half the white under %s',
    (light) => {
      const half = spectrumToXyz(Array<number>(31).fill(0.5), light)
      const white = spectralWhite(light)
      expect(half.x / white.x).toBeCloseTo(0.5, 12)
      expect(half.y).toBeCloseTo(0.5, 12)
      expect(half.z / white.z).toBeCloseTo(0.5, 12)
    },
  )

  it('gives a flat 50 % reflector L* 76.069 (116 · cbrt(0.5) − 16) and no colour', () => {
    const lab = spectrumToLab(Array<number>(31).fill(0.5))
    expect(lab.l).toBeCloseTo(116 * Math.cbrt(0.5) - 16, 9)
    expect(lab.a).toBeCloseTo(0, 9)
    expect(lab.b).toBeCloseTo(0, 9)
  })

  it('is the same sum at 5 nm and at 10 nm for a smooth spectrum, to 0.02 dE00', () => {
    const at10 = spectrumToLab(Array.from({ length: 31 }, (_, i) => smooth(400 + 10 * i)))
    const at5 = spectrumToLab(
      Array.from({ length: 81 }, (_, i) => smooth(380 + 5 * i)),
      { startNm: 380, stepNm: 5, count: 81 },
    )
    expect(differenceCiede2000(at10, at5)).toBeLessThan(0.02)
  })

  it.each([
    [380, 5, 81],
    [400, 20, 16],
    [376.25, 3.75, 110],
    [380, 10 / 3, 106],
    [397.5, 7.5, 42],
  ])('is nearly the same sum from %d nm by %d for a smooth spectrum, to 0.05 dE00', (startNm, stepNm, count) => {
    const fine = spectrumToLab(
      Array.from({ length: 401 }, (_, i) => smooth(380 + i)),
      { startNm: 380, stepNm: 1, count: 401 },
    )
    const values = Array.from({ length: count }, (_, i) => smooth(startNm + i * stepNm))
    expect(differenceCiede2000(spectrumToLab(values, { startNm, stepNm, count }), fine)).toBeLessThan(0.05)
  })

  it('gives Lab under D65 as an independent conversion of the same XYZ does (colorjs.io, Lab of D65)', () => {
    const values = Array.from({ length: 31 }, (_, i) => smooth(400 + 10 * i))
    const own = spectrumToLab(values, undefined, 'D65')
    const { x, y, z } = spectrumToXyz(values, 'D65')
    const white = spectralWhite('D65')
    // its own white of D65 lies 4e-5 beside that of E308
    const [wx = 0, , wz = 0] = new Color('lab-d65', [100, 0, 0]).to('xyz-d65').coords.map(Number)
    const theirs = new Color('xyz-d65', [(x / white.x) * wx, y, (z / white.z) * wz]).to('lab-d65').coords
    for (const [i, value] of [own.l, own.a, own.b].entries()) expect(value).toBeCloseTo(theirs[i] ?? 0, 6)
    expect(whites.D65.x).toBeCloseTo(wx, 3)
  })

  it('refuses a spectrum of another length and a sampling that misses what the eye sees', () => {
    expect(() => spectrumToXyz([0.5, 0.5], 'D50')).toThrow(RangeError)
    expect(() => spectrumToXyz(Array(10).fill(0.5), 'D50', { startNm: 401, stepNm: 10, count: 10 })).toThrow(RangeError)
    expect(samplingFault({ startNm: 420, stepNm: 10, count: 31 })).toContain('400 to 700')
    expect(samplingFault({ startNm: 400, stepNm: 25, count: 13 })).toContain('20 nm')
    expect(samplingFault({ startNm: 400, stepNm: Number.NaN, count: 31 })).not.toBeNull()
    expect(samplingFault({ startNm: 400, stepNm: 10, count: 31 })).toBeNull()
  })

  it('says which tables are missing: the 10° observer’s, and that of C', () => {
    expect(missingTable('D65', '10')).toContain('10°')
    expect(missingTable('C', '2')).toContain('illuminant C')
    expect(missingTable('F11', '2')).toBeNull()
  })

  const data = new URL('../../../shared/data/lights-and-cameras.json', import.meta.url)
  const chart = new URL('../../../shared/photos/chart24.json', import.meta.url)
  it.skipIf(!existsSync(data) || !existsSync(chart))(
    "gives the chart's mean spectra (D. Pascale, 30 charts) their published mean Lab (skipped where ../shared is absent)",
    () => {
      const { chart24 } = JSON.parse(readFileSync(data, 'utf8')) as { chart24: number[][] }
      const { labD50 } = JSON.parse(readFileSync(chart, 'utf8')) as { labD50: { avg30: [number, number, number][] } }
      expect(chart24).toHaveLength(24)
      chart24.forEach((reflectance, i) => {
        const [l, a, b] = labD50.avg30[i] ?? [0, 0, 0]
        const at5 = spectrumToLab(reflectance, { startNm: 380, stepNm: 5, count: 81 })
        const at10 = spectrumToLab(Array.from({ length: 31 }, (_, k) => reflectance[4 + 2 * k] ?? 0))
        expect(differenceCiede2000(at5, { l, a, b })).toBeLessThan(0.2)
        expect(differenceCiede2000(at10, { l, a, b })).toBeLessThan(0.2)
      })
    },
  )
})
