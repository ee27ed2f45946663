import type { Settings } from '../../shared-core/records/settings.ts'

/** Numbers with the certainty they have, in the user's decimal sign. */
export function decimalSign(settings: Pick<Settings, 'decimal'>): 'comma' | 'point' {
  if (settings.decimal !== 'system') return settings.decimal
  return (1.5).toLocaleString().includes(',') ? 'comma' : 'point'
}

/** @param digits after the sign; a true minus sign is written */
export function sayNumber(value: number, digits: number, settings: Pick<Settings, 'decimal'>): string {
  const text = (Object.is(Math.round(value * 10 ** digits), -0) ? 0 : value).toFixed(digits).replace('-', '−')
  return decimalSign(settings) === 'comma' ? text.replace('.', ',') : text
}

/** A bound in dE00: from ten on, a tenth of it says nothing. */
export function sayBound(bound90: number, settings: Pick<Settings, 'decimal'>): string {
  return sayNumber(bound90, bound90 < 9.95 ? 1 : 0, settings)
}

/** Whether amounts are shown in US units. */
export function usesUsUnits(settings: Pick<Settings, 'units'>): boolean {
  if (settings.units !== 'system') return settings.units === 'us'
  return typeof navigator !== 'undefined' && /^en-(US|LR)$/.test(navigator.language)
}

/** "3 June 2026" in the user's own order. */
export function sayDay(day: string): string {
  // a moment falls on the day that it is here then
  return new Date(day.length > 10 ? day : `${day}T12:00:00`).toLocaleDateString(undefined, {
    day: 'numeric',
    month: 'long',
    year: 'numeric',
  })
}

/** A count as it is read at a glance: from five figures on, thousands stand apart. Neither comma nor point: those are decimals. */
export const countInWords = (count: number): string =>
  count < 10_000 ? String(count) : String(count).replaceAll(/\B(?=(?:\d{3})+$)/g, '\u202f')
