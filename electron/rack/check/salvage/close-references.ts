import type Database from 'better-sqlite3'

type Loose = { table: string; rowid: number | null; fkid: number }
type Key = { id: number; from: string }

/**
 * Makes every reference lead somewhere again: a reference that may be empty is emptied, a row that belongs to something
 * that is lost is removed, until nothing is loose.
 */
export function closeReferences(raw: Database.Database): {
  removed: number
  removedOf: Record<string, number>
  loosened: number
} {
  let removed = 0
  const removedOf: Record<string, number> = {}
  const out = (table: string, count: number) => {
    removedOf[table] = (removedOf[table] ?? 0) + count
    removed += count
  }
  let loosened = 0
  for (;;) {
    const loose = raw.pragma('foreign_key_check') as Loose[]
    if (loose.length === 0) return { removed, removedOf, loosened }
    let changed = 0
    for (const { table, rowid, fkid } of loose) {
      const keys = raw.pragma(`foreign_key_list("${table}")`) as Key[]
      const column = keys.find((key) => key.id === fkid)?.from
      if (!column) continue
      if (rowid === null) {
        // a table without rowids is not told row by row: all its rows that lead nowhere go
        const parent = (raw.pragma(`foreign_key_list("${table}")`) as Array<Key & { table: string; to: string }>)[0]!
        changed += raw
          .prepare(`delete from "${table}" where "${column}" not in (select "${parent.to}" from "${parent.table}")`)
          .run().changes
        continue
      }
      if (emptied(raw, table, column, rowid)) loosened++
      else out(table, raw.prepare(`delete from "${table}" where rowid = ?`).run(rowid).changes)
      changed++
    }
    if (changed === 0) throw new Error(`${loose.length} loose rows stay in ${loose[0]?.table}`)
  }
}

function emptied(raw: Database.Database, table: string, column: string, rowid: number): boolean {
  try {
    raw.prepare(`update "${table}" set "${column}" = null where rowid = ?`).run(rowid)
    return true
  } catch (error) {
    if ((error as { code?: string }).code?.startsWith('SQLITE_CONSTRAINT')) return false
    throw error
  }
}
