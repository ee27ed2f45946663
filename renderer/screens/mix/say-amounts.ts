import { useShallow } from 'zustand/react/shallow'
import { type Rational, toNumber } from '../../../shared-core/mix/rational.ts'
import {
  type Decimal,
  formatNumber,
  formatQuantity,
  formatShort,
  type UnitSystem,
} from '../../../shared-core/mix/units.ts'
import type { CupMeasure } from '../../../shared-core/records/cup.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { decimalSign, usesUsUnits } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'

/** How amounts are written for this user. */
export type Wording = { system: UnitSystem; decimal: Decimal }

export const wordingOf = (settings: Settings): Wording => ({
  system: usesUsUnits(settings) ? 'us' : 'metric',
  decimal: decimalSign(settings),
})

export const useWording = (): Wording => useStore(useShallow((s) => wordingOf(s.settings)))

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

/** "= 1.02 oz" for who works in ounces; empty where the scale's own unit is the user's. */
export const inOunces = (amount: number, unit: 'g' | 'mL', { system, decimal }: Wording): string =>
  system === 'us' && amount > 0 ? formatQuantity(amount, unit === 'g' ? 'mass' : 'volume', 'us', decimal) : ''

/** "9:05", "1:20:00": what is left of a clock. */
export function sayClock(seconds: number): string {
  const two = (value: number) => String(value).padStart(2, '0')
  const hours = Math.floor(seconds / 3600)
  const minutes = Math.floor(seconds / 60) % 60
  return hours > 0 ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`
}
