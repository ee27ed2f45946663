import { randomUUID } from 'node:crypto'
import { mkdir, rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import type { Kysely } from 'kysely'
import type { BackupFacts } from '../../../shared-core/records/backup.ts'
import { syncFile, syncFolder } from '../disk/durable.ts'
import { withRetries } from '../disk/with-retries.ts'
import type { Tables } from '../tables.ts'
import { backupName, backupsOf, factsPath, writeFacts } from './facts.ts'
import { noteCompared } from './list.ts'
import { sourceDamaged } from './refusals.ts'
import { type Asking, askWorker, NotWhole } from './worker/ask.ts'

/**
 * Copies the database into the rack's `backups` and proves the copy before it gets its name: SQLite's own look through all of it,
 * no row without the one it refers to, and as many rows in each table as the rack had at that moment. A small file beside
 * it says its checksum, so that a byte turned later is found. The photos need no copy here: originals are never changed.
 * @param why  stands in the file's name: `daily`, `by-hand`, `before-6` (a migration), `before-restore`, `-merge`, `-repair`
 * @returns the backup's path
 * @throws Refusal `rack/damaged` where the rack itself is; the signal's reason; then none is left behind
 */
export async function backUp(db: Kysely<Tables>, folder: string, why: string, asking: Asking = {}): Promise<string> {
  const { revision } = await db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
  const { path, facts } = await backUpFile(folder, why, asking)
  // what was acknowledged before is in it
  if (facts.revision < revision) throw new Error(`The backup ${path} stops at change ${facts.revision} of ${revision}`)
  return path
}

/** As `backUp`, from the file alone: of a rack that is not open. */
export async function backUpFile(
  folder: string,
  why: string,
  asking: Asking = {},
): Promise<{ path: string; facts: BackupFacts }> {
  const backups = backupsOf(folder)
  await mkdir(backups, { recursive: true })
  const temporary = join(backups, `.${randomUUID()}.part`)
  try {
    const proven = await askWorker('copy', { from: join(folder, 'rack.sqlite'), to: temporary }, asking).catch(
      asRefusal,
    )
    await syncFile(temporary)
    const at = new Date()
    const path = await freeName(backups, at, why)
    const facts: BackupFacts = { ...proven, why, madeAt: at.toISOString() }
    // a backup never stands there without what is known of it
    await writeFacts(path, facts)
    await withRetries(() => rename(temporary, path)).catch(async (error: unknown) => {
      await rm(factsPath(path), { force: true })
      throw error
    })
    await syncFolder(backups)
    await noteCompared(path, facts)
    return { path, facts }
  } finally {
    for (const tail of ['', '-journal', '-wal', '-shm']) await rm(temporary + tail, { force: true })
  }
}

function asRefusal(error: unknown): never {
  throw error instanceof NotWhole ? sourceDamaged(error.message) : error
}

async function freeName(backups: string, at: Date, why: string): Promise<string> {
  for (let turn = 1; ; turn++) {
    const path = join(backups, backupName(at, why, turn))
    if (!(await stat(path).catch(() => null))) return path
  }
}
