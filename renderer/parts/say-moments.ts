import type { Settings } from '../../shared-core/records/settings.ts'
import { sayDay } from './say-numbers.ts'
import { sayTime } from './say-time.ts'

/** "26 November 2026, 18:04", in the user's own way; local time. @param at ISO 8601 */
export function sayMoment(at: string, settings: Settings): string {
  const time = new Date(at)
  const local = new Date(time.getTime() - time.getTimezoneOffset() * 60_000).toISOString()
  return `${sayDay(local)}, ${sayTime(at, settings)}`
}

const moment = /\b\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z/g

/** A text of the service, whose moments stand in it as ISO 8601: it does not know how this screen says them. */
export const sayMoments = (text: string, settings: Settings): string =>
  text.replaceAll(moment, (at) => sayMoment(at, settings))
