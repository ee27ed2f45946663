import { closeSync, openSync, writeSync } from 'node:fs'
import { type FileHandle, open, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { crc32 } from 'node:zlib'

/**
 * What is known of a database before it is opened. SQLite has no checksum of its pages: a byte that a bad drive turned
 * within a word or a number passes its own check of integrity. So a rack that is closed as it should be is sealed with a
 * checksum of its database, and one that is open notes its last change beside it, by which a log (`rack.sqlite-wal`)
 * that was lost after a crash is missed. The note lies among the backups, as nobody clears that folder away; without it the
 * database is looked through in full.
 */
type Note = {
  /** `open`: the log belongs to the database. `opening` and `closing`: it may be there or not. */
  state: 'opening' | 'open' | 'closing' | 'closed'
  byteCount: number
  mtimeMs: number
  /**
   * CRC-32 of the database when it was so long and had that time; it is known while `mtimeMs` is not 0. In an open rack too:
   * what is written goes into the log, and the database changes only when the log is brought in.
   */
  crc32: number
  /** When the whole database was last looked through. */
  checkedAt: number
  /** Of the last change that was acknowledged. */
  revision: number
  /** What was found as it was opened: told again when that opening came to nothing. */
  found: Pick<Found, 'state' | 'logMissing'> | null
}

export type Found = {
  /** When it was looked through, or null when that has to be done now. */
  checkedAt: number | null
  /**
   * `whole`: as it was closed. `altered`: other bytes though nobody has written. `changed-outside`: somebody else has written.
   * `interrupted`: it was not closed. `doubtful`: not closed, and altered; or a power cut fell into the moment in which the log
   * was brought in, and the file’s time was not yet on the drive. `unknown`: nothing is noted.
   */
  state: 'whole' | 'altered' | 'changed-outside' | 'interrupted' | 'doubtful' | 'unknown'
  /** Not closed, and its log is not there. */
  logMissing: boolean
  /** The database had at least this revision. */
  revision: number
}

/** A rack of ten thousand panels is read in 55 ms. */
const renewEveryMs = 20_000
/** NTFS notes the time of a write when the file is closed; elsewhere it is noted at once. */
const timesTell = process.platform !== 'win32'
const dayMs = 24 * 60 * 60 * 1000
const noteOf = (folder: string): string => join(folder, 'backups', 'seal.json')
const databaseOf = (folder: string): string => join(folder, 'rack.sqlite')
const unknown: Found = { checkedAt: null, state: 'unknown', logMissing: false, revision: 0 }

/** To be asked before the database is opened. */
export async function examineSeal(folder: string): Promise<Found> {
  const note = await readNote(folder)
  if (!note) return unknown
  const { revision } = note
  const log = await stat(`${databaseOf(folder)}-wal`).catch(() => null)
  const now = await compare(databaseOf(folder), note)
  if (note.state !== 'closed') {
    const told = { checkedAt: null, revision, logMissing: note.state === 'open' && !log }
    if (now === 'altered') return { ...told, state: 'doubtful' }
    return note.state === 'opening' && note.found ? { ...told, ...note.found } : { ...told, state: 'interrupted' }
  }
  const found = { checkedAt: null, logMissing: false, revision }
  if (log && log.size > 0) return { ...found, state: 'changed-outside' }
  if (now !== 'same') return { ...found, state: now === 'altered' ? 'altered' : 'changed-outside' }
  const age = Date.now() - note.checkedAt
  return { ...found, state: 'whole', checkedAt: age >= 0 && age < dayMs ? note.checkedAt : null }
}

/** `altered`: other bytes, though nobody has written since; `written`: somebody has. */
async function compare(
  path: string,
  { byteCount, mtimeMs, crc32: sum }: Note,
): Promise<'same' | 'altered' | 'written'> {
  const now = await stat(path)
  // as finely as every system keeps times
  const isUnwritten = now.size === byteCount && Math.abs(now.mtimeMs - mtimeMs) <= 1
  if (!isUnwritten && (mtimeMs === 0 || now.size !== byteCount)) return 'written'
  if ((await checksumOf(path)) === sum) return 'same'
  return isUnwritten ? 'altered' : 'written'
}

/** For a database that was put in place from elsewhere: nothing is known of it. */
export const forgetSeal = (folder: string): Promise<void> => rm(noteOf(folder), { force: true })

export type Seal = {
  /** The log is there from now on. */
  opened(revision: number): void
  /** A change was kept. Not fsynced: what it guards against is no power cut, and it may lag behind. */
  changed(revision: number): void
  closing(): void
  /** To be told once the database is closed. */
  closed(checkedAt: number): Promise<void>
  /** Gives the note up as it is: the database could not be opened, or is another's by now. */
  leave(): void
}

/**
 * Breaks the seal, before anything is written. Where a note cannot be written there is none, and the next opening looks
 * through everything.
 */
export async function breakSeal(folder: string, { state, logMissing, revision }: Found): Promise<Seal> {
  const path = noteOf(folder)
  const stays = state === 'changed-outside' || state === 'doubtful'
  const found = { state: stays ? state : ('interrupted' as const), logMissing }
  const sealed = state === 'whole' && timesTell ? await readNote(folder) : null
  const { byteCount, mtimeMs, crc32: sum } = sealed ?? { byteCount: 0, mtimeMs: 0, crc32: 0 }
  const note: Note = { state: 'opening', byteCount, mtimeMs, crc32: sum, checkedAt: 0, revision, found }
  await rm(path, { force: true })
  let file: number | null = null
  /**
   * Opened once and closed after the database is: closing any handle of a file frees every lock that the process has on it
   * (POSIX, fcntl), SQLite’s too.
   */
  let database: Promise<FileHandle> | null = null
  const giveUp = () => {
    if (file !== null) closeSync(file)
    file = null
  }
  const leave = () => {
    giveUp()
    void database?.then((handle) => handle.close()).catch(() => undefined)
    database = null
  }
  const write = () => {
    try {
      if (file !== null) writeSync(file, padded(note), 0, noteBytes, 0)
    } catch {
      giveUp()
    }
  }
  try {
    file = openSync(path, 'w')
  } catch {
    // a drive that is full, or a folder that somebody removed
  }
  write()
  let lookedAt = Number.NEGATIVE_INFINITY
  /** The log was brought in since: the database is read anew, now and then. */
  const renew = async () => {
    if (!timesTell || file === null || performance.now() - lookedAt < renewEveryMs) return
    lookedAt = performance.now()
    database ??= open(databaseOf(folder), 'r')
    const handle = await database
    const before = await handle.stat()
    if (before.mtimeMs === note.mtimeMs) return
    const now = await checksumThrough(handle)
    const after = await handle.stat()
    if (note.state !== 'open' || after.mtimeMs !== before.mtimeMs || after.size !== before.size) return
    Object.assign(note, { byteCount: after.size, mtimeMs: after.mtimeMs, crc32: now })
    write()
  }
  // whoever removes the drive meanwhile is told elsewhere
  const renewSoon = () => void renew().catch(() => undefined)
  return {
    opened: (now) => {
      Object.assign(note, { state: 'open', revision: now, found: null })
      write()
      renewSoon()
    },
    changed: (now) => {
      note.revision = now
      write()
      renewSoon()
    },
    closing: () => {
      Object.assign(note, { state: 'closing', mtimeMs: 0 })
      write()
    },
    closed: async (checkedAt) => {
      leave()
      try {
        // on a full drive the log stays beside the database
        if (await stat(`${databaseOf(folder)}-wal`).catch(() => null)) return
        const { size, mtimeMs: time } = await stat(databaseOf(folder))
        const now = await checksumOf(databaseOf(folder))
        Object.assign(note, { state: 'closed', byteCount: size, mtimeMs: time, crc32: now, checkedAt })
        await writeFile(path, padded(note))
      } catch {
        // the drive is full or gone
      }
    },
    leave,
  }
}

/** All notes are as long, so that one is written over another in one go. */
const noteBytes = 400

/** A note that a bad drive has altered is none: its own checksum stands beside it. */
function padded(note: Note): Buffer {
  const text = JSON.stringify(note)
  return Buffer.from(
    JSON.stringify({ note: text, crc32: crc32(text) })
      .padEnd(noteBytes - 1)
      .concat('\n'),
  )
}

async function readNote(folder: string): Promise<Note | null> {
  try {
    const { note, crc32: sum } = JSON.parse(await readFile(noteOf(folder), 'utf8')) as { note: string; crc32: number }
    return crc32(note) === sum ? (JSON.parse(note) as Note) : null
  } catch {
    return null
  }
}

const pieceBytes = 1 << 20

/** 2.5 GB a second: a rack of ten thousand panels takes 55 ms. Not for a database that is open, see `breakSeal`. */
async function checksumOf(path: string): Promise<number> {
  const handle = await open(path, 'r')
  try {
    return await checksumThrough(handle)
  } finally {
    await handle.close()
  }
}

async function checksumThrough(handle: FileHandle): Promise<number> {
  const piece = Buffer.allocUnsafeSlow(pieceBytes)
  let sum = 0
  for (let at = 0; ; ) {
    const { bytesRead } = await handle.read(piece, 0, pieceBytes, at)
    if (bytesRead === 0) return sum
    sum = crc32(piece.subarray(0, bytesRead), sum)
    at += bytesRead
  }
}
