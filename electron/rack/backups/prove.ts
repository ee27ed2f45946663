import { stat } from 'node:fs/promises'
import { basename } from 'node:path'
import type { BackupFacts } from '../../../shared-core/records/backup.ts'
import { readFacts, readName } from './facts.ts'
import { backupAbsent, backupDamaged } from './refusals.ts'
import { askWorker, NotWhole } from './worker/ask.ts'

/**
 * Looks through a backup from end to end: its bytes are those that were proven when it was made, and it is a whole rack's
 * database. One from before such facts were kept is looked through all the same.
 * @param isStrange  it may come from anybody: its schema has to be what our own steps make
 * @returns what it holds
 * @throws Refusal `backup/absent`, `backup/damaged`
 */
export async function proveBackup(path: string, isStrange = false): Promise<BackupFacts> {
  const file = basename(path)
  const found = await stat(path).catch(() => null)
  if (!found?.isFile()) throw backupAbsent(file)
  const facts = await readFacts(path)
  try {
    const proven = await askWorker('prove', { path, sha256: facts?.sha256 ?? null, isStrange })
    const named = readName(file)
    return (
      facts ?? { ...proven, why: named?.why ?? 'other', madeAt: named?.madeAt ?? new Date(found.mtimeMs).toISOString() }
    )
  } catch (error) {
    if (error instanceof NotWhole) throw backupDamaged(file, error.message)
    throw unreadable(error) ? backupDamaged(file, 'the disk does not give it back') : error
  }
}

/** The drive itself cannot read it. */
const unreadable = (error: unknown): boolean => (error as { code?: unknown }).code === 'EIO'
