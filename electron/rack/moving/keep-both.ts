import { randomUUID } from 'node:crypto'
import { mkdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { type Kysely, sql } from 'kysely'
import { syncFile, syncFolder } from '../disk/durable.ts'
import { withRetries } from '../disk/with-retries.ts'
import { type Breaks, breaksIn } from '../opening/integrity.ts'
import { damagedRack } from '../refusals.ts'
import type { Tables } from '../tables.ts'

/** Writes the records of an open rack into a new file, through SQLite. */
export async function writeRecords(db: Kysely<Tables>, target: string): Promise<void> {
  await sql`vacuum into ${target}`.execute(db)
}

/**
 * Keeps the records that are open as a backup, when another program has put others in their place: the open connection still has
 * its own file, which has lost its name.
 * @returns the backup's name
 * @throws Refusal `rack/damaged` when the other program has written into the very file
 */
export async function keepOwnVersion(db: Kysely<Tables>, folder: string): Promise<string> {
  const backups = join(folder, 'backups')
  await mkdir(backups, { recursive: true })
  const half = join(backups, `.${randomUUID()}.part`)
  try {
    await writeRecords(db, half)
    const breaks = breaksOf(half)
    if (breaks) throw damagedRack(folder, 'what is open here was overwritten', breaks.told)
    await syncFile(half)
    const stamp = new Date()
      .toISOString()
      .replaceAll(':', '-')
      .replace(/\.\d+Z$/, 'Z')
    const name = `rack-${stamp}-kept-here.sqlite`
    await withRetries(() => rename(half, join(backups, name)))
    await syncFolder(backups)
    return name
  } finally {
    await rm(half, { force: true })
  }
}

function breaksOf(path: string): Breaks | null {
  const copy = new Database(path, { readonly: true })
  try {
    return breaksIn(copy, 'integrity_check')
  } finally {
    copy.close()
  }
}
