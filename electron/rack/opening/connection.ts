import { toNamespacedPath } from 'node:path'
import Database from 'better-sqlite3'
import { Kysely, SqliteDialect } from 'kysely'
import { rackClosed } from '../refusals.ts'
import type { Tables } from '../tables.ts'
import { addFunctions } from './functions.ts'

export function sqliteVersion(): string {
  const memory = new Database(':memory:')
  try {
    return String(memory.prepare('select sqlite_version()').pluck().get())
  } finally {
    memory.close()
  }
}

/** Opens a database with the settings that every rack has. */
export function connect(path: string): Database.Database {
  // on Windows paths of more than 260 characters are opened only in this way of writing
  const raw = new Database(toNamespacedPath(path))
  try {
    raw.pragma('journal_mode = WAL')
    raw.pragma('synchronous = FULL')
    raw.pragma('foreign_keys = ON')
    raw.pragma('busy_timeout = 5000')
    // kibibytes: a large rack's indexes stay in memory
    raw.pragma('cache_size = -32768')
    raw.pragma('trusted_schema = OFF')
    addFunctions(raw)
    return raw
  } catch (error) {
    raw.close()
    throw error
  }
}

/** Opens a database that nobody writes to, and that cannot be written to through this connection either. */
export function connectToRead(path: string): Database.Database {
  const raw = new Database(toNamespacedPath(path), { readonly: true })
  try {
    raw.pragma('cache_size = -32768')
    raw.pragma('trusted_schema = OFF')
    addFunctions(raw)
    return raw
  } catch (error) {
    raw.close()
    throw error
  }
}

/**
 * The query builder on a connection. The connection is closed by itself, not through the builder: a query that comes
 * later is then refused in words.
 */
export function builder(raw: Database.Database): Kysely<Tables> {
  // preparing takes most of a small query's time
  const kept = new Map<string, Database.Statement>()
  const prepare = (text: string): Database.Statement => {
    if (!raw.open) throw rackClosed()
    // on a full drive SQLite has gone back by itself already: to be told to do so again would hide why
    if (text === 'rollback' && !raw.inTransaction) return prepare('select 0 where 0')
    const old = kept.get(text)
    if (old) return old
    const statement = raw.prepare(text)
    if (kept.size >= 500) kept.clear()
    kept.set(text, statement)
    return statement
  }
  const database = { prepare, close: () => void raw.close() }
  return new Kysely<Tables>({ dialect: new SqliteDialect({ database }) })
}
