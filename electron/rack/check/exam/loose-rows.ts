import type Database from 'better-sqlite3'

/** A row that names another which is not there. */
export type LooseRow = { table: string; id: string | null; column: string; parent: string; parentId: string | null }

type Found = { table: string; rowid: number | null; parent: string; fkid: number }
type Key = { id: number; from: string; to: string }

/** Rows whose reference leads nowhere, at most so many. */
export function looseRows(raw: Database.Database, most: number): LooseRow[] {
  const loose: LooseRow[] = []
  const keys = new Map<string, Key[]>()
  for (const found of (raw.pragma('foreign_key_check') as Found[]).slice(0, most)) {
    const of = keys.get(found.table) ?? (raw.pragma(`foreign_key_list(${found.table})`) as Key[])
    keys.set(found.table, of)
    const column = of.find((key) => key.id === found.fkid)?.from ?? ''
    loose.push({ table: found.table, column, parent: found.parent, ...namesOf(raw, found, column) })
  }
  return loose
}

function namesOf(raw: Database.Database, { table, rowid }: Found, column: string): Pick<LooseRow, 'id' | 'parentId'> {
  // a table without rowids is not told by number
  if (rowid === null) return { id: null, parentId: null }
  const own = hasId(raw, table) ? 'id' : 'null'
  const row = raw.prepare(`select ${own} as id, "${column}" as parentId from "${table}" where rowid = ?`).get(rowid)
  const { id, parentId } = (row ?? {}) as { id?: unknown; parentId?: unknown }
  return { id: textOrNull(id), parentId: textOrNull(parentId) }
}

const hasId = (raw: Database.Database, table: string): boolean =>
  (raw.pragma(`table_info("${table}")`) as Array<{ name: string }>).some(({ name }) => name === 'id')

const textOrNull = (value: unknown): string | null => (typeof value === 'string' ? value : null)
