import type { CheckReport } from '../../../../shared-core/records/check.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { sayMoment } from '../../../parts/say-moments.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'

/** "Everything was whole: 61 panels, 124 photos, when it was looked through on …" */
export function reportInWords({ headline, checkedAt, isWhole }: CheckReport, settings: Settings): string {
  if (checkedAt === null) return `${headline}.`
  return isWhole
    ? `${headline}, when it was looked through on ${sayMoment(checkedAt, settings)}.`
    : `${headline}. Looked through on ${sayMoment(checkedAt, settings)}.`
}

const units = ['bytes', 'kB', 'MB', 'GB', 'TB']

/** "3.4 MB", in thousands, as drives are sold. */
export function saySize(byteCount: number, settings: Settings): string {
  let size = byteCount
  let unit = 0
  while (size >= 1000 && unit < units.length - 1) {
    size /= 1000
    unit++
  }
  return `${sayNumber(size, size >= 100 || unit === 0 ? 0 : 1, settings)} ${units[unit]}`
}

export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
