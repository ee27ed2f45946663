import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { rm, stat } from 'node:fs/promises'
import Database from 'better-sqlite3'
import { copyOwn } from '../disk/copy-own.ts'
import { damagedRack } from '../refusals.ts'
import { databaseOf } from './examine.ts'
import { type Breaks, breaksIn } from './integrity.ts'

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
  let found: Settled = 'moving'
  for (let attempt = 0; attempt < tries; attempt++) {
    signal?.throwIfAborted()
    if (attempt > 0) await new Promise((resolve) => setTimeout(resolve, restMs))
    found = await tryOnce(folder, target)
    if (found === 'ok') return
    await drop(target)
  }
  throw found === 'moving'
    ? damagedRack(folder, 'somebody writes to it all the time')
    : damagedRack(folder, found.words, found.told)
}

type Settled = 'ok' | 'moving' | Breaks

const drop = async (target: string): Promise<void> => {
  for (const tail of ['', '-wal', '-shm', '-journal']) await rm(target + tail, { force: true })
}

async function tryOnce(folder: string, target: string): Promise<Settled> {
  const path = databaseOf(folder)
  const before = await markOf(path)
  const log = await hashOf(`${path}-wal`)
  if (log !== null) await copyOwn(`${path}-wal`, `${target}-wal`)
  await copyOwn(path, target)
  // of the copied log, too: it may have moved between being read twice
  const still = (await hashOf(`${path}-wal`)) === log && (log === null || (await hashOf(`${target}-wal`)) === log)
  if (!still || (log === null && (await markOf(path)) !== before)) return 'moving'
  return settle(target)
}

/** Brings the copied log into the copy and looks it through. */
function settle(target: string): Settled {
  let raw: Database.Database | undefined
  try {
    raw = new Database(target)
    raw.pragma('journal_mode = DELETE')
    return breaksIn(raw, 'quick_check') ?? 'ok'
  } catch (error) {
    const { code = '', message } = error as { code?: string; message: string }
    if (!code.startsWith('SQLITE_CORRUPT') && code !== 'SQLITE_NOTADB') throw error
    return { words: 'its database cannot be read', told: `${code}: ${message}` }
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
