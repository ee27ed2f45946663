import type { Backup, BackupState, RackCounts, SecondPlace, Touched } from '../../../../shared-core/records/backup.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { countInWords, sayDay, sayNumber } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'

/** What stands on the screen about backups. */

const localDate = (at: Date): string =>
  `${at.getFullYear()}-${String(at.getMonth() + 1).padStart(2, '0')}-${String(at.getDate()).padStart(2, '0')}`
const dayOf = (at: Date): string => `${at.getFullYear()}-${at.getMonth()}-${at.getDate()}`

/** "today 07:12", "yesterday 18:00", "Tue 3 May, 18:00", of another year "3 May 2030, 18:00"; local time. */
export function sayWhen(at: string, settings: Settings, now: Date): string {
  const then = new Date(at)
  const time = sayTime(at, settings)
  const yesterday = new Date(now.getFullYear(), now.getMonth(), now.getDate() - 1)
  if (dayOf(then) === dayOf(now)) return `today ${time}`
  if (dayOf(then) === dayOf(yesterday)) return `yesterday ${time}`
  if (then.getFullYear() !== now.getFullYear()) return `${sayDay(localDate(then))}, ${time}`
  const day = then.toLocaleDateString(undefined, { weekday: 'short', day: 'numeric', month: 'short' })
  return `${day}, ${time}`
}

export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${countInWords(count)} ${count === 1 ? one : many}`

export const countsInWords = ({ panels, readings, photos }: RackCounts): string =>
  `${counted(panels, 'panel')}, ${counted(readings, 'reading')}, ${counted(photos, 'photo')}`

export function whyInWords({ kind, why }: Pick<Backup, 'kind' | 'why'>): string {
  switch (kind) {
    case 'daily':
      return 'made by itself'
    case 'by-hand':
      return 'made by hand'
    case 'before-migration':
      return 'before an update changed how records are kept'
    case 'before-change':
      if (why === 'before-merge') return 'before another rack was taken in'
      return why === 'before-repair' ? 'before a repair' : 'before going back to a backup'
    case 'set-aside':
      return 'records that could not be read, kept as they were'
    case 'other':
      return why === 'kept-here' ? 'kept when another program replaced the records' : 'put there by somebody'
  }
}

export function bytesInWords(bytes: number, settings: Settings): string {
  if (bytes < 1e6) return `${Math.max(1, Math.round(bytes / 1e3))} kB`
  if (bytes < 1e9) return `${sayNumber(bytes / 1e6, bytes < 1e7 ? 1 : 0, settings)} MB`
  return `${sayNumber(bytes / 1e9, 1, settings)} GB`
}

/** What is safe, in one sentence. */
export function safeInWords({ last }: BackupState, settings: Settings, now: Date): string {
  if (!last?.facts) return 'There is no backup of this rack yet.'
  return `The last whole backup is from ${sayWhen(last.madeAt, settings, now)}: ${countsInWords(last.facts.counts)}.`
}

/** Whether anything stands only in the rack itself. */
export const sinceInWords = ({ last, changedSince }: BackupState): string =>
  last === null
    ? changedSince
      ? 'One is made by itself within minutes, and then once a day when something was changed.'
      : 'One is made by itself once there is something to keep.'
    : changedSince
      ? 'Something was changed since: the next one is made by itself, tomorrow at the latest.'
      : 'Nothing was changed since.'

export function secondInWords(second: SecondPlace, settings: Settings, now: Date): string {
  const when = second.wholeAt === null ? null : sayWhen(second.wholeAt, settings, now)
  const held = `${counted(second.photos, 'file')}, ${bytesInWords(second.byteCount, settings)}`
  switch (second.state) {
    case 'never':
      return 'Nothing is there yet: copying is on its way.'
    case 'whole':
      return `Everything was there ${when}: ${held} beside the records.`
    case 'behind':
      return `Everything was there ${when}; what came since is copied within the hour.`
    case 'absent':
    case 'failed':
      return when === null ? 'Not everything has been there yet.' : `Everything was there ${when}.`
  }
}

/** Where everything lies a second time, in half a sentence; null where that is told as a caution. */
export function secondInShort(second: SecondPlace | null, settings: Settings, now: Date): string | null {
  if (!second || second.wholeAt === null) return null
  const when = sayWhen(second.wholeAt, settings, now)
  if (second.state === 'absent')
    return `A second copy, complete ${when}, lies in ${second.folder}, which is not there now.`
  return `A second copy of all of it, photos included, lies in ${second.folder}: complete ${when}.`
}

/** "3 panels: P-0007 Dusk plum, P-0012, … and 2 more". */
export function touchedInWords({ count, first }: Touched): string {
  const named = first.map(({ code, title }) => (title === '' ? code : `${code} ${title}`)).join(', ')
  return count > first.length ? `${named} and ${countInWords(count - first.length)} more` : named
}
