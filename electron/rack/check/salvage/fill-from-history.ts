import type Database from 'better-sqlite3'
import { historyBreaches } from '../exam/history-breaches.ts'

type Row = Record<string, unknown>

/**
 * The history has every row a second time: those that are lost in their own table are put back as it has them.
 * @returns how many
 */
export function fillFromHistory(raw: Database.Database): number {
  let filled = 0
  const image = raw
    .prepare(
      `select after from change_row join change on change.id = change_row.change_id
        where state = 'done' and table_name = ? and row_id = ? order by change.seq desc, change_row.seq desc limit 1`,
    )
    .pluck()
  for (const { table, id, row } of historyBreaches(raw, Number.POSITIVE_INFINITY)) {
    if (row !== 'gone') continue
    const values = JSON.parse(String(image.get(table, id))) as Row
    const names = Object.keys(values)
    try {
      raw
        .prepare(
          `insert into "${table}" (${names.map((one) => `"${one}"`).join(', ')}) values (${names.map(() => '?').join(', ')})`,
        )
        .run(Object.values(values))
      filled++
    } catch (error) {
      if (!String((error as { code?: string }).code).startsWith('SQLITE_')) throw error
    }
  }
  return filled
}
