import { constants } from 'node:fs'
import { access, mkdir, readdir, rename, rm, stat } from 'node:fs/promises'
import { dirname, isAbsolute, join } from 'node:path'
import Database from 'better-sqlite3'
import { Kysely, SqliteDialect } from 'kysely'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { backUp } from './backup.ts'
import { type Changing, type Done, performChange, travel, type What } from './change.ts'
import { makeFolder, sweepHalfDone, syncFile, syncFolder } from './durable.ts'
import { applicationId, readHeader } from './header.ts'
import { type Lock, takeLock } from './lock.ts'
import { type Migration, migrate } from './migrate.ts'
import { migrations } from './migrations/list.ts'
import {
  alreadyARack,
  damagedRack,
  folderAbsent,
  folderNotEmpty,
  newerRack,
  notARack,
  readOnlyRack,
  refusalFrom,
} from './refusals.ts'
import type { Tables } from './tables.ts'

/** An open rack. Reading goes through `db` or `read`, every change through `change`. */
export type Rack = {
  readonly folder: string
  readonly db: Kysely<Tables>
  /** Several queries that see one state. In `work` use only what it is given. */
  read<T>(work: (db: Kysely<Tables>) => Promise<T>): Promise<T>
  change<T>(what: What, work: (change: Changing) => Promise<T>): Promise<T>
  undo(): Promise<Done>
  redo(): Promise<Done>
  /** Empties the history; what is there stays. For a rack that was filled by a program. */
  forgetHistory(): Promise<void>
  backUp(why: string): Promise<string>
  close(): Promise<void>
}

export type Options = {
  /** Who works here, asked at each change. */
  who?: () => string
  /** Told after every change that was kept. */
  onChanged?: (revision: number) => void
  /** Other steps than the application's own: for tests of migrating. */
  migrations?: readonly Migration[]
}

const databaseOf = (folder: string): string => join(folder, 'rack.sqlite')

export function sqliteVersion(): string {
  const memory = new Database(':memory:')
  try {
    return String(memory.prepare('select sqlite_version()').pluck().get())
  } finally {
    memory.close()
  }
}

/**
 * Opens the rack in a folder. Whether it is one, and not a newer one, is found out before a byte is written.
 * @throws Refusal `rack/folder-absent`, `rack/not-a-rack`, `rack/newer`, `rack/read-only`, `rack/damaged`, `rack/locked`
 */
export async function openRack(folder: string, options: Options = {}): Promise<Rack> {
  const steps = options.migrations ?? migrations
  return refusing(folder, async () => {
    await examine(folder, steps.length)
    await mustBeWritable(folder)
    const lock = await takeLock(folder)
    let db: Kysely<Tables> | undefined
    try {
      for (const name of ['photos', 'renditions', 'backups']) await mkdir(join(folder, name), { recursive: true })
      for (const name of ['photos', 'backups']) await sweepHalfDone(join(folder, name))
      const raw = connect(databaseOf(folder))
      db = builder(raw)
      const found = raw.pragma('quick_check(1)', { simple: true })
      if (found !== 'ok') throw damagedRack(folder, String(found))
      const version = Number(raw.pragma('user_version', { simple: true }))
      if (version < steps.length) {
        await backUp(db, folder, `before-${steps.length}`)
        await migrate(db, steps)
      }
      return rackOn(folder, db, raw, lock, options)
    } catch (error) {
      await db?.destroy()
      await lock.release()
      throw error
    }
  })
}

/** Left behind by a creation that was cut short, or put everywhere by the system: these do not fill a folder. */
const ignorable = /^(lock(\..*)?|rack\.sqlite\.new.*|\.DS_Store|Thumbs\.db|desktop\.ini)$/

/**
 * Makes a new rack. Its database is finished under another name first, so a folder never holds half of one.
 * @throws Refusal `rack/already-one`, `rack/folder-not-empty`, `rack/read-only`, `rack/folder-absent`
 */
export async function createRack(folder: string, name: string, options: Options = {}): Promise<Rack> {
  await mustBeFree(folder)
  await refusing(folder, async () => {
    const lock = await takeLock(folder)
    const unfinished = `${databaseOf(folder)}.new`
    try {
      for (const tail of ['', '-wal', '-shm', '-journal']) await rm(unfinished + tail, { force: true })
      const db = builder(connect(unfinished))
      try {
        await migrate(db, options.migrations ?? migrations)
        await db.updateTable('rack_info').set({ name }).execute()
      } finally {
        await db.destroy()
      }
      await syncFile(unfinished)
      await rename(unfinished, databaseOf(folder))
      await syncFolder(folder)
      await syncFolder(dirname(folder))
    } catch (error) {
      for (const tail of ['', '-wal', '-shm', '-journal']) await rm(unfinished + tail, { force: true })
      throw error
    } finally {
      await lock.release()
    }
  })
  return openRack(folder, options)
}

/** Makes sure that a new rack can be put into this folder, making the folder when it is not there. */
export async function mustBeFree(folder: string): Promise<void> {
  if (!isAbsolute(folder)) throw folderAbsent(folder)
  await refusing(folder, async () => {
    try {
      await makeFolder(folder)
    } catch (error) {
      const code = (error as { code?: string }).code ?? ''
      if (code === 'EEXIST') throw folderNotEmpty(folder)
      if (code === 'ENOENT' || code === 'ENOTDIR') throw folderAbsent(folder)
      throw error
    }
    const names = await readdir(folder)
    if (names.includes('rack.sqlite')) throw alreadyARack(folder)
    if (names.some((entry) => !ignorable.test(entry))) throw folderNotEmpty(folder)
    await mustBeWritable(folder)
  })
}

/** Looks, without writing, whether this folder holds a rack that this program can open. */
async function examine(folder: string, ours: number): Promise<void> {
  const here = isAbsolute(folder) ? await stat(folder).catch(absentAsNull) : null
  if (!here) throw folderAbsent(folder)
  if (!here.isDirectory()) throw notARack(folder, 'it is a file, not a folder')
  const path = databaseOf(folder)
  const file = await stat(path).catch(absentAsNull)
  if (!file?.isFile()) throw notARack(folder, 'it holds no rack.sqlite')
  const header = await readHeader(path)
  if (header.kind === 'other') {
    const backups = await readdir(join(folder, 'backups')).catch(() => [])
    if (backups.some((name) => name.endsWith('.sqlite'))) throw damagedRack(folder, 'its database cannot be read')
    throw notARack(folder, 'its rack.sqlite is no database')
  }
  if (header.applicationId !== applicationId) throw notARack(folder, 'its rack.sqlite belongs to another program')
  if (header.userVersion > ours) throw newerRack(folder, header.userVersion, ours)
  const wal = await stat(`${path}-wal`).catch(absentAsNull)
  if (!wal || wal.size === 0) {
    if (file.size < header.byteCount) throw damagedRack(folder, 'the end of its database is missing')
    return
  }
  // what was written last is still in the log, and may have come from a newer program
  const raw = new Database(path, { readonly: true })
  try {
    const version = Number(raw.pragma('user_version', { simple: true }))
    if (version > ours) throw newerRack(folder, version, ours)
  } finally {
    raw.close()
  }
}

function absentAsNull(error: { code?: string }): null {
  if (error.code === 'ENOENT' || error.code === 'ENOTDIR') return null
  throw error
}

/** Marked as read-only counts even for an administrator, whom the system would let through. */
async function mustBeWritable(folder: string): Promise<void> {
  for (const path of [folder, databaseOf(folder)]) {
    const found = await stat(path).catch(absentAsNull)
    if (!found) continue
    if ((found.mode & 0o222) === 0) throw readOnlyRack(folder)
    await access(path, constants.W_OK)
  }
}

async function refusing<T>(folder: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw error instanceof Refusal ? error : refusalFrom(error, folder)
  }
}

function connect(path: string): Database.Database {
  const raw = new Database(path)
  try {
    raw.pragma('journal_mode = WAL')
    raw.pragma('synchronous = FULL')
    raw.pragma('foreign_keys = ON')
    raw.pragma('busy_timeout = 5000')
    raw.pragma('trusted_schema = OFF')
    return raw
  } catch (error) {
    raw.close()
    throw error
  }
}

/** Statements are kept prepared: preparing takes most of a small query's time. */
function builder(raw: Database.Database): Kysely<Tables> {
  const kept = new Map<string, Database.Statement>()
  const prepare = (text: string): Database.Statement => {
    const old = kept.get(text)
    if (old) return old
    const statement = raw.prepare(text)
    if (kept.size >= 500) kept.clear()
    kept.set(text, statement)
    return statement
  }
  const database = { prepare, close: () => void raw.close() }
  return new Kysely<Tables>({ dialect: new SqliteDialect({ database }) })
}

function rackOn(folder: string, db: Kysely<Tables>, raw: Database.Database, lock: Lock, options: Options): Rack {
  let closing: Promise<void> | undefined
  const mayWrite = () => {
    if (!lock.held())
      throw new Refusal(
        'rack/locked',
        'Another program has taken over this rack. Nothing was changed.',
        'Close the rack here, and open it again once it is closed there.',
      )
  }
  const go = async (direction: 'undo' | 'redo') => {
    mayWrite()
    const done = await travel(db, direction)
    options.onChanged?.(done.revision)
    return done
  }
  return {
    folder,
    db,
    read: (work) => db.transaction().execute(work),
    change: async (what, work) => {
      mayWrite()
      const { value, revision } = await performChange(db, what, options.who?.() ?? '', work)
      if (revision !== null) options.onChanged?.(revision)
      return value
    },
    undo: () => go('undo'),
    redo: () => go('redo'),
    forgetHistory: async () => {
      await db.deleteFrom('change').execute()
    },
    backUp: (why) => backUp(db, folder, why),
    close: () => {
      closing ??= (async () => {
        // a query first, so that the builder has begun and ends what is under way before the connection goes
        await db.selectFrom('rack_info').select('id').execute()
        raw.pragma('wal_checkpoint(TRUNCATE)')
        await db.destroy()
        raw.close()
        await lock.release()
      })()
      return closing
    },
  }
}
