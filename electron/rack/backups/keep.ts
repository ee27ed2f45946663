import type { Backup } from '../../../shared-core/records/backup.ts'

/**
 * Which backups stay: of those made each day the newest of each of the last 7 days, 4 weeks and 12 months that have any, as the
 * calendar on the wall counts them (local days, ISO 8601 weeks). Days without a backup take no place, so that neither a
 * holiday nor a clock that jumps ahead empties the folder.
 *
 * Beside that: the last 12 made by hand, the last 6 from before a newer form, the last 6 from before a restore, a merge or a
 * repair and all of those from two weeks, the last 3 copies of records that could not be read and all of those from a
 * month, and whatever a person put there.
 *
 * Never removed: the newest whole one; any while none is whole; any from after `now`, which may be the wrong one of the two.
 * A damaged one holds no place, and stays for a month after a newer whole one was made, to be seen.
 * @returns names of files
 */
export function whichToKeep(backups: readonly Dated[], now: Date): Set<string> {
  const kept = new Set<string>()
  const past: Dated[] = []
  for (const backup of backups.toSorted((a, b) => (a.madeAt < b.madeAt ? 1 : a.madeAt > b.madeAt ? -1 : 0))) {
    const at = Date.parse(backup.madeAt)
    if (Number.isNaN(at) || at > now.getTime() || backup.kind === 'other') kept.add(backup.file)
    else past.push(backup)
  }
  const sound = past.filter(({ state }) => state !== 'damaged')
  const [newest] = sound
  if (!newest) return new Set(backups.map(({ file }) => file))
  kept.add(newest.file)
  const keep = (some: readonly Dated[]) => some.forEach(({ file }) => kept.add(file))
  const within = (days: number, of: Date) => (backup: Dated) =>
    of.getTime() - Date.parse(backup.madeAt) <= days * 24 * 60 * 60 * 1000

  const daily = sound.filter(({ kind }) => kind === 'daily')
  keep(newestOfEach(daily, localDay, 7))
  keep(newestOfEach(daily, isoWeek, 4))
  keep(newestOfEach(daily, localMonth, 12))
  keep(sound.filter(({ kind }) => kind === 'by-hand').slice(0, 12))
  keep(sound.filter(({ kind }) => kind === 'before-migration').slice(0, 6))
  const before = sound.filter(({ kind }) => kind === 'before-change')
  keep([...before.slice(0, 6), ...before.filter(within(14, now))])
  const aside = past.filter(({ kind }) => kind === 'set-aside')
  keep([...aside.slice(0, 3), ...aside.filter(within(30, now))])
  const harmed = past.filter(({ kind, state }) => state === 'damaged' && kind !== 'set-aside')
  keep(harmed.filter(within(30, new Date(newest.madeAt))))
  return kept
}

export type Dated = Pick<Backup, 'file' | 'madeAt' | 'kind' | 'state'>

/** @param newestFirst  of one kind */
function newestOfEach(newestFirst: readonly Dated[], period: (at: Date) => string, count: number): Dated[] {
  const first = new Map<string, Dated>()
  for (const backup of newestFirst) {
    const name = period(new Date(backup.madeAt))
    if (!first.has(name)) first.set(name, backup)
  }
  return [...first.values()].slice(0, count)
}

const two = (n: number) => String(n).padStart(2, '0')

/** As the clock on the wall says; two backups an hour apart in the night when clocks change share it or not as dates do. */
export const localDay = (at: Date): string => `${localMonth(at)}-${two(at.getDate())}`
const localMonth = (at: Date): string => `${at.getFullYear()}-${two(at.getMonth() + 1)}`

/** ISO 8601, 3.1.1.23: weeks begin on Monday and belong to the year of their Thursday. */
export function isoWeek(at: Date): string {
  // reckoned in days without hours, which no change of clocks touches
  const day = new Date(Date.UTC(at.getFullYear(), at.getMonth(), at.getDate()))
  day.setUTCDate(day.getUTCDate() + 4 - (day.getUTCDay() || 7))
  const yearBegan = Date.UTC(day.getUTCFullYear(), 0, 1)
  return `${day.getUTCFullYear()}-W${two(Math.ceil(((day.getTime() - yearBegan) / 86_400_000 + 1) / 7))}`
}
