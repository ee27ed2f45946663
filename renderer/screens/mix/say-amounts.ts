import { useShallow } from 'zustand/react/shallow'
import type { Decimal, UnitSystem } from '../../../shared-core/mix/units.ts'
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

/** "9:05", "1:20:00": what is left of a clock. */
export function sayClock(seconds: number): string {
  const two = (value: number) => String(value).padStart(2, '0')
  const hours = Math.floor(seconds / 3600)
  const minutes = Math.floor(seconds / 60) % 60
  return hours > 0 ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`
}
