/**
 * Sources: NIST Special Publication 811 (2008), appendix B.8: 1 psi = 6.894 757 kPa, 1 in = 25.4 mm exactly,
 * 1 ounce (avoirdupois) = 28.349 52 g, 1 US fluid ounce = 29.573 53 mL, 1 bar = 100 kPa; NIST Handbook 44, appendix C:
 * 1 US fluid ounce = 29.5735 mL, 1 gallon = 3.785 411 784 L, 1 pound = 453.592 37 g exactly. From memory: the digits of the
 * fluid ounce and psi beyond those tables.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  formatNumber,
  formatQuantity,
  formatShort,
  type Measure,
  parseDay,
  parseNumber,
  parseQuantity,
} from '../../shared-core/mix/units.ts'

const valueOf = (text: string, measure: Measure, system: 'metric' | 'us' = 'metric'): number => {
  const read = parseQuantity(text, measure, system)
  if (!read.ok) throw new Error(`${text}: ${read.message}`)
  return read.value
}

describe('typed quantities', () => {
  it.each<[string, Measure, number]>([
    ['1 fl oz', 'volume', 29.5735295625],
    ['3 1/2 oz', 'volume', 3.5 * 29.5735295625],
    ['3½ fl. oz', 'volume', 3.5 * 29.5735295625],
    ['1 gal', 'volume', 3785.411784],
    ['3,5 cl', 'volume', 35],
    ['100ml', 'volume', 100],
    ['0.2 L', 'volume', 200],
    ['1 oz', 'mass', 28.349523125],
    ['1 lb', 'mass', 453.59237],
    ['25 g', 'mass', 25],
    ['1 psi', 'pressure', 6.894757293168],
    ['1.1 bar', 'pressure', 110],
    ['1,1bar', 'pressure', 110],
    ['110 kPa', 'pressure', 110],
    ['1.3 mm', 'tip', 1.3],
    ['6 in', 'distance', 152.4],
    ['6"', 'distance', 152.4],
    ['2 ft', 'distance', 609.6],
    ['0,8 m²', 'area', 0.8],
    ['4500 cm2', 'area', 0.45],
    ['9 sq. ft', 'area', 0.83612736],
    ['10 in²', 'area', 0.0064516],
    ['12 µm', 'thickness', 12],
    ['1/2 mil', 'thickness', 12.7],
    ['0.95 g/mL', 'density', 0.95],
    ['15 cm', 'distance', 150],
    ['70 °F', 'temperature', 190 / 9],
    ['-40 F', 'temperature', -40],
    ['21°C', 'temperature', 21],
  ])('%s of %s', (text, measure, value) => {
    expect(valueOf(text, measure)).toBeCloseTo(value, 9)
  })

  it('meets the trade: 16 psi is 1.10 bar (common practice, no source)', () => {
    expect(formatQuantity(valueOf('16 psi', 'pressure'), 'pressure', 'metric', 'point')).toBe('1.10 bar')
    expect(formatQuantity(valueOf('16 psi', 'pressure'), 'pressure', 'us', 'point')).toBe('16 psi')
  })

  it('takes the unit of the field for a bare number, and says so', () => {
    expect(parseQuantity('16', 'pressure', 'us')).toMatchObject({ ok: true, unit: 'psi', unitAssumed: true })
    expect(parseQuantity('1,1', 'pressure', 'metric')).toMatchObject({ ok: true, unit: 'bar', unitAssumed: true })
    expect(valueOf('1.1 bar', 'pressure', 'us')).toBeCloseTo(110)
  })

  it.each<[string, Measure]>([
    ['', 'volume'],
    ['some', 'volume'],
    ['5 bar', 'volume'],
    ['5 ml', 'mass'],
    ['0 mm', 'tip'],
    ['-3 psi', 'pressure'],
    ['1/0 g', 'mass'],
    ['3 4 g', 'mass'],
  ])('refuses “%s” as %s with a remedy', (text, measure) => {
    const read = parseQuantity(text, measure, 'metric')
    expect(read.ok).toBe(false)
    expect(read.ok || read.remedy).toMatch(/\d/u)
  })

  it('reads back what it shows, within what is shown', () => {
    const within: Record<Measure, number> = {
      tip: 0.005,
      distance: 1.3,
      area: 0.00051,
      thickness: 0.13,
      volume: 0.15,
      mass: 0.15,
      density: 0.00061,
      pressure: 0.51,
      temperature: 0.51,
    }
    const measures = fc.constantFrom(...(Object.keys(within) as Measure[]))
    const settings = fc.tuple(
      fc.constantFrom('metric' as const, 'us' as const),
      fc.constantFrom('comma' as const, 'point' as const),
    )
    fc.assert(
      fc.property(
        measures,
        fc.double({ min: 2, max: 900, noNaN: true }),
        settings,
        (measure, value, [system, decimal]) => {
          const shown = formatQuantity(value, measure, system, decimal)
          expect(Math.abs(valueOf(shown, measure, system) - value)).toBeLessThanOrEqual(within[measure])
          expect(shown.includes(decimal === 'comma' ? '.' : ',')).toBe(false)
        },
      ),
    )
  })
})

describe('numbers', () => {
  it.each([
    ['3,5', 3.5],
    ['3.5', 3.5],
    [' 1/2 ', 0.5],
    ['3 1/2', 3.5],
    ['3½', 3.5],
    ['½', 0.5],
    ['.5', 0.5],
    ['−2,5', -2.5],
    ['+2', 2],
  ])('reads %s', (text, value) => expect(parseNumber(text)).toBe(value))

  it.each(['', 'x', '3,5,1', '1/0', '3 5', '1.', '--1'])('does not read “%s”', (text) => {
    expect(parseNumber(text)).toBeNull()
  })

  it('shows with comma or point and a true minus', () => {
    expect(formatNumber(2.0734, 1, 'point')).toBe('2.1')
    expect(formatNumber(2, 2, 'comma')).toBe('2,00')
    expect(formatNumber(-1.25, 1, 'comma')).toMatch(/^−1,[23]$/u)
    expect(formatNumber(-0.01, 1, 'point')).toBe('0.0')
    expect(formatShort(2.5, 3, 'comma')).toBe('2,5')
    expect(formatShort(20, 2, 'point')).toBe('20')
    expect(formatShort(100, 0, 'point')).toBe('100')
  })

  it('reads back every number it shows in full', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1e9, max: 1e9 }),
        fc.constantFrom('comma' as const, 'point' as const),
        (n, decimal) => {
          expect(parseNumber(formatShort(n / 1000, 3, decimal)) ?? Number.NaN).toBeCloseTo(n / 1000, 9)
        },
      ),
    )
  })
})

describe('days', () => {
  it.each([
    ['2031-03-14', 'day-first', '2031-03-14'],
    ['14.3.2031', 'month-first', '2031-03-14'],
    ['14/3/2031', 'day-first', '2031-03-14'],
    ['3/14/2031', 'month-first', '2031-03-14'],
    ['29.2.2032', 'day-first', '2032-02-29'],
  ] as const)('%s, %s', (text, order, day) => expect(parseDay(text, order)).toBe(day))

  it.each(['29.2.2031', '31/4/2031', '2031-13-01', 'today', '3/14/31'])('refuses %s', (text) => {
    expect(parseDay(text, 'day-first')).toBeNull()
  })
})
