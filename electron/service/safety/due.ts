import type { Backup } from '../../../shared-core/records/backup.ts'
import { localDay } from '../../rack/backups/keep.ts'

const hourMs = 60 * 60 * 1000
const overdueMs = 72 * hourMs
/** A clock that is set right by minutes makes no backup one of the future. */
const settingMs = hourMs / 4

/** The rack as it is. */
export type Standing = { rackId: string; revision: number; isEmpty: boolean; createdAt: string }

/** The newest backup that says of this rack what it holds. @param backups  newest first */
export const lastOf = (backups: readonly Backup[], rackId: string): Backup | null =>
  backups.find(
    ({ state, facts }) => state !== 'damaged' && facts !== null && (facts.rackId === rackId || facts.rackId === ''),
  ) ?? null

export const changedSince = (last: Backup | null, { revision, isEmpty }: Standing): boolean =>
  last ? last.facts?.revision !== revision : !isEmpty

/**
 * Whether today's backup is to be made: something was changed, and there is none of today, or it is a day old. One from after
 * `now` is of no day that is known, and keeps none from being made.
 */
export function isDue(backups: readonly Backup[], rack: Standing, now: Date): boolean {
  const past = backups.filter(({ madeAt }) => Date.parse(madeAt) <= now.getTime() + settingMs)
  const last = lastOf(past, rack.rackId)
  if (!changedSince(last, rack)) return false
  // what came back after the clock had been ahead may be the same as the one made then
  const newest = lastOf(backups, rack.rackId)
  if (newest && newest !== last && !changedSince(newest, rack)) return false
  if (!last) return true
  const at = new Date(last.madeAt)
  return localDay(at) !== localDay(now) || now.getTime() - at.getTime() >= 24 * hourMs
}

/** No backup for three days, although something was changed. */
export function isOverdue(last: Backup | null, rack: Standing, now: Date): boolean {
  if (!changedSince(last, rack)) return false
  return now.getTime() - Date.parse(last ? last.madeAt : rack.createdAt) > overdueMs
}
