import type Database from 'better-sqlite3'
import { knowsAbout } from '../../history/about.ts'
import { fillAbout } from '../../migrations/0006-history.ts'
import { migrations } from '../../migrations/list.ts'
import { builder, connect } from '../../opening/connection.ts'
import { migrate } from '../../opening/migrate.ts'
import { historyBreaches } from '../exam/history-breaches.ts'
import { holdingOf, type SalvageFacts } from '../repair/facts.ts'
import { closeReferences } from './close-references.ts'
import { fillFromHistory } from './fill-from-history.ts'
import { openPages } from './pages.ts'
import type { Cell } from './records.ts'
import { fits, formsOf, type TableForm } from './tables-of.ts'
import { type Reading, readTables } from './trees.ts'

/**
 * Reads what can be read of a damaged database, row by row, into a fresh one of the same version. Rows that make no sense are
 * left out by the form of the records itself, and rows that then belong to nothing with them.
 * @param database  a copy; its log beside it counts
 * @param to        the new database's path
 * @param name      of the rack, where its own cannot be read
 */
export async function salvage({
  database,
  to,
  name,
}: {
  database: string
  to: string
  name: string
}): Promise<SalvageFacts> {
  const pages = openPages(database)
  const version = pages.version >= 1 && pages.version <= migrations.length ? pages.version : migrations.length
  const raw = connect(to)
  try {
    await migrate(builder(raw), migrations.slice(0, version))
    raw.pragma('foreign_keys = OFF')
    const reading: Reading = { unreadablePages: 0, senselessRows: 0 }
    const rows = { read: 0, senseless: 0, orphaned: 0, fromHistory: 0 }
    const fresh = raw.prepare('select * from rack_info').get() as Row
    const lights = raw.prepare('select * from light').all() as Row[]
    raw.exec('begin; delete from rack_info; delete from light')
    const put = putter(raw)
    for (const { form, cells } of readTables(pages, formsOf(raw), reading))
      for (const cell of cells) {
        if (put(form, cell)) rows.read++
        else rows.senseless++
      }
    rows.senseless += reading.senselessRows
    if (isEmpty(raw, 'rack_info')) putFresh(raw, 'rack_info', { ...fresh, name })
    if (isEmpty(raw, 'light')) for (const light of lights) putFresh(raw, 'light', light)
    rows.fromHistory = fillFromHistory(raw)
    neverGiveTwice(raw)
    const { removed, removedOf, loosened } = closeReferences(raw)
    rows.orphaned = removed
    if (version >= knowsAbout) for (const statement of fillAbout) raw.exec(statement)
    raw.exec('commit')
    raw.pragma('journal_mode = DELETE')
    return {
      version,
      holding: holdingOf(raw),
      pages: { all: pages.count, unreadable: reading.unreadablePages },
      rows,
      orphanedOf: removedOf,
      loosened,
      doubtful: historyBreaches(raw, 1000).length,
    }
  } finally {
    raw.close()
    pages.close()
  }
}

/** Puts one row; false when it makes no sense. One that is there already, from a page that is newer, stays. */
function putter(raw: Database.Database): (form: TableForm, cell: Cell) => boolean {
  const statements = new Map<string, Database.Statement>()
  return (form, { rowid, values }) => {
    if (!fits(form, values)) return false
    const key = `${form.name} ${values.length}`
    let statement = statements.get(key)
    if (!statement) {
      const names = form.columns.slice(0, values.length).map((column) => `"${column.name}"`)
      statement = raw.prepare(
        `insert into "${form.name}" (${names.join(', ')}) values (${names.map(() => '?').join(', ')})`,
      )
      statements.set(key, statement)
    }
    try {
      statement.run(values.map((value, i) => (form.columns[i]?.name === form.rowidColumn ? rowid : value)))
      return true
    } catch (error) {
      const code = (error as { code?: string }).code ?? ''
      if (code === 'SQLITE_CONSTRAINT_PRIMARYKEY' || code === 'SQLITE_CONSTRAINT_ROWID') return true
      if (code.startsWith('SQLITE_CONSTRAINT') || code === 'SQLITE_MISMATCH') return false
      throw error
    }
  }
}

type Row = Record<string, unknown>

const isEmpty = (raw: Database.Database, table: string): boolean =>
  raw.prepare(`select count(*) from ${table}`).pluck().get() === 0

function putFresh(raw: Database.Database, table: string, row: Row): void {
  const names = Object.keys(row)
  raw
    .prepare(`insert into ${table} (${names.join(', ')}) values (${names.map(() => '?').join(', ')})`)
    .run(Object.values(row))
}

/** A code may stand on a label: where the count of given codes is lost or older than they are, it goes on behind them. */
function neverGiveTwice(raw: Database.Database): void {
  const columns = new Set((raw.pragma('table_info(rack_info)') as Array<{ name: string }>).map(({ name }) => name))
  for (const [column, table] of [
    ['next_code', 'panel'],
    ['next_cup', 'cup'],
    ['next_job', 'customer_job'],
  ] as const) {
    if (!columns.has(column)) continue
    const codes = raw.prepare(`select code from ${table}`).pluck().all() as string[]
    const highest = Math.max(0, ...codes.map((code) => Number(/^[A-Z]+-(\d{1,9})$/.exec(code)?.[1] ?? 0)))
    raw.prepare(`update rack_info set ${column} = max(${column}, ?)`).run(highest + 1)
  }
}
