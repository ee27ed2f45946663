import { rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { syncFolder, writeDurably } from '../disk/durable.ts'
import { withRetries } from '../disk/with-retries.ts'
import { forgetSeal } from '../opening/health.ts'
import { takeLock } from '../opening/lock.ts'
import { readSmallJson } from './small-file.ts'

/** A backup on its way into its place: what is written down, so that the next opening ends what a crash has cut short. */

const Note = z.object({
  backup: z.string(),
  setAside: z.string().nullable(),
  /** Whoever opens the rack next has to look after what the records that went back do not know. */
  followUp: z.boolean(),
})
export type Note = z.infer<typeof Note>

const noteOf = (folder: string): string => join(folder, 'restoring.json')
/** The note of a restore that is done, until it was followed up. */
const doneNoteOf = (folder: string): string => join(folder, 'restored.json')
const database = (folder: string): string => join(folder, 'rack.sqlite')
/** The backup's copy, whole and durable before the note is written. */
export const incoming = (folder: string): string => join(folder, 'rack.sqlite.incoming')
/** What was there, until the backup has its name. */
const earlier = (folder: string): string => join(folder, 'rack.sqlite.earlier')

export const noteRestoring = (folder: string, note: Note): Promise<void> =>
  writeDurably(noteOf(folder), (handle) => handle.writeFile(`${JSON.stringify(note, null, 2)}\n`))

/**
 * Ends a restore that was cut short; to be asked before a rack is looked at. Costs two looks where there is none.
 * @throws Refusal `rack/locked` while somebody is at it
 */
export async function settlePutBack(folder: string): Promise<'none' | 'finished' | 'undone'> {
  if (!(await exists(noteOf(folder))) && !(await exists(incoming(folder)))) return 'none'
  const lock = await takeLock(folder)
  try {
    if (!(await exists(noteOf(folder)))) {
      await sweepUnnoted(folder)
      return 'undone'
    }
    return await finish(folder)
  } finally {
    await lock.release()
  }
}

/** A copy that was not noted yet: nothing was changed, and it is not needed. */
export async function sweepUnnoted(folder: string): Promise<void> {
  if (await exists(noteOf(folder))) return
  for (const tail of ['', '-journal', '-wal', '-shm']) await rm(incoming(folder) + tail, { force: true })
}

/**
 * From the note on, every step can be done again. A log of the old database must never lie beside the new one, which SQLite
 * would take it for: it goes first, with the database it belongs to.
 */
export async function finish(
  folder: string,
  at?: (step: string) => void | Promise<void>,
): Promise<'finished' | 'undone'> {
  const isWaiting = await exists(incoming(folder))
  if (!isWaiting && !(await exists(database(folder)))) {
    // only a hand from outside takes both away: what was there comes back
    await giveBack(folder)
    return 'undone'
  }
  // what was known of the old database is not true of the new one
  await at?.('forget-seal')
  await forgetSeal(folder)
  if (isWaiting) {
    for (const tail of ['-wal', '-journal']) {
      await at?.(`move${tail}`)
      if (await exists(database(folder) + tail)) await move(database(folder) + tail, earlier(folder) + tail)
    }
    await at?.('drop-shm')
    await rm(`${database(folder)}-shm`, { force: true })
    await at?.('move')
    if (await exists(database(folder))) await move(database(folder), earlier(folder))
    await syncFolder(folder)
    await at?.('put')
    await move(incoming(folder), database(folder))
    await syncFolder(folder)
  }
  for (const tail of ['', '-wal', '-journal']) {
    await at?.(`drop-earlier${tail}`)
    await rm(earlier(folder) + tail, { force: true })
  }
  await at?.('drop-note')
  if ((await readNote(noteOf(folder)))?.followUp) await move(noteOf(folder), doneNoteOf(folder))
  else await rm(noteOf(folder), { force: true })
  await syncFolder(folder)
  await at?.('end')
  return 'finished'
}

async function giveBack(folder: string): Promise<void> {
  if (await exists(earlier(folder))) {
    for (const tail of ['-wal', '-journal'])
      if (await exists(earlier(folder) + tail)) await move(earlier(folder) + tail, database(folder) + tail)
    await move(earlier(folder), database(folder))
  }
  await rm(noteOf(folder), { force: true })
  await syncFolder(folder)
}

/** What has to be followed up in a rack whose records went back; null where nothing has. */
export const readRestored = (folder: string): Promise<Note | null> => readNote(doneNoteOf(folder))

export const dropRestored = (folder: string): Promise<void> => rm(doneNoteOf(folder), { force: true })

async function readNote(path: string): Promise<Note | null> {
  try {
    return Note.parse(await readSmallJson(path))
  } catch {
    return null
  }
}

const move = (from: string, to: string): Promise<void> => withRetries(() => rename(from, to))

const exists = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  )
