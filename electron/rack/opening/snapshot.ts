import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { copyFile, rm, stat } from 'node:fs/promises'
import Database from 'better-sqlite3'
import { damagedRack } from '../refusals.ts'
import { databaseOf } from './examine.ts'

/** How often a copy is tried while somebody else writes, and the wait between, in which a change is over. */
const tries = 6
const restMs = 400

/**
 * Copies a rack's database, with what still lies in its log, into one file, without writing beside the original: SQLite itself
 * would. A copy taken while somebody wrote may be torn. The log is copied before the database and looked at again after it: when
 * it has not moved, whatever was being carried from it into the database meanwhile stands in the copied log, too, and replaying
 * that puts it right. Without a log nobody was writing, or the times differ. At last the copy is looked through.
 * @throws Refusal `rack/damaged` when no copy was whole
 */
export async function copyDatabase(folder: string, target: string, signal?: AbortSignal): Promise<void> {
  let found = ''
  for (let attempt = 0; attempt < tries; attempt++) {
    signal?.throwIfAborted()
    if (attempt > 0) await new Promise((resolve) => setTimeout(resolve, restMs))
    found = await tryOnce(folder, target)
    if (found === 'ok') return
    await drop(target)
  }
  throw damagedRack(
    folder,
    found === 'moving' ? 'somebody writes to it all the time' : `its database is not whole (${found})`,
  )
}

const drop = async (target: string): Promise<void> => {
  for (const tail of ['', '-wal', '-shm', '-journal']) await rm(target + tail, { force: true })
}

async function tryOnce(folder: string, target: string): Promise<string> {
  const path = databaseOf(folder)
  const before = await markOf(path)
  const log = await hashOf(`${path}-wal`)
  if (log !== null) await copyFile(`${path}-wal`, `${target}-wal`)
  await copyFile(path, target)
  // of the copied log, too: it may have moved between being read twice
  const still = (await hashOf(`${path}-wal`)) === log && (log === null || (await hashOf(`${target}-wal`)) === log)
  if (!still || (log === null && (await markOf(path)) !== before)) return 'moving'
  return settle(target)
}

/** Brings the copied log into the copy and looks it through. */
function settle(target: string): string {
  let raw: Database.Database | undefined
  try {
    raw = new Database(target)
    raw.pragma('journal_mode = DELETE')
    return String(raw.pragma('quick_check(1)', { simple: true }))
  } catch (error) {
    const code = (error as { code?: string }).code ?? ''
    if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB') return 'it cannot be read'
    throw error
  } finally {
    raw?.close()
  }
}

async function markOf(path: string): Promise<string> {
  const { dev, ino, size, mtimeNs } = await stat(path, { bigint: true })
  return `${dev} ${ino} ${size} ${mtimeNs}`
}

async function hashOf(path: string): Promise<string | null> {
  const hash = createHash('sha256')
  try {
    for await (const chunk of createReadStream(path)) hash.update(chunk as Buffer)
    return hash.digest('hex')
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return null
    throw error
  }
}
