import { join } from 'node:path'
import { type Kysely, sql } from 'kysely'
import type { Tables } from '../tables.ts'
import { backupsOf } from './facts.ts'
import { askWorker } from './worker/ask.ts'
import type { CarriedOver } from './worker/tasks.ts'

/** What the records that were set aside say; null where they cannot be read. @param setAside  a name in the folder of backups */
export async function readSetAside(folder: string, setAside: string): Promise<CarriedOver | null> {
  return askWorker('carriedOver', { path: join(backupsOf(folder), setAside) }).catch(() => null)
}

/**
 * Carries over what must not go back with the records: codes that were given stay given, for they stand on labels; the count of
 * changes goes on, so that nobody takes an old answer for a new one; the rack stays itself, also when the backup is from
 * before racks had a name of their own.
 * @param knewItself  the backup said which rack it is of
 * @returns whether the rack has another name of its own now than it was opened with
 */
export async function carryOver(db: Kysely<Tables>, from: CarriedOver, knewItself: boolean): Promise<boolean> {
  const isRenamed = !knewItself && from.rackId !== ''
  await db
    .updateTable('rack_info')
    .set((e) => ({
      revision: sql<number>`max(${e.ref('revision')}, ${from.revision}) + 1`,
      next_code: sql<number>`max(${e.ref('next_code')}, ${from.nextCode})`,
      next_cup: sql<number>`max(${e.ref('next_cup')}, ${from.nextCup})`,
      next_job: sql<number>`max(${e.ref('next_job')}, ${from.nextJob})`,
      ...(isRenamed ? { rack_id: from.rackId } : {}),
    }))
    .execute()
  return isRenamed
}
