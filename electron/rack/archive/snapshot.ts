import { rm } from 'node:fs/promises'
import Database from 'better-sqlite3'
import { type Kysely, sql } from 'kysely'
import { syncFile } from '../disk/durable.ts'
import type { Tables } from '../tables.ts'

/** Where the records that a connection reads lie: in the rack's folder, or a copy where that is only looked at. */
export async function fileOf(db: Kysely<Tables>): Promise<string> {
  const { rows } = await sql<{ name: string; file: string }>`pragma database_list`.execute(db)
  const main = rows.find(({ name }) => name === 'main')
  if (!main) throw new Error('The database has no file')
  return main.file
}

/** What is under way on this computer, which of its folders are watched, and what a look through this disk found. */
export const ofThisComputer = ['intake', 'watched_folder', 'file_check', 'check_run', 'check_left'] as const
/** Rows of `change_row` go with their change. */
const historyTables = ['change', 'change_about', 'rack_event'] as const

/**
 * A copy of the records that another computer can open: whole, in one file, without what belongs to this computer alone
 * (photos on their way into the tray, with their paths; watched folders; which files were looked through on this disk).
 * Takes as long as the records are large: to be done in a worker.
 * @param database  the open rack's file
 * @throws when the copy is not whole; then none is left behind
 */
export async function takeSnapshot(database: string, path: string, history: boolean): Promise<void> {
  try {
    const from = new Database(database, { readonly: true })
    try {
      from.pragma('busy_timeout = 5000')
      from.prepare('vacuum into ?').run(path)
    } finally {
      from.close()
    }
    const copy = new Database(path)
    try {
      copy.pragma('journal_mode = DELETE')
      copy.pragma('foreign_keys = ON')
      // what is taken out is not to be read in the free pages either
      copy.pragma('secure_delete = ON')
      empty(copy, ofThisComputer)
      if (!history) {
        empty(copy, historyTables)
        copy.exec('vacuum')
      }
      const found = copy.pragma('integrity_check(1)', { simple: true })
      if (found !== 'ok') throw new Error(`The copy of the records is not whole: ${String(found)}`)
    } finally {
      copy.close()
    }
    await syncFile(path)
  } catch (error) {
    for (const tail of ['', '-wal', '-shm', '-journal']) await rm(path + tail, { force: true })
    throw error
  }
}

/** A rack that is only read may be of a form that has not all of them. */
function empty(copy: Database.Database, tables: readonly string[]): void {
  const there = new Set(copy.prepare("select name from sqlite_schema where type = 'table'").pluck().all())
  for (const table of tables) if (there.has(table)) copy.exec(`delete from ${table}`)
}
