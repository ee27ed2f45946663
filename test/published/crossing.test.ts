/**
 * How far Lab under another illuminant lies from Lab D50, worked out again from spectra: 62 dyes in four strengths over
 * five metals and the mean spectra of a 24-patch chart, CIE 1931 observer and CIE illuminants, 380–730 nm by 5. Data:
 * dyes-and-metals.json and lights-and-cameras.json of ../shared/data (open data sets, sources and licences named
 * inside); skipped where absent. The figures for the 10° observer were got the same way with the CIE 1964 observer (CIE
 * 15:2018 table 5), which is not in that folder.
 */
import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { whites, type Xyz, xyzToLab } from '../../shared-core/colour/lab.ts'
import { type Comparable, compareReadings, toD50 } from '../../shared-core/match/compare.ts'

type Films = { dyes: { a: number[] }[]; metals: { r: number[] }[] }
type Lights = { cmf: number[][]; illuminants: Record<string, number[]>; chart24: number[][] }

const folder = fileURLToPath(new URL('../../../shared/data/', import.meta.url))
const bands = 71
const read = (name: string): unknown => JSON.parse(readFileSync(`${folder}${name}`, 'utf8'))

/** A film of one dye over metal; `strength` is its absorbance at the peak, in nepers there and back. */
const over = (r: number[], a: number[], strength: number) =>
  r.slice(0, bands).map((v, i) => v * Math.exp(-strength * (a[i] ?? 0)))

function colours(films: Films, lights: Lights): number[][] {
  const metals = films.metals.filter((_, i) => i % 3 === 0)
  return [
    ...films.dyes.flatMap(({ a }) => metals.flatMap(({ r }) => [0.3, 0.8, 2, 4].map((s) => over(r, a, s)))),
    ...lights.chart24.map((r) => r.slice(0, bands)),
  ]
}

function sum(lights: Lights, illuminant: string, reflectance: number[]): Xyz {
  const light = lights.illuminants[illuminant] ?? []
  const [x, y, z] = [0, 1, 2].map((k) =>
    reflectance.reduce((total, r, i) => total + r * (light[i] ?? 0) * (lights.cmf[i]?.[k] ?? 0), 0),
  )
  return { x: x ?? 0, y: y ?? 0, z: z ?? 0 }
}

const perfect = Array.from({ length: bands }, () => 1)

function labUnder(lights: Lights, illuminant: string, reflectance: number[]) {
  return xyzToLab(sum(lights, illuminant, reflectance), sum(lights, illuminant, perfect))
}

const readingIn = (illuminant: Comparable['illuminant']): Comparable => ({
  lab: { l: 50, a: 0, b: 0 },
  bound90: 1e-9,
  illuminant,
  observer: '2',
  geometry: '45:0',
  level: 'typed',
  view: 'face',
  stage: 'cleared',
  lightId: null,
  photoId: null,
})

describe.skipIf(!existsSync(folder))(
  'crossing from another illuminant (skipped where ../shared/data is absent)',
  () => {
    it.each([
      ['A', 'A'],
      ['F2', 'FL2'],
      ['F11', 'FL11'],
      ['LED-B3', 'LED-B3'],
    ] as const)(
      '%s: 90 %% of paints lie within the bound, and it is no more than 0.5 too wide',
      (illuminant, inData) => {
        const lights = read('lights-and-cameras.json') as Lights
        const off = colours(read('dyes-and-metals.json') as Films, lights).map((reflectance) => {
          const lab = labUnder(lights, inData, reflectance)
          return differenceCiede2000(labUnder(lights, 'D50', reflectance), toD50({ lab, illuminant, observer: '2' }))
        })
        const at90 = off.toSorted((a, b) => a - b)[Math.floor(0.9 * (off.length - 1))] ?? Number.NaN
        const { bound90 } = compareReadings(readingIn('D50'), readingIn(illuminant))
        expect(at90).toBeLessThanOrEqual(bound90)
        expect(bound90 - at90).toBeLessThanOrEqual(0.55)
      },
    )

    it.each([
      ['D50', 'D50'],
      ['D65', 'D65'],
      ['A', 'A'],
      ['F2', 'FL2'],
      ['F11', 'FL11'],
      ['LED-B3', 'LED-B3'],
    ] as const)('the white of %s adds up from its spectrum', (name, inData) => {
      const white = sum(read('lights-and-cameras.json') as Lights, inData, perfect)
      // 380–730 nm leaves out a little red, the published whites use 380–780 nm
      expect(Math.abs(white.x / white.y - whites[name].x)).toBeLessThan(4e-4)
      expect(Math.abs(white.z / white.y - whites[name].z)).toBeLessThan(4e-4)
    })
  },
)
