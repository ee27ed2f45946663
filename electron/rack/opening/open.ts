import { mkdir, readdir, rename, rm } from 'node:fs/promises'
import { dirname, isAbsolute, join } from 'node:path'
import type Database from 'better-sqlite3'
import type { Kysely } from 'kysely'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Access } from '../../../shared-core/records/rack.ts'
import { backUp } from '../backups/backup.ts'
import { settlePutBack } from '../backups/settle.ts'
import { makeFolder, sweepHalfDone, syncFile, syncFolder } from '../disk/durable.ts'
import type { FileSystem } from '../disk/file-system.ts'
import { findFileSystem } from '../disk/find-file-system.ts'
import { mustFit } from '../disk/names.ts'
import type { Changing, What } from '../history/change.ts'
import { noteEvent } from '../history/events.ts'
import type { Done } from '../history/travel.ts'
import { migrations } from '../migrations/list.ts'
import { refreshDerived } from '../queries/wall/derived.ts'
import { alreadyARack, alteredRack, folderNotEmpty, noFolderMade, onNetwork, refusalFrom } from '../refusals.ts'
import type { Tables } from '../tables.ts'
import { builder, connect } from './connection.ts'
import { databaseOf, examine, mustBeWritable } from './examine.ts'
import { breakSeal, examineSeal, type Seal } from './health.ts'
import { sweepLocks, takeLock } from './lock.ts'
import { lookThrough, revisionOf } from './look-through.ts'
import { type Migration, migrate, versionOf } from './migrate.ts'
import { watchPlace } from './place.ts'
import { rackOn } from './rack-on.ts'

/** An open rack. Reading goes through `db` or `read`, every change through `change`. */
export type Rack = {
  readonly folder: string
  /** Where pictures are made that can be made again: in the folder, except where that is only read. */
  readonly renditions: string
  /** Copies of a rack have the same. */
  readonly rackId: string
  readonly access: Access
  readonly db: Kysely<Tables>
  /**
   * Makes sure that the rack is still this service's and lies where it was; `change` does so by itself.
   * @throws Refusal `rack/taken-over`, `rack/drive-gone`, `rack/replaced`, `rack/reading-only`
   */
  verify(): Promise<void>
  /** What the painter has to be told of how it was found. */
  readonly cautions: Caution[]
  /** Several queries that see one state. In `work` use only what it is given. */
  read<T>(work: (db: Kysely<Tables>) => Promise<T>): Promise<T>
  change<T>(what: What, work: (change: Changing) => Promise<T>): Promise<T>
  undo(): Promise<Done>
  redo(): Promise<Done>
  /** Empties the history; what is there stays. For a rack that was filled by a program. */
  forgetHistory(): Promise<void>
  backUp(why: string): Promise<string>
  /**
   * Keeps the open records as a backup, once: for when another program has put others in their place. Closing such a rack does so
   * by itself. @returns the backup's name
   */
  keepOwnVersion(): Promise<string>
  close(): Promise<void>
}

export type Options = {
  /** Who works here, asked at each change. */
  who?: () => string
  /** Told after every change that was kept. */
  onChanged?: (revision: number) => void
  /** Opens a database all the same that its drive has altered since it was closed. */
  asItIs?: boolean
  /** Tells where a folder lies: for tests of what this computer does not have. */
  whereIs?: (folder: string) => Promise<FileSystem>
  /** The painter is sure that a folder of which nobody knows where it lies is on a drive of this computer. */
  isLocal?: boolean
  /** Other steps than the application's own: for tests of migrating. */
  migrations?: readonly Migration[]
}

/**
 * Opens the rack in a folder. Whether it is one, and not a newer one, is found out before a byte is written.
 * @throws Refusal `rack/folder-absent`, `rack/not-a-rack`, `rack/newer`, `rack/on-network`, `rack/read-only`, `rack/damaged`,
 *   `rack/locked`, `rack/path-too-long`
 */
export async function openRack(folder: string, options: Options = {}): Promise<Rack> {
  const steps = options.migrations ?? migrations
  return refusing(folder, async () => {
    await settlePutBack(folder)
    await examine(folder, steps.length)
    await mustBeWritable(folder)
    await mustBeHere(folder, options)
    const lock = await takeLock(folder)
    let raw: Database.Database | undefined
    let seal: Seal | undefined
    try {
      for (const name of ['photos', 'data-sheets', 'renditions', 'backups'])
        if (await mkdir(join(folder, name), { recursive: true })) await syncFolder(folder)
      for (const name of ['photos', 'data-sheets', 'backups']) await sweepHalfDone(join(folder, name))
      await sweepLocks(folder)
      const found = await examineSeal(folder)
      if (found.state === 'altered' && !options.asItIs) throw alteredRack(folder)
      seal = await breakSeal(folder, found)
      raw = connect(databaseOf(folder))
      const db = builder(raw)
      const cautions = lookThrough(raw, folder, found)
      const version = Number(raw.pragma('user_version', { simple: true }))
      if (version < steps.length) {
        await backUp(db, folder, `before-${steps.length}`)
        await migrate(db, steps)
        const label = `records brought up to date by a newer Overground (form ${version} to ${steps.length}), after a backup`
        await noteEvent(db, { kind: 'migrated', label, who: options.who?.() ?? '' })
      }
      // what a step noted as due, or a step before an end that came too soon
      await db.transaction().execute(refreshDerived)
      seal.opened(revisionOf(raw))
      const renditions = join(folder, 'renditions')
      const rackId = await rackIdOf(db, steps.length)
      const place = await watchPlace(folder, raw)
      const checkedAt = found.checkedAt ?? Date.now()
      return rackOn({ folder, renditions, rackId, db, raw, cautions }, { options, lock, place, seal, checkedAt })
    } catch (error) {
      raw?.close()
      seal?.leave()
      await lock.release()
      throw error
    }
  })
}

/** Left behind by a creation that was cut short, or put everywhere by the system: these do not fill a folder. */
const ignorable = /^(lock(\..*)?|rack\.sqlite\.new.*|\.DS_Store|Thumbs\.db|desktop\.ini)$/

/**
 * Makes a new rack. Its database is finished under another name first, so a folder never holds half of one.
 * @throws Refusal `rack/already-one`, `rack/folder-not-empty`, `rack/read-only`, `rack/folder-absent`, `rack/on-network`,
 *   `rack/path-too-long`
 */
export async function createRack(folder: string, name: string, options: Options = {}): Promise<Rack> {
  await mustBeFree(folder)
  await refusing(folder, async () => {
    await mustBeHere(folder, options)
    const lock = await takeLock(folder)
    const unfinished = `${databaseOf(folder)}.new`
    try {
      for (const tail of ['', '-wal', '-shm', '-journal']) await rm(unfinished + tail, { force: true })
      const raw = connect(unfinished)
      try {
        const db = builder(raw)
        await migrate(db, options.migrations ?? migrations)
        await db.updateTable('rack_info').set({ name }).execute()
        await noteEvent(db, { kind: 'made', label: 'made this rack', who: options.who?.() ?? '' })
        // closing would leave the log beside it where the drive is full, and say nothing
        raw.pragma('wal_checkpoint(TRUNCATE)')
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
  if (!isAbsolute(folder) || folder.includes('\0')) throw noFolderMade(folder)
  mustFit(folder)
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

/** @throws Refusal `rack/on-network` where SQLite's log is not safe */
export async function mustBeHere(
  folder: string,
  { whereIs = findFileSystem, isLocal = false }: Pick<Options, 'whereIs' | 'isLocal'>,
): Promise<void> {
  const { where, name } = await whereIs(folder)
  if (where === 'network' || (where === 'unknown' && !isLocal)) throw onNetwork(folder, where === 'network', name)
}

/** The first form whose racks have a name of their own. */
const hasId = 6

export async function rackIdOf(db: Kysely<Tables>, version: number): Promise<string> {
  if (version < hasId || (await versionOf(db)) < hasId) return ''
  const { rack_id } = await db.selectFrom('rack_info').select('rack_id').executeTakeFirstOrThrow()
  return rack_id
}

export async function refusing<T>(folder: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw error instanceof Refusal ? error : refusalFrom(error, folder)
  }
}
