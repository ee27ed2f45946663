import { readFile, stat, writeFile } from 'node:fs/promises'
import { join } from 'node:path'

/**
 * When the whole database was last looked through. That takes as long as the database is large, so it is not done at each
 * opening: a database that was closed as it should be, and that nobody has written to since, is looked through once a day.
 * The note lies among what can be made anew; without it the database is looked through.
 */
type Note = { byteCount: number; mtimeMs: number; checkedAt: number }

const dayMs = 24 * 60 * 60 * 1000
const noteOf = (folder: string): string => join(folder, 'renditions', 'looked-through.json')
const databaseOf = (folder: string): string => join(folder, 'rack.sqlite')

/** When it was looked through, or null when that has to be done now. To be asked before the database is opened. */
export async function lookedThroughAt(folder: string): Promise<number | null> {
  const log = await stat(`${databaseOf(folder)}-wal`).catch(() => null)
  if (log && log.size > 0) return null
  try {
    const { size, mtimeMs } = await stat(databaseOf(folder))
    const note = JSON.parse(await readFile(noteOf(folder), 'utf8')) as Partial<Note>
    const age = Date.now() - Number(note.checkedAt)
    const isTheSame = note.byteCount === size && note.mtimeMs === mtimeMs
    return isTheSame && age >= 0 && age < dayMs ? Number(note.checkedAt) : null
  } catch {
    return null
  }
}

/** To be told once the database is closed. Where the note cannot be written, the next opening looks through everything. */
export async function noteLookedThrough(folder: string, checkedAt: number): Promise<void> {
  const file = await stat(databaseOf(folder)).catch(() => null)
  if (!file) return
  const note: Note = { byteCount: file.size, mtimeMs: file.mtimeMs, checkedAt }
  await writeFile(noteOf(folder), JSON.stringify(note)).catch(() => undefined)
}
