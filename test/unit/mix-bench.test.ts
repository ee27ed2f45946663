/** Surfaces, clocks, strainers, tips and cautions. Figures of the trade are common practice, no source. */
import { describe, expect, it } from 'vitest'
import { mixtureWarnings } from '../../shared-core/mix/limits.ts'
import { cautionsFor, labelCautions, type WorkStep } from '../../shared-core/mix/safety/cautions.ts'
import { isCatalysed, materialsIn } from '../../shared-core/mix/safety/materials-in.ts'
import { durationInWords, readClock, startClock } from '../../shared-core/mix/spray/clocks.ts'
import {
  flakeTipWarning,
  reducerLimits,
  reducerWarnings,
  tipClass,
  tipForFlake,
  withReducer,
} from '../../shared-core/mix/spray/gun-limits.ts'
import { dyeStrainerUm, strainingFor, usualFlakeUm } from '../../shared-core/mix/spray/straining.ts'
import { gunKinds } from '../../shared-core/mix/surface/guns.ts'
import { areaOf, ellipsoidMm2, shapes } from '../../shared-core/mix/surface/shapes.ts'
import { MaterialKind, type Mixture } from '../../shared-core/records/mixture.ts'
import { materialNamed } from './mixtures.ts'

const area = (shape: string, measures: Record<string, number>) => areaOf({ shape, measures })

describe('surfaces', () => {
  it('are exact where a shape is: plate, box, cylinder, tube', () => {
    expect(area('test-panel', { widthMm: 100, heightMm: 150 }).areaM2).toBeCloseTo(0.015, 12)
    expect(area('test-panel', { widthMm: 100, heightMm: 150, sides: 2 }).areaM2).toBeCloseTo(0.03, 12)
    expect(area('box', { widthMm: 200, heightMm: 300, depthMm: 400 }).areaM2).toBeCloseTo(0.52, 12)
    // A tube of 100 mm and 1 m unrolls to 314 mm × 1 m; the ends are two discs.
    expect(area('tube', { diameterMm: 100, lengthMm: 1000 }).areaM2).toBeCloseTo(0.314159265, 8)
    const cylinder = area('cylinder', { diameterMm: 100, lengthMm: 1000 })
    expect(cylinder.areaM2 - 0.314159265).toBeCloseTo(2 * Math.PI * 0.05 ** 2, 8)
  })

  it('come from a sheet’s mass: 1 m² of 1 mm steel weighs 7.85 kg (handbook, from memory)', () => {
    const sheet = { massG: 7850, thicknessMm: 1, densityKgPerL: 7.85 }
    expect(area('sheet', sheet).areaM2).toBeCloseTo(1, 12)
    expect(area('sheet', { ...sheet, sides: 2 }).areaM2).toBeCloseTo(2, 12)
  })

  it('an ellipsoid: a sphere exactly, and spheroids within 1.1 % of their closed forms', () => {
    expect(ellipsoidMm2(100, 100, 100)).toBeCloseTo(4 * Math.PI * 100 ** 2, 6)
    for (const ratio of [0.2, 0.5, 0.8, 1.5, 3]) {
      const [a, c] = [100, 100 * ratio]
      const e = Math.sqrt(1 - (Math.min(a, c) / Math.max(a, c)) ** 2)
      const exact =
        c < a
          ? 2 * Math.PI * a * a * (1 + ((1 - e * e) / e) * Math.atanh(e))
          : 2 * Math.PI * a * a * (1 + (c / (a * e)) * Math.asin(e))
      expect(Math.abs(ellipsoidMm2(a, a, c) / exact - 1)).toBeLessThan(0.011)
    }
  })

  it('a tank: both bodies that it lies between are within its doubt, and so is half a cylinder', () => {
    const { areaM2, doubt } = area('tank', { lengthMm: 600, widthMm: 280, heightMm: 140 })
    const inside = (m2: number): void => expect(Math.abs(m2 - areaM2)).toBeLessThanOrEqual(areaM2 * doubt)
    inside((600 * 280 + 2 * 140 * (600 + 280)) / 1e6)
    inside(ellipsoidMm2(300, 140, 140) / 2 / 1e6)
    inside((Math.PI * 140 * 600 + Math.PI * 140 ** 2) / 1e6)
  })

  it('a guitar body: two overlapping discs of 325 and 280 mm, 400 mm long, are within its doubt', () => {
    const [big, small, apart, thickness] = [162.5, 140, 97.5, 45]
    let face = 0
    const cell = 1
    const inDisc = (x: number, y: number, centre: number, r: number) => (x - centre) ** 2 + y ** 2 <= r * r
    for (let x = -170; x < 245; x += cell) {
      for (let y = -170; y < 170; y += cell) face += inDisc(x, y, 0, big) || inDisc(x, y, apart, small) ? 1 : 0
    }
    const hidden = (r: number, other: number) => Math.acos((apart ** 2 + r ** 2 - other ** 2) / (2 * apart * r))
    const outline = 2 * big * (Math.PI - hidden(big, small)) + 2 * small * (Math.PI - hidden(small, big))
    const exact = (2 * face + outline * thickness) / 1e6
    const { areaM2, doubt } = area('guitar-body', { lengthMm: 400, widthMm: 325, thicknessMm: thickness })
    expect(Math.abs(exact - areaM2)).toBeLessThanOrEqual(areaM2 * doubt)
  })

  it('a full-face helmet of 340 × 250 × 260 mm lies between 0.14 and 0.21 m² (common practice, no source)', () => {
    const { areaM2 } = area('helmet', { lengthMm: 340, widthMm: 250, heightMm: 260 })
    expect(areaM2).toBeGreaterThan(0.14)
    expect(areaM2).toBeLessThan(0.21)
  })

  it('grow with the square of their measures, whatever the shape in millimetres', () => {
    for (const shape of shapes) {
      const lengths = shape.measures.filter(({ unit }) => unit === 'mm')
      if (lengths.length < 2) continue
      const of = (times: number) => Object.fromEntries(lengths.map(({ key }, i) => [key, (200 + 50 * i) * times]))
      const [once, thrice] = [area(shape.name, of(1)), area(shape.name, of(3))]
      expect(thrice.areaM2 / once.areaM2).toBeCloseTo(9, 9)
      expect(once.doubt).toBeGreaterThan(0)
      expect(once.doubt).toBeLessThan(0.5)
    }
  })

  it('name what is missing', () => {
    expect(() => area('tank', { lengthMm: 600, widthMm: 280 })).toThrow('Motorcycle tank: Height is missing')
    expect(() => area('boat', {})).toThrow('not a known shape')
  })

  it('every gun keeps its figure within its range', () => {
    for (const { efficiency, low, high } of gunKinds) {
      expect(low).toBeLessThan(efficiency)
      expect(efficiency).toBeLessThan(high)
      expect(high).toBeLessThan(1)
    }
  })
})

describe('clocks', () => {
  const start = '2031-03-14T10:00:00.000Z'
  const at = (minutes: number): string => new Date(Date.parse(start) + minutes * 60_000).toISOString()

  it('tell the rest from two times alone', () => {
    const stand = startClock('stand', start, 12.5)
    expect(stand.until).toBe('2031-03-14T10:12:30.000Z')
    expect(readClock(stand, at(5))).toMatchObject({ remainingS: 450, overdueS: 0, state: 'running' })
    expect(readClock(stand, at(5)).words).toBe('Let it stand: 8 min.')
    expect(readClock(stand, at(12.5))).toMatchObject({ remainingS: 0, state: 'over' })
    expect(readClock(stand, at(72.5))).toMatchObject({ overdueS: 3600, state: 'over' })
  })

  it('warn before a pot life ends, and after', () => {
    const life = startClock('pot-life', start, 120)
    expect(readClock(life, at(30))).toMatchObject({ state: 'running', remainingS: 5400 })
    expect(readClock(life, at(110))).toMatchObject({ state: 'ending' })
    expect(readClock(life, at(150)).words).toContain('ended 30 min ago')
  })

  it('do not pretend to know when the computer’s clock was set back', () => {
    expect(readClock(startClock('pot-life', start, 60), at(-5))).toMatchObject({ clockSetBack: true })
    expect(() => startClock('stand', 'soon', 10)).toThrow(RangeError)
    expect(() => startClock('stand', start, 0)).toThrow(RangeError)
  })

  it('never say 0 while there is time', () => {
    expect([1, 59, 60, 61, 3599, 3600, 3900].map(durationInWords)).toEqual([
      '1 s',
      '59 s',
      '1 min',
      '2 min',
      '1 h 00 min',
      '1 h 00 min',
      '1 h 05 min',
    ])
  })
})

describe('strainer, flake and tip (common practice, no source)', () => {
  it('strains dye through 125 µm before flake goes in', () => {
    const { before, after, strainerUm, steps } = strainingFor(['copper', 'carrier', 'gold flake'].map(materialNamed))
    expect(before.map(({ name }) => name)).toEqual(['copper', 'carrier'])
    expect(after.map(({ name }) => name)).toEqual(['gold flake'])
    expect(strainerUm).toBe(125)
    expect(steps.findIndex((step) => step.includes('125 µm'))).toBeLessThan(
      steps.findIndex((step) => step.includes('gold flake')),
    )
    expect(steps.at(-1)).toContain('10 to 15 minutes')
  })

  it('warns when flake is poured before the dye, and asks no strainer where no dye is', () => {
    expect(strainingFor(['gold flake', 'copper', 'carrier'].map(materialNamed)).warnings).toHaveLength(1)
    const pearl = strainingFor(['carrier', 'violet pearl'].map(materialNamed))
    expect(pearl).toMatchObject({ strainerUm: null, warnings: [] })
    expect(pearl.steps.join(' ')).toContain('violet pearl: strained as its data sheet says')
  })

  it('asks for a larger tip for larger flake, and all but the finest usual flake would stay in the strainer', () => {
    expect(usualFlakeUm.most).toBeGreaterThan(dyeStrainerUm)
    expect(tipForFlake(100)).toBe(1.4)
    expect(tipForFlake(400)).toBeCloseTo(2.4, 12)
    expect(flakeTipWarning(1.4, 200)).toBeNull()
    expect(flakeTipWarning(1.8, 400)).toContain('2.4 mm or larger is usual')
    expect(flakeTipWarning(1, 400)).toContain('will block')
    expect(flakeTipWarning(0.8, null)).toContain('data sheet')
    expect(flakeTipWarning(1.8, null)).toBeNull()
  })

  const reduced = (percent: number): Mixture =>
    withReducer(
      {
        name: '',
        basis: 'volume',
        parts: [{ amount: 1, unit: 'parts', material: materialNamed('carrier'), mixture: null }],
      },
      materialNamed('slow reducer'),
      percent,
    )

  it('reducer: 0 % full-size, 5 % small tips, 10 % the usual limit, up to 20 % with a 0.5 mm tip', () => {
    expect([1.3, 0.8, 0.5].map(tipClass)).toEqual(['full-size', 'small', 'airbrush'])
    expect(reducerLimits['full-size'].usual).toBe(0)
    expect(reducerLimits.small.usual).toBe(5)
    expect(reducerWarnings(reduced(0), 1.3)).toEqual([])
    expect(reducerWarnings(reduced(8), 1.3)[0]).toContain('usually needs none')
    expect(reducerWarnings(reduced(10), 0.8)).toEqual([])
    expect(reducerWarnings(reduced(12), 0.8)[0]).toContain('10 % is the usual limit')
    expect(reducerWarnings(reduced(20), 0.5)).toEqual([])
    expect(reducerWarnings(reduced(21), 0.5)[0]).toContain('breaks up')
  })

  it('warns without a tip exactly where the formula itself does', () => {
    for (let percent = 0; percent <= 30; percent++) {
      expect(reducerWarnings(reduced(percent), null).length).toBe(mixtureWarnings(reduced(percent)).length)
    }
  })

  it('puts reducer in place of the reducer before', () => {
    const twice = withReducer(reduced(5), materialNamed('slow reducer'), 10)
    expect(materialsIn(twice).map(({ name }) => name)).toEqual(['carrier', 'slow reducer'])
    expect(withReducer(twice, materialNamed('slow reducer'), 0).parts).toHaveLength(1)
  })
})

describe('cautions', () => {
  const codes = (names: readonly string[], step: WorkStep) =>
    cautionsFor(names.map(materialNamed), step).map(({ code }) => code.replace('safety/', ''))
  const steps: readonly WorkStep[] = ['mix', 'spray', 'clean', 'sand', 'store']

  it('isocyanates stand first when a hardener is in it: mixing, spraying, cleaning and sanding', () => {
    for (const step of ['mix', 'spray', 'clean', 'sand'] as const) {
      expect(codes(['copper', 'carrier', 'hardener'], step)[0]).toBe('isocyanates')
      expect(codes(['copper', 'carrier'], step)).not.toContain('isocyanates')
    }
    expect(codes(['carrier', 'hardener'], 'store')).toContain('storage-catalysed')
    expect(codes(['carrier'], 'store')).toContain('storage')
  })

  it('a clear or primer without a hardener in the formula is asked about', () => {
    const clear = [{ kind: 'clear' as const }]
    expect(cautionsFor(clear, 'mix')[0]?.code).toBe('safety/isocyanates-if-catalysed')
    expect(
      cautionsFor([...clear, { kind: 'hardener' }], 'mix').filter(({ code }) => code.includes('iso')),
    ).toHaveLength(1)
  })

  it('go by what a safety data sheet was said to name, where anybody looked', () => {
    const of = (isocyanate: boolean | null, kind: 'hardener' | 'clear' | 'carrier', step: WorkStep) =>
      cautionsFor([{ kind: 'concentrate' }, { kind, isocyanate }], step).map(({ code }) => code.replace('safety/', ''))
    for (const step of ['mix', 'spray', 'clean', 'sand'] as const) {
      expect(of(null, 'hardener', step)[0]).toBe('isocyanates')
      expect(of(true, 'hardener', step)[0]).toBe('isocyanates')
      expect(of(true, 'carrier', step)[0]).toBe('isocyanates')
      expect(of(false, 'hardener', step)).toContain('hardener-free')
      expect(of(false, 'hardener', step).filter((code) => code.startsWith('isocyanates'))).toEqual([])
    }
    // free of isocyanates it hardens all the same
    expect(of(false, 'hardener', 'store')).toContain('storage-catalysed')
    // a clear without its hardener is free of them: what it takes is still asked about
    expect(of(false, 'clear', 'mix')[0]).toBe('isocyanates-if-catalysed')
    const two = [
      { kind: 'hardener' as const, isocyanate: false },
      { kind: 'hardener' as const, isocyanate: null },
    ]
    expect(cautionsFor(two, 'mix')[0]?.code).toBe('safety/isocyanates')
    expect(cautionsFor(two, 'mix').map(({ code }) => code)).not.toContain('safety/hardener-free')
    expect(cautionsFor([{ kind: 'hardener', isocyanate: false }], 'mix')[0]?.remedy).toMatch(
      /^Follow its .*data sheet/u,
    )
    // the same code for two wordings: never both
    for (const first of [null, true, false] as const)
      for (const second of [null, true, false] as const) {
        const said = cautionsFor(
          [
            { kind: 'hardener', isocyanate: first },
            { kind: 'base', isocyanate: second },
          ],
          'spray',
        ).map(({ code }) => code)
        expect(new Set(said).size).toBe(said.length)
      }
  })

  it('say what belongs to the step, and not everything everywhere', () => {
    expect(codes(['copper', 'carrier'], 'mix')).toEqual(['vapour', 'electronics', 'rags'])
    expect(codes(['copper', 'carrier'], 'spray')).toEqual(['vapour', 'electronics', 'pressure', 'local-rules'])
    expect(codes(['copper', 'carrier'], 'clean')).toEqual(['vapour', 'electronics', 'pressure', 'rags'])
    expect(codes(['copper', 'carrier'], 'sand')).toEqual(['dust'])
    expect(codes(['gold flake'], 'mix')).toEqual(['powder'])
    expect(codes([], 'mix')).toEqual([])
  })

  it('are short and calm, fit a cup label, and every step defers to data sheets', () => {
    for (const kind of MaterialKind.options) {
      for (const step of steps) {
        const cautions = cautionsFor([{ kind }, { kind: 'clear' }], step)
        expect(cautions.map(({ remedy }) => remedy).join(' ')).toMatch(/data sheet/u)
        const said = [...cautions, ...[true, false].flatMap((isocyanate) => cautionsFor([{ kind, isocyanate }], step))]
        for (const { message, remedy, label } of said) {
          expect(message.length).toBeLessThanOrEqual(140)
          expect(remedy.length).toBeLessThanOrEqual(140)
          expect(label.length).toBeLessThanOrEqual(48)
          expect(`${message}${remedy}${label}`).not.toContain('!')
        }
      }
    }
    expect(labelCautions([{ kind: 'concentrate' }, { kind: 'hardener' }])[0]).toContain('isocyanates')
    expect(labelCautions([{ kind: 'concentrate' }])).toHaveLength(2)
  })

  it('a mixture with a hardener anywhere inside has a pot life', () => {
    const inner: Mixture = {
      name: 'clear',
      basis: 'volume',
      parts: [{ amount: 1, unit: 'parts', material: materialNamed('hardener'), mixture: null }],
    }
    const outer: Mixture = {
      name: '',
      basis: 'volume',
      parts: [{ amount: 1, unit: 'parts', material: null, mixture: inner }],
    }
    expect(isCatalysed(outer)).toBe(true)
    expect(
      isCatalysed({
        ...inner,
        parts: [{ amount: 1, unit: 'parts', material: materialNamed('carrier'), mixture: null }],
      }),
    ).toBe(false)
  })
})
