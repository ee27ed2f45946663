import type Database from 'better-sqlite3'
import type { Values } from './records.ts'

/** How a table of a rack keeps its rows. */
export type TableForm = {
  name: string
  /** As they are kept in a record. */
  columns: Array<{ name: string; type: string; mayBeNull: boolean }>
  hasRowid: boolean
  /** Kept as the rowid, and as nothing in the record. */
  rowidColumn: string | null
}

/** Made anew from the others, or of no use in another database. */
const notWanted = /^(sqlite_|panel_words|panel_row|panel_doc|panel_vocabulary|file_check|check_run|change_about|intake)/

/** The tables of a fresh database whose rows are worth reading out of a damaged one. */
export function formsOf(raw: Database.Database): TableForm[] {
  const tables = raw.prepare("select name, wr from pragma_table_list where schema = 'main' and type = 'table'").all()
  return (tables as Array<{ name: string; wr: number }>)
    .filter(({ name }) => !notWanted.test(name))
    .map(({ name, wr }) => {
      const info = raw.pragma(`table_info("${name}")`) as Info[]
      const primary = info.filter(({ pk }) => pk > 0).toSorted((a, b) => a.pk - b.pk)
      const isRowid = wr === 0 && primary.length === 1 && primary[0]?.type === 'INTEGER'
      const inOrder = wr === 0 ? info : [...primary, ...info.filter(({ pk }) => pk === 0)]
      return {
        name,
        hasRowid: wr === 0,
        rowidColumn: isRowid ? (primary[0]?.name ?? null) : null,
        columns: inOrder.map((column) => ({
          name: column.name,
          type: column.type.toUpperCase(),
          mayBeNull: column.notnull === 0,
        })),
      }
    })
}

type Info = { name: string; type: string; notnull: number; pk: number }

/** Whether a record could be a row of this table. One written before a column was added has fewer values. */
export function fits({ columns, rowidColumn }: TableForm, values: Values): boolean {
  if (values.length > columns.length || values.length < Math.min(2, columns.length)) return false
  return values.every((value, i) => {
    const column = columns[i]!
    if (value === null) return column.mayBeNull || column.name === rowidColumn
    if (column.type === 'TEXT') return typeof value === 'string' && (column.name !== 'id' || isId(value))
    if (column.type === 'INTEGER') return Number.isInteger(value)
    return typeof value === 'number'
  })
}

const isId = (value: string): boolean => /^[\w-]{1,64}$/.test(value)
