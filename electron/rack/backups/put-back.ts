import { createHash, randomUUID } from 'node:crypto'
import { mkdir, open, rename, rm, stat } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { copyOwn } from '../disk/copy-own.ts'
import { syncFile, syncFolder } from '../disk/durable.ts'
import { withRetries } from '../disk/with-retries.ts'
import { migrations } from '../migrations/list.ts'
import { takeLock } from '../opening/lock.ts'
import { backUpFile } from './backup.ts'
import { backupName, backupsOf, damagedWhy } from './facts.ts'
import { proveBackup } from './prove.ts'
import { backupDamaged, backupNewer } from './refusals.ts'
import { finish, incoming, noteRestoring, sweepUnnoted } from './settle.ts'
import type { Asking } from './worker/ask.ts'

export type PuttingBack = Asking & {
  /** What is being done, in words. */
  onStage?: (stage: string) => void
  /** Leaves word for whoever opens the rack next (`readRestored`). */
  followUp?: boolean
  /** Told before each step: for tests of what a crash leaves behind. */
  at?: (step: string) => void | Promise<void>
}

/**
 * Puts a backup in the place of a rack's database. The rack is closed; photos are not touched. What was there is set aside
 * first: as a proven backup where it can be read, otherwise as it is. Whatever ends this, there is the old rack or
 * the new one: what comes after is written down before it begins (`settlePutBack`).
 * @param file  its name in the folder of backups
 * @returns the name under which the former records are kept; null where there were none
 * @throws Refusal `backup/absent`, `backup/damaged`, `backup/newer`, `rack/locked`; the signal's reason until the backup is put in
 *   place; nothing was changed then
 */
export async function putBack(
  folder: string,
  file: string,
  { signal, onProgress, onStage, followUp = false, at }: PuttingBack = {},
): Promise<{ setAside: string | null }> {
  const lock = await takeLock(folder)
  try {
    await sweepUnnoted(folder)
    onStage?.('looking through the backup')
    const backup = join(backupsOf(folder), basename(file))
    const facts = await proveBackup(backup)
    if (facts.version > migrations.length) throw backupNewer(file, facts.version, migrations.length)
    signal?.throwIfAborted()

    onStage?.('copying the backup')
    await at?.('copy')
    const waiting = incoming(folder)
    await copyOwn(backup, waiting)
    await syncFile(waiting)
    if ((await sha256Of(waiting)) !== facts.sha256) throw backupDamaged(file, 'it could not be copied')
    signal?.throwIfAborted()

    onStage?.('setting the present records aside')
    await at?.('set-aside')
    const setAside = await setAsideRecords(folder, { ...(signal && { signal }), ...(onProgress && { onProgress }) })
    signal?.throwIfAborted()

    onStage?.('putting the backup in place')
    await at?.('note')
    await noteRestoring(folder, { backup: basename(file), setAside, followUp })
    await finish(folder, at)
    return { setAside }
  } catch (error) {
    // before it was noted, nothing has been changed; after, the next opening goes on
    await sweepUnnoted(folder).catch(() => undefined)
    throw error
  } finally {
    await lock.release()
  }
}

/** @returns the name in the folder of backups; null where there is no database */
async function setAsideRecords(folder: string, asking: Asking): Promise<string | null> {
  const database = join(folder, 'rack.sqlite')
  if (!(await stat(database).catch(() => null))) return null
  try {
    return basename((await backUpFile(folder, 'before-restore', asking)).path)
  } catch (error) {
    if (asking.signal?.aborted || isAboutTheDrive(error)) throw error
    return copyAsItIs(folder, database)
  }
}

/** No room, or no right to write: then what is there is not at fault. */
const isAboutTheDrive = (error: unknown): boolean => {
  const { code } = error as { code?: unknown }
  return typeof code === 'string' && driveCodes.has(code)
}
const driveCodes = new Set(['ENOSPC', 'EDQUOT', 'SQLITE_FULL', 'EACCES', 'EPERM', 'EROFS'])

/** What cannot be read is kept as it is, with its log, for somebody who knows how to mend it. */
async function copyAsItIs(folder: string, database: string): Promise<string> {
  const backups = backupsOf(folder)
  await mkdir(backups, { recursive: true })
  const at = new Date()
  let name = backupName(at, damagedWhy)
  for (let turn = 2; await stat(join(backups, name)).catch(() => null); turn++) name = backupName(at, damagedWhy, turn)
  for (const tail of ['-wal', '-journal', '']) {
    if (!(await stat(database + tail).catch(() => null))) continue
    const temporary = join(backups, `.${randomUUID()}.part`)
    try {
      await copyOwn(database + tail, temporary)
      await syncFile(temporary)
      await withRetries(() => rename(temporary, join(backups, name + tail)))
    } finally {
      await rm(temporary, { force: true })
    }
  }
  await syncFolder(backups)
  return name
}

async function sha256Of(path: string): Promise<string> {
  const hash = createHash('sha256')
  const handle = await open(path, 'r')
  try {
    for await (const piece of handle.createReadStream({ highWaterMark: 1 << 20, autoClose: false })) hash.update(piece)
  } finally {
    await handle.close()
  }
  return hash.digest('hex')
}
