/**
 * Factors of units. Sources: NIST Special Publication 811 (2008), appendix B.8 and B.9 (seven figures, bold where exact);
 * NIST Handbook 44, appendix C (exact: gallon = 231 cubic inches = 3.785 411 784 L, pound = 453.592 37 g, ounce = 1/16 pound,
 * square foot = 929.0304 cm²). Checked as fractions: no tolerance where the source says exact, half of the last figure else.
 */
import { describe, expect, it } from 'vitest'
import { equal, fromNumber, multiply, type Rational, rational, toNumber } from '../../shared-core/mix/rational.ts'
import { fromRecord, type Measure, toRecord, unitTable } from '../../shared-core/mix/units/unit-table.ts'
import { parseQuantity } from '../../shared-core/mix/units.ts'

const one = rational(1n)
const decimal = (digits: bigint, places: bigint): Rational => rational(digits, 10n ** places)

describe('exact factors', () => {
  it.each<[string, Measure, Rational]>([
    ['in', 'distance', decimal(254n, 1n)],
    ['ft', 'distance', decimal(3048n, 1n)],
    ['mil', 'thickness', decimal(254n, 1n)],
    ['in²', 'area', decimal(64516n, 8n)],
    ['ft²', 'area', decimal(9290304n, 8n)],
    ['cm²', 'area', decimal(1n, 4n)],
    ['gal', 'volume', decimal(3785411784n, 6n)],
    ['qt', 'volume', decimal(946352946n, 6n)],
    ['pt', 'volume', decimal(473176473n, 6n)],
    ['fl oz', 'volume', decimal(295735295625n, 10n)],
    ['lb', 'mass', decimal(45359237n, 5n)],
    ['oz', 'mass', decimal(28349523125n, 9n)],
    ['bar', 'pressure', rational(100n)],
    ['MPa', 'pressure', rational(1000n)],
  ])('1 %s of %s', (unit, measure, factor) => {
    expect(toRecord(one, measure, unit)).toEqual(factor)
    expect(fromRecord(factor, measure, unit)).toEqual(one)
  })

  it('psi is a pound-force (4.448 221 615 260 5 N exactly) on a square inch', () => {
    const newtons = multiply(multiply(toRecord(one, 'pressure', 'psi'), rational(1000n)), decimal(64516n, 8n))
    expect(newtons).toEqual(decimal(44482216152605n, 13n))
  })

  it('degrees Fahrenheit: 32 is 0, 212 is 100, −40 is −40, and −459.67 is −273.15', () => {
    for (const [f, c] of [
      [32, 0],
      [212, 100],
      [-40, -40],
      [-459.67, -273.15],
    ] as const) {
      expect(toRecord(fromNumber(f), 'temperature', '°F')).toEqual(fromNumber(c))
      expect(fromRecord(fromNumber(c), 'temperature', '°F')).toEqual(fromNumber(f))
    }
  })
})

describe('the seven figures of SP 811', () => {
  it.each<[string, Measure, number]>([
    ['psi', 'pressure', 6.894757],
    ['fl oz', 'volume', 29.57353],
    ['gal', 'volume', 3785.412],
    ['qt', 'volume', 946.3529],
    ['pt', 'volume', 473.1765],
    ['oz', 'mass', 28.34952],
    ['lb', 'mass', 453.5924],
    // 1.198 264 E+02 kg/m³.
    ['lb/gal', 'density', 0.1198264],
  ])('1 %s of %s', (unit, measure, figure) => {
    expect(toNumber(toRecord(one, measure, unit)).toPrecision(7)).toBe(figure.toPrecision(7))
  })
})

it('every unit can be typed by every name that it has, and is read exactly', () => {
  for (const [measure, units] of Object.entries(unitTable) as [Measure, (typeof unitTable)[Measure]][]) {
    for (const unit of units) {
      for (const name of [unit.shown, ...unit.names]) {
        const read = parseQuantity(`12.5 ${name}`, measure, 'metric')
        expect(read, `${name} of ${measure}`).toMatchObject({ ok: true, unit: unit.shown })
        const value = toRecord(fromNumber(12.5), measure, unit.shown)
        expect(read.ok && equal(fromNumber(read.value), fromNumber(toNumber(value)))).toBe(true)
      }
    }
  }
})
