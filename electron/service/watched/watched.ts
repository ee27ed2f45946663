import { randomUUID } from 'node:crypto'
import { mkdir, readFile, realpath, stat } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { WatchedFolder } from '../../../shared-core/contract/watch-calls.ts'
import { writeDurably } from '../../rack/disk/durable.ts'
import type { Rack } from '../../rack/opening/open.ts'
import {
  addWatched,
  forgetLost,
  listWatched,
  removeWatched,
  takeBack,
  turnWatched,
  type WatchedRow,
} from '../../rack/queries/watched.ts'
import type { IntakeSupport } from '../intake/take-all.ts'
import { wholePath } from '../place/folders.ts'
import { type FolderWatch, type Pace, usualPace, watchFolder, whatLiesThere } from './folder-watch.ts'
import { absent, already, insideRack, noFolder, notAllSeen, tooMany } from './refusals.ts'
import { troubleOf } from './troubles.ts'

/** Folders are for cards and what phones fill; who needs more watches one above. */
const mostFolders = 8

/** The folders that the open rack takes new photos from, by themselves. */
export type WatchedFolders = {
  /** Watches a rack that was opened with full rights. */
  follow(rack: Rack): void
  /** Ends all watching: the rack is closed. */
  leave(): Promise<void>
  list(rack: Rack): Promise<WatchedFolder[]>
  /** @throws Refusal `watched/no-folder`, `watched/inside-rack` */
  look(path: string): Promise<{ path: string; photos: number }>
  /** @throws Refusal `watched/no-folder`, `watched/already`, `watched/inside-rack`, `watched/too-many`, `watched/not-all-seen` */
  add(rack: Rack, path: string, takeThoseThere: boolean): Promise<WatchedFolder>
  /** @throws Refusal `watched/absent` */
  turn(rack: Rack, id: string, on: boolean): Promise<WatchedFolder>
  /** @throws Refusal `watched/absent` */
  remove(rack: Rack, id: string): Promise<void>
}

export function makeWatchedFolders(support: IntakeSupport, pace: Pace = usualPace): WatchedFolders {
  const watches = new Map<string, FolderWatch>()
  let followed: Rack | null = null
  /** One after the other: turning on never meets turning off. */
  let turnOf: Promise<unknown> = Promise.resolve()
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turnOf.then(work, work)
    turnOf = mine.catch(() => undefined)
    return mine
  }

  const start = (rack: Rack, { id, path }: WatchedRow) => {
    if (followed === rack && !watches.has(id)) watches.set(id, watchFolder(rack, { id, path }, support, pace))
  }
  const stop = async (rack: Rack, id: string) => {
    const watch = watches.get(id)
    watches.delete(id)
    await watch?.stop()
    // what waits in an intake stays in the folder, and comes when it is turned on again
    for (const intake of await takeBack(rack.db, id)) support.jobs.cancel(intake)
  }
  const told = ({ id, path, since, isOn, lookedAt, taken, refused }: WatchedRow): WatchedFolder => {
    const watch = watches.get(id)
    const [coming, trouble] = [watch?.coming() ?? 0, watch?.trouble() ?? null]
    return { id, path, since, isOn, lookedAt: watch?.lookedAt() ?? lookedAt, taken, refused, coming, trouble }
  }
  const rowsOf = async (rack: Rack) => listWatched(rack.db, await computerId(support.appFiles.folder))
  const rowOf = async (rack: Rack, id: string): Promise<WatchedRow> => {
    const row = (await rowsOf(rack)).find((each) => each.id === id)
    if (!row) throw absent()
    return row
  }

  return {
    follow: (rack) => {
      followed = rack
      void inTurn(async () => {
        if (followed !== rack) return
        await forgetLost(rack.db)
        for (const row of await rowsOf(rack)) if (row.isOn) start(rack, row)
      }).catch((error: unknown) => {
        if (followed === rack) support.log.unexpected(error, 'beginning to watch folders')
      })
    },
    leave: async () => {
      followed = null
      await inTurn(async () => {
        const ending = [...watches.values()]
        watches.clear()
        await Promise.all(ending.map((watch) => watch.stop()))
      })
    },
    // one that is only looked at takes nothing in
    list: async (rack) => (rack.access.mode === 'full' ? (await rowsOf(rack)).map(told) : []),
    look: async (typed) => {
      const { path, files } = await foundAt(typed, pace.mostPhotos)
      return { path, photos: files.length }
    },
    add: (rack, typed, takeThoseThere) =>
      inTurn(async () => {
        const { path, files, isTooMany, unread } = await foundAt(typed, pace.mostPhotos)
        const rows = await rowsOf(rack)
        if (rows.some((row) => isWithin(path, row.path) || isWithin(row.path, path))) throw already(path)
        if (isWithin(path, await realpath(rack.folder))) throw insideRack()
        if (rows.length >= mostFolders) throw tooMany(mostFolders)
        if (!takeThoseThere && isTooMany)
          throw notAllSeen(
            `More than ${pace.mostPhotos.toLocaleString('en')} photos or too many folders lie in this folder`,
          )
        if (!takeThoseThere && unread !== null) throw notAllSeen(`“${unread}” in this folder could not be read`)
        const folder = { id: v7(), path, computer: await computerId(support.appFiles.folder) }
        await addWatched(rack.db, folder, takeThoseThere ? [] : files)
        const row = await rowOf(rack, folder.id)
        start(rack, row)
        return told(row)
      }),
    turn: (rack, id, on) =>
      inTurn(async () => {
        await rowOf(rack, id)
        await turnWatched(rack.db, id, on)
        if (!on) await stop(rack, id)
        const row = await rowOf(rack, id)
        if (on) start(rack, row)
        return told(row)
      }),
    remove: (rack, id) =>
      inTurn(async () => {
        await rowOf(rack, id)
        await stop(rack, id)
        await removeWatched(rack.db, id)
      }),
  }
}

/** A folder that the painter names, by its one true path, and the photos in it. */
async function foundAt(typed: string, most: number) {
  const path = await realpath(await wholePath(typed)).catch(() => null)
  const isFolder = path !== null && (await stat(path).catch(() => null))?.isDirectory() === true
  if (!isFolder) throw noFolder(typed)
  try {
    return { path, ...(await whatLiesThere(path, new AbortController().signal, most)) }
  } catch (error) {
    if (error instanceof Refusal) throw error
    if (troubleOf(error)) throw noFolder(typed)
    throw error
  }
}

const isWithin = (path: string, folder: string): boolean => {
  const way = relative(folder, path)
  return way === '' || (way !== '..' && !way.startsWith(`..${sep}`) && !/^[A-Za-z]:|^[\\/]/.test(way))
}

/**
 * A word that this computer has in its settings folder, and no other: a rack that is carried elsewhere, or that somebody hands over, makes
 * no folder there watched.
 */
async function computerId(appFolder: string): Promise<string> {
  const path = join(appFolder, 'computer-id')
  const kept = await readFile(path, 'utf8').catch((error: unknown) => {
    // a new word while the old one is only not legible now would leave every watched folder behind
    if ((error as { code?: string }).code !== 'ENOENT') throw error
    return ''
  })
  if (/^[\da-f-]{36}$/.test(kept)) return kept
  const id = randomUUID()
  await mkdir(appFolder, { recursive: true })
  await writeDurably(path, (handle) => handle.writeFile(id))
  return id
}
