import type Database from 'better-sqlite3'
import { trackedTables } from '../../tables.ts'

/** A row that is not as its last change left it: its bytes were altered by something else, or those of the history. */
export type HistoryBreach = {
  table: string
  id: string
  /** The panel that it belongs to; null where that cannot be told. */
  panelCode: string | null
  /** The row itself is gone, or there though it should not be. */
  row: 'differs' | 'gone' | 'there-again'
  columns: Array<{ name: string; present: string; history: string }>
}

type Breached = Omit<HistoryBreach, 'panelCode'>
type Image = { table_name: string; row_id: string; after: string | null }

/**
 * Compares every row that the history knows with the last change of it that holds. A flipped byte inside a value changes
 * nothing that SQLite itself could find; here it is found, as the history has every row a second time.
 */
export function historyBreaches(raw: Database.Database, most: number): HistoryBreach[] {
  const known = new Set<string>(trackedTables)
  const rows = new Map(trackedTables.map((table) => [table, raw.prepare(`select * from "${table}" where id = ?`)]))
  const found: Breached[] = []
  // the greatest of each group brings its own row along: sqlite.org/lang_select.html, "bare columns"
  const latest = raw.prepare(`select table_name, row_id, after, max(change.seq * 1000000 + change_row.seq) as place
    from change_row join change on change.id = change_row.change_id
    where change.state = 'done' group by table_name, row_id`)
  for (const image of latest.iterate() as Iterable<Image>) {
    if (!known.has(image.table_name)) continue
    const present = rows.get(image.table_name as (typeof trackedTables)[number])?.get(image.row_id)
    const breach = breachOf(image, present as Row | undefined)
    if (breach) found.push(breach)
    if (found.length >= most) break
  }
  return found.map((breach) => ({ ...breach, panelCode: panelOf(raw, breach) }))
}

/** By what the row as it stands says. */
function panelOf(raw: Database.Database, { table, id }: Breached): string | null {
  const by: Partial<Record<string, string>> = {
    panel: 'select code from panel where id = ?',
    reading:
      'select code from reading join step on step.id = reading.step_id join panel on panel.id = step.panel_id where reading.id = ?',
    ...Object.fromEntries(
      ['layer', 'step', 'tag', 'filing'].map((one) => [
        one,
        `select code from ${one} join panel on panel.id = ${one}.panel_id where ${one}.id = ?`,
      ]),
    ),
  }
  const statement = by[table]
  return statement ? ((raw.prepare(statement).pluck().get(id) as string | undefined) ?? null) : null
}

type Row = Record<string, unknown>

function breachOf({ table_name: table, row_id: id, after }: Image, present: Row | undefined): Breached | null {
  if (after === null) return present ? { table, id, row: 'there-again', columns: [] } : null
  if (!present) return { table, id, row: 'gone', columns: [] }
  const image = parsed(after)
  if (!image) return { table, id, row: 'differs', columns: [{ name: '', present: '', history: 'cannot be read' }] }
  const columns = Object.keys(image)
    // a name that no column has was altered itself
    .filter((name) => !(name in present) || present[name] !== image[name])
    .map((name) => ({
      name,
      present: name in present ? said(present[name]) : 'no such thing',
      history: said(image[name]),
    }))
  return columns.length > 0 ? { table, id, row: 'differs', columns } : null
}

function parsed(json: string): Row | null {
  try {
    return JSON.parse(json) as Row
  } catch {
    return null
  }
}

const said = (value: unknown): string =>
  (value === null ? 'nothing' : typeof value === 'string' ? value : JSON.stringify(value)).slice(0, 200)
