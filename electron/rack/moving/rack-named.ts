import { open, readFile, stat } from 'node:fs/promises'
import Database from 'better-sqlite3'
import { applicationId, readHeader } from '../disk/header.ts'
import { databaseOf } from '../opening/examine.ts'

export type RackNamed = { folder: string; rackId: string; name: string }

/** Larger ones are not read into memory only to learn a name. */
const mostBytes = 600_000_000

/**
 * What a rack calls itself, without a byte written and without its lock. Read from the database alone: what its log still holds
 * is not needed for a name.
 * @returns null where there is no rack, or none that has a name of its own
 */
export async function rackNamed(folder: string): Promise<RackNamed | null> {
  const path = databaseOf(folder)
  try {
    if (!(await stat(path)).isFile()) return null
    const header = await readHeader(path)
    if (header.kind === 'other' || header.applicationId !== applicationId) return null
    if (header.byteCount > mostBytes) return null
    const bytes = await readFile(path)
    // in memory there is no log: SQLite, Database File Format, section 1.3.3, read and write versions at bytes 18 and 19
    bytes[18] = 1
    bytes[19] = 1
    const raw = new Database(bytes, { readonly: true })
    try {
      const row = raw.prepare('select rack_id, name from rack_info').get() as { rack_id: string; name: string }
      return row.rack_id === '' ? null : { folder, rackId: row.rack_id, name: row.name }
    } finally {
      raw.close()
    }
  } catch {
    // an older form, a damaged one, or a folder that may not be read: nothing is known of it
    return null
  }
}

/** Whether two paths lead to one folder, however they are written. */
export async function isSameFolder(a: string, b: string): Promise<boolean> {
  if (a === b) return true
  const [one, other] = await Promise.all([a, b].map((path) => stat(path, { bigint: true }).catch(() => null)))
  return !!one && !!other && one.dev === other.dev && one.ino === other.ino && one.ino !== 0n
}

/** Whether a folder can be read at all: a drive that was pulled out may leave its empty folder behind. */
export const canRead = (path: string): Promise<boolean> =>
  open(path, 'r').then(
    async (handle) => {
      await handle.close()
      return true
    },
    () => false,
  )
