import { constants } from 'node:fs'
import { access, mkdir, readdir, rename, rm, stat } from 'node:fs/promises'
import { dirname, isAbsolute, join } from 'node:path'
import type Database from 'better-sqlite3'
import type { Kysely } from 'kysely'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { backUp } from '../backups/backup.ts'
import { makeFolder, sweepHalfDone, syncFile, syncFolder } from '../disk/durable.ts'
import { applicationId, readHeader } from '../disk/header.ts'
import { versionInWal } from '../disk/wal.ts'
import { type Changing, performChange, type What } from '../history/change.ts'
import { type Done, travel } from '../history/travel.ts'
import { migrations } from '../migrations/list.ts'
import { refreshDerived } from '../queries/wall/derived.ts'
import {
  alreadyARack,
  damagedRack,
  folderAbsent,
  folderNotEmpty,
  newerRack,
  noFolderMade,
  notARack,
  readOnlyRack,
  refusalFrom,
  takenOver,
} from '../refusals.ts'
import type { Tables } from '../tables.ts'
import { builder, connect } from './connection.ts'
import { lookedThroughAt, noteLookedThrough } from './health.ts'
import { type Lock, takeLock } from './lock.ts'
import { type Migration, migrate } from './migrate.ts'

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
    let raw: Database.Database | undefined
    try {
      for (const name of ['photos', 'data-sheets', 'renditions', 'backups'])
        if (await mkdir(join(folder, name), { recursive: true })) await syncFolder(folder)
      for (const name of ['photos', 'data-sheets', 'backups']) await sweepHalfDone(join(folder, name))
      const earlier = await lookedThroughAt(folder)
      raw = connect(databaseOf(folder))
      const db = builder(raw)
      const found = earlier === null ? raw.pragma('quick_check(1)', { simple: true }) : 'ok'
      if (found !== 'ok') throw damagedRack(folder, String(found))
      const version = Number(raw.pragma('user_version', { simple: true }))
      if (version < steps.length) {
        await backUp(db, folder, `before-${steps.length}`)
        await migrate(db, steps)
      }
      // what a step noted as due, or a step before an end that came too soon
      await db.transaction().execute(refreshDerived)
      return rackOn(folder, db, raw, lock, options, earlier ?? Date.now())
    } catch (error) {
      raw?.close()
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
      const raw = connect(unfinished)
      try {
        const db = builder(raw)
        await migrate(db, options.migrations ?? migrations)
        await db.updateTable('rack_info').set({ name }).execute()
      } finally {
        raw.close()
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
  if (!isAbsolute(folder)) throw noFolderMade(folder)
  await refusing(folder, async () => {
    try {
      await makeFolder(folder)
    } catch (error) {
      const code = (error as { code?: string }).code ?? ''
      if (code === 'EEXIST') throw folderNotEmpty(folder)
      if (code === 'ENOENT' || code === 'ENOTDIR') throw noFolderMade(folder)
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
  const version = await versionInWal(`${path}-wal`)
  if (version !== null && version > ours) throw newerRack(folder, version, ours)
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

function rackOn(
  folder: string,
  db: Kysely<Tables>,
  raw: Database.Database,
  lock: Lock,
  options: Options,
  checkedAt: number,
): Rack {
  let closing: Promise<void> | undefined
  const mayWrite = () => {
    if (!lock.held()) throw takenOver()
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
      closing ??= closeAll(db, raw, lock, () => noteLookedThrough(folder, checkedAt))
      return closing
    },
  }
}

/** The log goes into the database and the lock goes; where the drive is full or gone, as much of that as can be done. */
async function closeAll(
  db: Kysely<Tables>,
  raw: Database.Database,
  lock: Lock,
  note: () => Promise<void>,
): Promise<void> {
  // holding the one connection: what is under way ends first, and what comes later is refused
  await db.connection().execute(async () => {
    try {
      raw.pragma('wal_checkpoint(TRUNCATE)')
    } catch (error) {
      // nothing is lost: the log stays beside the database and is read when the rack is opened again
      console.error('The rack’s log could not be brought into its database:', error)
    }
    raw.close()
  })
  if (lock.held()) await note()
  await lock.release().catch((error: unknown) => console.error('The rack’s lock could not be removed:', error))
}
