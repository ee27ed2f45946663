import { createHash } from 'node:crypto'
import { copyFileSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join, relative } from 'node:path'
import Database from 'better-sqlite3'

export type Rows = Record<string, unknown[]>

/**
 * Looks at a rack's database while no service runs, in a copy: opening it where it lies would bring its log in, and the
 * service that comes next would find another rack.
 */
export function inCopy<T>(folder: string, look: (raw: Database.Database) => T, name = 'rack.sqlite'): T {
  const scratch = mkdtempSync(join(tmpdir(), 'overground-faults-'))
  try {
    for (const tail of ['', '-wal']) {
      const from = join(folder, `${name}${tail}`)
      if (existsSync(from)) copyFileSync(from, join(scratch, `rack.sqlite${tail}`))
    }
    const raw = new Database(join(scratch, 'rack.sqlite'))
    try {
      return look(raw)
    } finally {
      raw.close()
    }
  } finally {
    rmSync(scratch, { recursive: true, force: true })
  }
}

/** What SQLite itself finds wrong. */
export function unsoundness(raw: Database.Database): string[] {
  const found = raw.pragma('integrity_check(3)') as { integrity_check: string }[]
  const wrong = found.map((row) => row.integrity_check).filter((words) => words !== 'ok')
  const loose = (raw.pragma('foreign_key_check') as { table: string; parent: string }[]).map(
    ({ table, parent }) => `${table} without its ${parent}`,
  )
  return [...wrong, ...loose]
}

/** Every row of every table of ours; what SQLite keeps for its own search words is left out, it can be made anew. */
export function allRows(raw: Database.Database, only?: readonly string[]): Rows {
  const tables = raw
    .prepare("select name from sqlite_schema where type = 'table' and sql not like 'create virtual%' order by name")
    .pluck()
    .all() as string[]
  const rows: Rows = {}
  for (const table of tables) {
    if (/^(sqlite_|panel_words|panel_vocabulary)/.test(table) || (only && !only.includes(table))) continue
    rows[table] = (raw.prepare(`select * from "${table}"`).all() as object[])
      .map((row) => JSON.stringify(row))
      .toSorted()
  }
  return rows
}

/** The tables in which two states differ, with a row of each. */
export function differences(before: Rows, after: Rows): string[] {
  const found: string[] = []
  for (const table of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const [a, b] = [before[table] ?? [], after[table] ?? []]
    const [inA, inB] = [new Set(a), new Set(b)]
    const gone = a.find((row) => !inB.has(row))
    const come = b.find((row) => !inA.has(row))
    if (gone !== undefined || come !== undefined || a.length !== b.length)
      found.push(`${table}: ${a.length} and ${b.length} rows; ${String(gone ?? come).slice(0, 200)}`)
  }
  return found
}

export const hashOf = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex')

/** Files of a folder and those below, with their paths in it. */
export function filesBelow(folder: string): string[] {
  if (!existsSync(folder)) return []
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
}

/** Originals that are not what their names say: half a file must never have its final name. */
export const wrongOriginals = (folder: string): string[] =>
  filesBelow(join(folder, 'photos'))
    .filter((name) => !basename(name).startsWith('.'))
    .filter((name) => hashOf(join(folder, 'photos', name)) !== basename(name).split('.')[0])

/** What is left of work that was cut short, in a rack and in the application's own folder; nobody may be at work. */
export function leftovers(rack: string, home: string): string[] {
  const half = (name: string) =>
    /\.part(-journal|-wal|-shm)?$|^lock\.(?!turn)|\.new(-wal|-shm|-journal)?$|-journal$/.test(basename(name))
  const ofRepair = filesBelow(join(rack, 'backups', '.repair')).map((name) => `backups/.repair/${name}`)
  return [...ofRepair, ...filesBelow(rack).filter(half), ...filesBelow(home).filter(half)]
}

/** Backups that are there under their final name and are not whole; what was set aside as damaged is no backup. */
export function wrongBackups(rack: string): string[] {
  const folder = join(rack, 'backups')
  const wrong: string[] = []
  for (const name of filesBelow(folder).filter((each) => isBackup.test(each))) {
    const raw = new Database(join(folder, name), { readonly: true })
    try {
      wrong.push(...unsoundness(raw).map((words) => `${name}: ${words}`))
    } catch (error) {
      wrong.push(`${name}: ${String(error)}`)
    } finally {
      raw.close()
    }
  }
  return wrong
}

const isBackup = /^rack-(?!.*-damaged).*\.sqlite$/

export const bytesOf = (path: string): number => (existsSync(path) ? statSync(path).size : 0)
