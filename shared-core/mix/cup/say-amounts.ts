import type { CupMeasure } from '../../records/cup.ts'
import { type Rational, toNumber } from '../rational.ts'
import { type Decimal, formatNumber, formatQuantity, formatShort, type UnitSystem } from '../units.ts'

/** Decimals that a step of the scale or cup tells: 0.1 g has one. */
const digitsOf = (step: number): number => (String(step).split('.')[1] ?? '').length

/** As the scale or cup shows it; an amount that lies between two steps is given more exactly. */
export function sayStep(amount: Rational | number, step: number, decimal: Decimal): string {
  const value = typeof amount === 'number' ? amount : toNumber(amount)
  const digits = digitsOf(step)
  const onStep = Math.abs(value - Number(value.toFixed(digits))) < 1e-9
  return onStep ? formatNumber(value, digits, decimal) : formatShort(value, digits + 2, decimal)
}

/** What was asked for, as far as the scale, the cup or its dropper can tell. */
export const sayAsked = (amount: number, { step, dropMl }: CupMeasure, decimal: Decimal): string =>
  formatNumber(amount, digitsOf(Math.min(step, dropMl ?? step)), decimal)

/** "1.02 oz" for who works in ounces; empty where the scale's own unit is the user's. */
export const inOunces = (
  amount: number,
  unit: 'g' | 'mL',
  { system, decimal }: { system: UnitSystem; decimal: Decimal },
): string =>
  system === 'us' && amount > 0 ? formatQuantity(amount, unit === 'g' ? 'mass' : 'volume', 'us', decimal) : ''
