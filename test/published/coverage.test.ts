/**
 * Coverage of paint. The textbook identity: 1 L at 100 % volume solids covers 1 m² at 1,000 µm, and a US gallon covers
 * 1,604 ft² at 1 mil (231 in³ over 144 in² × 0.001 in is 1,604.17). Everything else is worked by hand beside the check.
 * Transfer and losses multiply and add as any textbook of coating costs has it.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { contentsOf } from '../../shared-core/mix/cup/contents.ts'
import { scaleMixture } from '../../shared-core/mix/quantities.ts'
import { compare, fromNumber, one, rational, toNumber } from '../../shared-core/mix/rational.ts'
import { volumeSolids } from '../../shared-core/mix/surface/solids.ts'
import { areaCovered, type SprayJob, sprayNeed } from '../../shared-core/mix/surface/spray-need.ts'
import { filmArea, needInWords, workingLines } from '../../shared-core/mix/surface/working.ts'
import { toRecord } from '../../shared-core/mix/units/unit-table.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { materialNamed } from '../unit/mixtures.ts'

const noLosses = { hoseMl: 0, cupMl: 0, strainerMl: 0 }
const plate = { name: 'Plate', areaM2: 1, doubt: 0 }
const job = (changes: Partial<SprayJob>): SprayJob => ({
  parts: [plate],
  coats: 1,
  build: { kind: 'dry', micrometres: 1000, solids: one },
  transfer: { efficiency: 1 },
  losses: noLosses,
  ...changes,
})

describe('the identity', () => {
  it('1 L at 100 % solids covers 1 m² at 1,000 µm, both ways', () => {
    expect(sprayNeed(job({})).readyMl).toEqual(rational(1000n))
    expect(areaCovered(rational(1000n), job({}))).toEqual(one)
  })

  it('1 US gallon covers 1,604 ft² at 1 mil', () => {
    const gallon = toRecord(one, 'volume', 'gal')
    expect(filmArea(gallon, 'ft²', 'mil')).toEqual(rational(231_000n, 144n))
    expect(toNumber(filmArea(gallon, 'ft²', 'mil'))).toBeCloseTo(1604, 0)
    const areaM2 = toNumber(toRecord(fromNumber(1604), 'area', 'ft²'))
    const need = sprayNeed(
      job({ parts: [{ ...plate, areaM2 }], build: { kind: 'dry', micrometres: 25.4, solids: one } }),
    )
    expect(toNumber(need.readyMl) / toNumber(gallon)).toBeCloseTo(1604 / (231 / 0.144), 12)
  })
})

describe('a job, worked by hand', () => {
  const whole: SprayJob = {
    parts: [
      { name: 'Tank', areaM2: 0.5, doubt: 0.2 },
      { name: 'Helmet', areaM2: 0.3, doubt: 0.1 },
    ],
    coats: 4,
    build: { kind: 'dry', micrometres: 12, solids: fromNumber(0.24) },
    transfer: { efficiency: 0.64, low: 0.5, high: 0.8 },
    losses: { hoseMl: 10, cupMl: 15, strainerMl: 5 },
  }
  const need = sprayNeed(whole)

  it('0.8 m² × 4 × 12 µm = 38.4 mL; ÷ 24 % = 160; ÷ 64 % = 250; + 30 = 280 mL', () => {
    expect(need.filmMl).toEqual(fromNumber(38.4))
    expect(need.onPartsMl).toEqual(rational(160n))
    expect(need.throughGunMl).toEqual(rational(250n))
    expect(need.readyMl).toEqual(rational(280n))
  })

  it('± 0.1 + 0.03 m², and transfer 50 to 80 %: 0.67 m² and 0.93 m² give 197.5 and 402 mL', () => {
    expect(need.areaDoubtM2).toEqual(fromNumber(0.13))
    expect(need.lowMl).toEqual(fromNumber(197.5))
    expect(need.highMl).toEqual(rational(402n))
    expect(needInWords(need, 'metric', 'point')).toContain('Between 198 and 402 mL')
  })

  it('shows its sum so that it can be checked', () => {
    const lines = workingLines(whole, need, 'metric', 'point')
    expect(lines.map(({ what, sum }) => `${what}: ${sum}`)).toEqual([
      'Tank: 0.50 m² ± 20 %',
      'Helmet: 0.30 m² ± 10 %',
      'All parts: 0.80 m² ± 0.13 m²',
      'Dry film (1 mL covers 1 m² at 1 µm): 0.80 m² × 4 coats × 12 µm = 38.4 mL',
      'Wet on the parts: 38.4 mL ÷ 24 % volume solids = 160.0 mL',
      'Through the gun: 160.0 mL ÷ 64 % transfer = 250.0 mL',
      'Losses: hose 10.0 mL + cup 15.0 mL + strainer 5.0 mL = 30.0 mL',
      'Ready to spray: 250.0 mL + 30.0 mL = 280.0 mL',
    ])
  })

  it('adds up in US units too: every printed sum comes to its printed result', () => {
    const lines = workingLines(whole, need, 'us', 'point')
    const film = lines.find(({ what }) => what.startsWith('Dry film'))
    const [area, coats, mil, per, result] = [...(film?.sum ?? '').matchAll(/[\d.]+/gu)].map(Number)
    expect(film?.sum).toMatch(/ft² × 4 coats × 0\.47 mil ÷ 12\.53 = /u)
    expect(((area ?? 0) * (coats ?? 0) * (mil ?? 0)) / (per ?? 0)).toBeCloseTo(result ?? Number.NaN, 1)
    expect(lines.at(-1)?.value).toBeCloseTo(280 / 29.5735295625, 9)
  })

  it('takes a wet film as the comb reads it, without solids: 0.8 m² × 4 × 50 µm = 160 mL', () => {
    expect(sprayNeed({ ...whole, build: { kind: 'wet', micrometres: 50 } }).onPartsMl).toEqual(rational(160n))
  })

  it('names what is missing', () => {
    const broken = { ...whole, parts: [{ name: 'Tank', areaM2: 0, doubt: 0 }] }
    expect(() => sprayNeed(broken)).toThrow('The area of Tank is missing')
    expect(() => sprayNeed({ ...whole, transfer: { efficiency: 65 } })).toThrow('between 0 and 1')
  })
})

describe('volume solids of a mixture', () => {
  const paint: Mixture = {
    name: '',
    basis: 'volume',
    parts: [
      { amount: 1, unit: 'parts', material: materialNamed('copper'), mixture: null },
      { amount: 6, unit: 'parts', material: materialNamed('carrier'), mixture: null },
      { amount: 10, unit: 'percent-on-top', material: materialNamed('slow reducer'), mixture: null },
    ],
  }
  const cup = contentsOf(scaleMixture(paint, { basis: 'volume', amount: 770, of: 'cup' }))
  const solids: Record<string, number> = { copper: 10, carrier: 30, 'slow reducer': 0 }

  it('100 mL at 10 %, 600 mL at 30 % and 70 mL at 0 % are 190 of 770', () => {
    expect(volumeSolids(cup, ({ name }) => solids[name] ?? null)).toEqual(rational(190n, 770n))
  })

  it('is refused with the names of what lacks it, and of nothing else', () => {
    const refused = (): unknown => volumeSolids(cup, ({ name }) => (name === 'copper' ? 10 : null))
    expect(refused).toThrow('volume solids of carrier, slow reducer are missing')
    expect(() => volumeSolids(cup, () => 0)).toThrow('nothing of this mixture stays')
  })
})

it('what a surface needs covers that surface again, exactly', () => {
  const positive = fc.integer({ min: 1, max: 100_000 }).map((value) => value / 1000)
  fc.assert(
    fc.property(positive, positive, positive, fc.integer({ min: 1, max: 100 }), (areaM2, film, loss, percent) => {
      const asked = job({
        parts: [{ name: 'part', areaM2, doubt: 0.1 }],
        coats: 3,
        build: { kind: 'dry', micrometres: film, solids: rational(BigInt(percent), 100n) },
        transfer: { efficiency: percent / 100 },
        losses: { hoseMl: loss, cupMl: loss, strainerMl: 0 },
      })
      const need = sprayNeed(asked)
      expect(areaCovered(need.readyMl, asked)).toEqual(fromNumber(areaM2))
      expect(compare(need.lowMl, need.readyMl)).toBeLessThan(0)
      expect(compare(need.highMl, need.readyMl)).toBeGreaterThan(0)
    }),
  )
})
