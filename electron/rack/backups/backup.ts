import { randomUUID } from 'node:crypto'
import { mkdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { type Kysely, sql } from 'kysely'
import { syncFile, syncFolder } from '../disk/durable.ts'
import type { Tables } from '../tables.ts'

/**
 * Copies the database into the rack's `backups` and proves the copy before it gets its name. The photos need no copy:
 * originals are never changed.
 * @param why stands in the file's name ("before-2")
 * @returns the backup's path
 * @throws when the copy is not whole; then none is left behind
 */
export async function backUp(db: Kysely<Tables>, folder: string, why: string): Promise<string> {
  const backups = join(folder, 'backups')
  await mkdir(backups, { recursive: true })
  const temporary = join(backups, `.${randomUUID()}.part`)
  try {
    await sql`vacuum into ${temporary}`.execute(db)
    proveWhole(temporary)
    await syncFile(temporary)
    const stamp = new Date()
      .toISOString()
      .replaceAll(':', '-')
      .replace(/\.\d+Z$/, 'Z')
    const path = join(backups, `rack-${stamp}-${why}.sqlite`)
    await rename(temporary, path)
    await syncFolder(backups)
    return path
  } finally {
    await rm(temporary, { force: true })
  }
}

function proveWhole(path: string): void {
  const copy = new Database(path, { readonly: true })
  try {
    const found = copy.pragma('integrity_check', { simple: true })
    if (found !== 'ok') throw new Error(`The backup is not whole: ${String(found)}`)
  } finally {
    copy.close()
  }
}
