/**
 * Pairs that match in one light and part in another.
 * Metameric blacks: a spectrum that sums to nothing under one light and observer, so that adding it changes no colour
 * there (Wyszecki, J. Opt. Soc. Am. 43 (1953) 451–452; Cohen and Kappauf, Am. J. Psychol. 95 (1982) 537–564, matrix R).
 * Special metamerism index for a change of illuminant: CIE 15:2018, 9.2.2.3, its multiplicative correction worked out
 * here once more; no worked example is published with it. Spectra: dyes-and-metals.json and lights-and-cameras.json of
 * ../shared/data (open data sets, sources and licences named inside); skipped where absent. Differences by culori.
 */
import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { differenceCiede2000 as culoriDifference } from 'culori'
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { type Lab, type Xyz, xyzToLab } from '../../shared-core/colour/lab.ts'
import { changeOfLight, metamerismOf } from '../../shared-core/match/metamerism.ts'
import type { Reading, SpectrumRecord } from '../../shared-core/records/reading.ts'

type Films = { dyes: { a: number[] }[]; metals: { r: number[] }[] }
type Lights = { cmf: number[][]; illuminants: Record<string, number[]> }

const folder = fileURLToPath(new URL('../../../shared/data/', import.meta.url))
const read = (name: string): unknown => JSON.parse(readFileSync(`${folder}${name}`, 'utf8'))
const inData = { D50: 'D50', D65: 'D65', A: 'A', F11: 'FL11' } as const
type Light = keyof typeof inData

const bands = 81
const record = (values: readonly number[]): SpectrumRecord => ({ startNm: 380, stepNm: 5, values: [...values] })
/** As wide as the observer; the data's dyes end at 730 nm. */
const wide = (values: readonly number[]) =>
  Array.from({ length: bands }, (_, i) => values[Math.min(i, values.length - 1)] ?? 0)

const difference = culoriDifference()
const de00 = (a: Lab, b: Lab) => difference({ mode: 'lab65', ...a }, { mode: 'lab65', ...b })

function columnsOf(lights: Lights, light: Light): number[][] {
  const power = lights.illuminants[inData[light]] ?? []
  return [0, 1, 2].map((k) => power.map((p, i) => p * (lights.cmf[i]?.[k] ?? 0)))
}
const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0)
function xyz(lights: Lights, light: Light, r: readonly number[]): Xyz {
  const [x, y, z] = columnsOf(lights, light)
  const of = dot(y!, wide([1]))
  return { x: dot(x!, r) / of, y: dot(y!, r) / of, z: dot(z!, r) / of }
}
const white = (lights: Lights, light: Light) => xyz(lights, light, wide([1]))
const lab = (lights: Lights, light: Light, at: Xyz) => xyzToLab(at, white(lights, light))

/**
 * What is left of a spectrum once all that the three columns see of it is taken out (Gram–Schmidt, twice for rounding).
 */
function blackOf(columns: readonly number[][], spectrum: readonly number[]): number[] {
  const basis: number[][] = []
  for (const column of columns) {
    let rest = [...column]
    for (let round = 0; round < 2; round++) for (const b of basis) rest = rest.map((v, i) => v - dot(rest, b) * b[i]!)
    const size = Math.sqrt(dot(rest, rest))
    basis.push(rest.map((v) => v / size))
  }
  let left = [...spectrum]
  for (let round = 0; round < 2; round++)
    for (const b of basis) {
      const along = dot(left, b)
      left = left.map((v, i) => v - along * b[i]!)
    }
  return left
}

function pairs(count: number): { lights: Lights; some: { paint: number[]; other: number[] }[] } {
  const films = read('dyes-and-metals.json') as Films
  const lights = read('lights-and-cameras.json') as Lights
  const random = randomFrom('metamers')
  const film = () => {
    const { r } = films.metals[Math.floor(random.next() * films.metals.length)]!
    const { a } = films.dyes[Math.floor(random.next() * films.dyes.length)]!
    const strength = 0.3 + 2 * random.next()
    return wide(r.slice(0, 71).map((v, i) => v * Math.exp(-strength * (a[i] ?? 0))))
  }
  return { lights, some: Array.from({ length: count }, () => ({ paint: film(), other: film() })) }
}

const reading = (id: string, more: Partial<Reading>): Reading => ({
  id,
  stepId: null,
  referenceId: null,
  photoId: null,
  areaId: null,
  cut: null,
  setupId: null,
  lightId: null,
  view: 'face',
  stage: 'cleared',
  ageDays: null,
  takenAt: '2031-05-01T10:00:00Z',
  lab: { l: 50, a: 20, b: 10 },
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  level: 'instrument',
  bound90: 0.5,
  parts: [],
  cautions: [],
  texture: null,
  spectrum: null,
  instrument: null,
  ...more,
})
const options = { lightName: (id: string) => `the ${id}`, sameLimit: 1 }

describe.skipIf(!existsSync(folder))('pairs of spectra (skipped where ../shared/data is absent)', () => {
  it('that match in D50 by a metameric black part in other lights as far as summed here', () => {
    const { lights, some } = pairs(60)
    let parted = 0
    for (const { paint, other } of some) {
      const black = blackOf(
        columnsOf(lights, 'D50'),
        other.map((v, i) => v - paint[i]!),
      )
      const metamer = paint.map((v, i) => v + black[i]!)
      // the perfect black: nothing is seen of it in D50
      expect(
        de00(lab(lights, 'D50', xyz(lights, 'D50', paint)), lab(lights, 'D50', xyz(lights, 'D50', metamer))),
      ).toBeLessThan(1e-6)
      expect(changeOfLight(record(paint), record(metamer), 'D50', 'D50').de00).toBeLessThan(0.01)
      for (const light of ['A', 'F11', 'D65'] as const) {
        const found = changeOfLight(record(paint), record(metamer), 'D50', light)
        const expected = de00(
          lab(lights, light, xyz(lights, light, paint)),
          lab(lights, light, xyz(lights, light, metamer)),
        )
        expect(Math.abs(found.de00 - expected)).toBeLessThan(0.02)
        // what matched needs no correction
        expect(Math.abs(found.onceMatched - found.de00)).toBeLessThan(0.02)
        if (light === 'A' && expected > 1) parted++
      }
    }
    expect(parted).toBeGreaterThan(10)
  })

  it('that do not match: what is left once the second is brought onto the first, by the multiplicative correction', () => {
    const { lights, some } = pairs(60)
    for (const { paint, other } of some)
      for (const light of ['A', 'F11'] as const) {
        const [p, q] = [xyz(lights, 'D50', paint), xyz(lights, 'D50', other)]
        const [seenP, seenQ] = [xyz(lights, light, paint), xyz(lights, light, other)]
        const corrected = { x: (seenQ.x * p.x) / q.x, y: (seenQ.y * p.y) / q.y, z: (seenQ.z * p.z) / q.z }
        const found = changeOfLight(record(paint), record(other), 'D50', light)
        expect(
          Math.abs(found.onceMatched - de00(lab(lights, light, seenP), lab(lights, light, corrected))),
        ).toBeLessThan(0.02)
        expect(Math.abs(found.de00 - de00(lab(lights, light, seenP), lab(lights, light, seenQ)))).toBeLessThan(0.02)
      }
  })

  it('that differ by a factor are no metamers: nothing is left in any light', () => {
    const { some } = pairs(20)
    for (const { paint } of some) {
      const found = changeOfLight(record(paint), record(paint.map((v) => 0.8 * v)), 'D50', 'A')
      expect(found.de00).toBeGreaterThan(1)
      expect(found.onceMatched).toBeLessThan(1e-9)
    }
  })

  it('are said to match in one light and not in another, from the most alike and surest spectra of both', () => {
    const { lights, some } = pairs(60)
    const found = some.flatMap(({ paint, other }) => {
      const black = blackOf(
        columnsOf(lights, 'D50'),
        other.map((v, i) => v - paint[i]!),
      )
      const ours = [reading('r', { spectrum: record(paint) })]
      const metamer = record(paint.map((v, i) => v + black[i]!))
      const theirs = [
        reading('flop', { view: 'flop', spectrum: record(paint) }),
        reading('unsure', { bound90: 4, spectrum: record(other) }),
        reading('c', { spectrum: metamer }),
      ]
      const met = metamerismOf(ours, theirs, options)
      const there = metamerismOf(theirs.slice(2), ours, options)
      expect(there?.lights.map((one) => one.couldBeSame)).toEqual(met?.lights.map((one) => one.couldBeSame))
      return met ? [met] : []
    })
    expect(found).toHaveLength(60)
    for (const { words, lights: told } of found) {
      expect(told.map(({ light }) => light)).toEqual(['daylight (D50)', 'lamp light (A)', 'three-band tubes (F11)'])
      expect(told[0]).toMatchObject({ couldBeSame: true })
      expect(told[0]!.bound90).toBeCloseTo(Math.hypot(0.5, 0.5), 9)
      const parts = told.slice(1).filter(({ couldBeSame }) => !couldBeSame)
      expect(words.includes('surely different in')).toBe(parts.length > 0)
      for (const { light } of parts) expect(words.split('surely different in')[1]).toContain(light)
    }
    expect(
      found.some(
        ({ words }) => words === 'Could be the same in daylight (D50), lamp light (A), three-band tubes (F11)',
      ),
    ).toBe(true)
    expect(
      found.some(({ words }) => words.startsWith('Could be the same in daylight (D50), surely different in')),
    ).toBe(true)
  })
})

describe('pairs of readings', () => {
  const photo = (id: string, lightId: string, l: number, more: Partial<Reading> = {}) =>
    reading(id, { lightId, lab: { l, a: 20, b: 10 }, level: 'card', geometry: 'photo', photoId: id, ...more })

  it('in two lights: the same in one, surely different in the other', () => {
    const ours = [photo('r1', 'booth', 50), photo('r2', 'sun', 50), photo('r3', 'shade', 50)]
    const theirs = [photo('c1', 'booth', 50.5), photo('c2', 'sun', 56)]
    const found = metamerismOf(ours, theirs, options)
    expect(found?.words).toBe('Could be the same in the booth, surely different in the sun')
    expect(found?.lights.map(({ light, onceMatched }) => [light, onceMatched])).toEqual([
      ['the booth', null],
      ['the sun', null],
    ])
    // culori's figure of the sun
    expect(found?.lights[1]?.de00).toBeCloseTo(de00({ l: 50, a: 20, b: 10 }, { l: 56, a: 20, b: 10 }), 9)
    const apart = metamerismOf(ours, [photo('c1', 'booth', 58), photo('c2', 'sun', 56)], options)
    expect(apart?.words).toBe('Surely different in every light, least in the sun')
  })

  it('wants two lights that both were read in, alike in view and stage, and sprayed', () => {
    const ours = [photo('r1', 'booth', 50), photo('r2', 'sun', 50)]
    const booth = photo('c1', 'booth', 50)
    expect(metamerismOf(ours, [booth], options)).toBeNull()
    expect(metamerismOf(ours, [booth, photo('c2', 'shade', 50)], options)).toBeNull()
    expect(metamerismOf(ours, [booth, photo('c2', 'sun', 50, { view: 'flop' })], options)).toBeNull()
    expect(metamerismOf(ours, [booth, photo('c2', 'sun', 50, { stage: 'dry' })], options)).toBeNull()
    expect(metamerismOf(ours, [booth, photo('c2', 'sun', 50, { level: 'predicted' })], options)).toBeNull()
    expect(metamerismOf(ours, [booth, { ...photo('c2', 'sun', 50), lightId: null }], options)).toBeNull()
    expect(metamerismOf(ours, [booth, photo('c2', 'sun', 50)], options)?.lights).toHaveLength(2)
  })

  it('takes two in one photo by themselves, where their errors cancel', () => {
    const unsure = { bound90: 4 }
    const ours = [photo('r1', 'booth', 50, { ...unsure, photoId: 'both' }), photo('r2', 'sun', 50, unsure)]
    const theirs = [photo('c1', 'booth', 51, { ...unsure, photoId: 'both' }), photo('c2', 'sun', 51, unsure)]
    const [booth, sun] = metamerismOf(ours, theirs, options)?.lights ?? []
    expect(sun?.bound90).toBeCloseTo(Math.hypot(4, 4), 9)
    // a fifth of each is its own, and at 1 dE00 hardly anything of the rest is left
    expect(booth!.bound90).toBeLessThan(0.25 * Math.hypot(4, 4))
  })
})
