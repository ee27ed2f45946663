import type { Settings } from '../../shared-core/records/settings.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'
import { sayNumber } from './say-numbers.ts'

/** dE00 of unseen patches up to which a calibration is called good, and usable. A judgement of ours, no source. */
const goodUpTo = 1.5
const usableUpTo = 2.5

type Residual = SetupFit['residual']

/** One word for how good a calibration is. */
export function howGood({ median }: Residual): 'good' | 'usable' | 'weak' {
  if (median <= goodUpTo) return 'good'
  return median <= usableUpTo ? 'usable' : 'weak'
}

/** "Usable: half of the patches that it had not seen were off by less than 1.8, nine of ten by less than 3.9 (dE00)." */
export function residualInWords(residual: Residual, settings: Pick<Settings, 'decimal'>): string {
  const word = howGood(residual)
  const [half, most] = [residual.median, residual.p90].map((value) => sayNumber(value, 1, settings))
  return `${word[0]!.toUpperCase()}${word.slice(1)}: half of the patches that it had not seen were off by less than ${half}, nine of ten by less than ${most} (dE00).`
}
