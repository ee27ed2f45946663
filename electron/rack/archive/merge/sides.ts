import type Database from 'better-sqlite3'
import type { Row } from '../../history/rows.ts'
import type { TrackedTable } from '../../tables.ts'

/** One of two racks that are held against each other: small questions, each prepared once. */
export type Side = {
  get(table: TrackedTable, id: string): Row | undefined
  all(statement: string, ...bound: (string | number | null)[]): Row[]
  each(statement: string, ...bound: (string | number | null)[]): Iterable<Row>
}

export function sideOf(raw: Database.Database): Side {
  const kept = new Map<string, Database.Statement>()
  const prepared = (statement: string): Database.Statement => {
    const known = kept.get(statement)
    if (known) return known
    const made = raw.prepare(statement)
    kept.set(statement, made)
    return made
  }
  return {
    get: (table, id) => prepared(`select * from "${table}" where id = ?`).get(id) as Row | undefined,
    all: (statement, ...bound) => prepared(statement).all(...bound) as Row[],
    // a statement that is being read cannot be used for another question meanwhile
    each: (statement, ...bound) => raw.prepare(statement).iterate(...bound) as Iterable<Row>,
  }
}

export const text = (value: Row[string] | undefined): string => (typeof value === 'string' ? value : '')

export const textOrNull = (value: Row[string] | undefined): string | null => (typeof value === 'string' ? value : null)

/** As SQLite's NOCASE compares: ASCII letters alone. */
export const folded = (name: string): string => name.replaceAll(/[A-Z]/g, (letter) => letter.toLowerCase())

/** Rows alike in every column but these. */
export const areAlike = (a: Row, b: Row, but: readonly string[] = []): boolean =>
  Object.keys(a).every((name) => but.includes(name) || a[name] === b[name])
