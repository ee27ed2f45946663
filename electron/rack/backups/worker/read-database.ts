import { createHash } from 'node:crypto'
import { closeSync, fstatSync, openSync, readSync } from 'node:fs'
import Database from 'better-sqlite3'
import { applicationId } from '../../disk/header.ts'
import type { Counted } from './tasks.ts'

/** A database is not whole; says what was found. */
export class Damaged extends Error {}

/** Opens a database only to read it: its log is read, too, and stays as it is. */
export function openToRead(path: string): Database.Database {
  const raw = new Database(path, { readonly: true, fileMustExist: true })
  raw.pragma('busy_timeout = 5000')
  raw.pragma('trusted_schema = OFF')
  return raw
}

/** @throws Damaged */
export function lookThrough(raw: Database.Database): void {
  const found = raw.pragma('integrity_check(1)', { simple: true })
  if (found !== 'ok') throw new Damaged(String(found))
  const [loose] = raw.pragma('foreign_key_check') as { table: string; parent: string }[]
  if (loose) throw new Damaged(`a ${loose.table} has lost its ${loose.parent}`)
  if (raw.pragma('application_id', { simple: true }) !== applicationId) throw new Damaged('it is no rack’s')
}

/** Virtual tables have no rows of their own; those that hold theirs are counted. */
const ordinary = `select name from sqlite_schema
  where type = 'table' and name not like 'sqlite\\_%' escape '\\' and sql not like 'create virtual%' order by name`

export function count(raw: Database.Database): Counted {
  const names = raw.prepare(ordinary).pluck().all() as string[]
  const number = (sql: string) => Number(raw.prepare(sql).pluck().get())
  const rows = Object.fromEntries(names.map((name) => [name, number(`select count(*) from "${name}"`)]))
  const info = raw.prepare('select * from rack_info').get() as Record<string, unknown> | undefined
  if (!info) throw new Damaged('it does not say whose it is')
  const live = (table: string) =>
    names.includes(table) ? number(`select count(*) from ${table} where deleted_at is null`) : 0
  return {
    version: Number(raw.pragma('user_version', { simple: true })),
    rackId: typeof info.rack_id === 'string' ? info.rack_id : '',
    rackName: String(info.name),
    revision: Number(info.revision),
    counts: {
      panels: live('panel'),
      readings: live('reading'),
      photos: live('photo'),
      jobs: names.includes('customer_job') ? number('select count(*) from customer_job') : 0,
    },
    rows,
  }
}

/** @throws Damaged where a copy lacks rows */
export function mustHoldSame(copy: Counted, source: Counted): void {
  for (const [table, rows] of Object.entries(source.rows))
    if (copy.rows[table] !== rows) throw new Damaged(`${copy.rows[table] ?? 0} of ${rows} rows of ${table}`)
}

export function hashOf(path: string, onProgress?: (done: number, total: number) => void) {
  const hash = createHash('sha256')
  const file = openSync(path, 'r')
  try {
    const total = fstatSync(file).size
    const piece = Buffer.allocUnsafe(1 << 20)
    let byteCount = 0
    for (;;) {
      const read = readSync(file, piece, 0, piece.length, null)
      if (read === 0) return { sha256: hash.digest('hex'), byteCount }
      hash.update(piece.subarray(0, read))
      byteCount += read
      onProgress?.(byteCount, total)
    }
  } finally {
    closeSync(file)
  }
}
