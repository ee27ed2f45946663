import type { CheckReport } from '../../../../shared-core/records/check.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { sayDay, sayNumber } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'

/** "26 November 2026, 18:04", in the user's own way; local time. */
export function sayMoment(at: string, settings: Settings): string {
  const time = new Date(at)
  const local = new Date(time.getTime() - time.getTimezoneOffset() * 60_000).toISOString()
  return `${sayDay(local)}, ${sayTime(at, settings)}`
}

/** "Everything is whole: 61 panels, 124 photos, looked through on …" */
export function reportInWords({ headline, checkedAt, isWhole }: CheckReport, settings: Settings): string {
  if (checkedAt === null) return `${headline}.`
  return isWhole
    ? `${headline}, looked through on ${sayMoment(checkedAt, settings)}.`
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
