import type { Lab } from '../../shared-core/colour/lab.ts'
import type { Settings } from '../../shared-core/records/settings.ts'
import { decimalSign, sayNumber } from './say-numbers.ts'

/** "55.3, −30.1, −7.7"; with a decimal comma the three are kept apart by semicolons. */
export function labFigures({ l, a, b }: Lab, settings: Pick<Settings, 'decimal'>): string {
  return [l, a, b].map((v) => sayNumber(v, 1, settings)).join(decimalSign(settings) === 'comma' ? '; ' : ', ')
}
