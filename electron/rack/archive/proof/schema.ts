import Database from 'better-sqlite3'
import { migrations } from '../../migrations/list.ts'
import { builder } from '../../opening/connection.ts'
import { addFunctions } from '../../opening/functions.ts'
import { migrate } from '../../opening/migrate.ts'
import { recordsSuspicious } from '../refusals.ts'

type Made = { type: string; name: string; tbl_name: string; sql: string | null }

/** Quotes and blanks differ with the SQLite that wrote them. */
const plain = ({ type, name, tbl_name, sql }: Made): string =>
  JSON.stringify([type, name, tbl_name, sql === null ? null : sql.replaceAll('"', '').replaceAll(/\s+/g, ' ').trim()])

/** Left by ANALYZE: figures that queries are planned by, no part of what a rack is. */
const isStatistics = ({ name }: Made): boolean => /^sqlite_stat[1-4]$/.test(name)

const listed = (raw: Database.Database): Made[] =>
  raw.prepare('select type, name, tbl_name, sql from sqlite_schema').all() as Made[]

const ofVersion = new Map<number, Promise<ReadonlySet<string>>>()

/** What a rack of this form is made of: made anew, by the same steps. */
function ours(version: number): Promise<ReadonlySet<string>> {
  const known = ofVersion.get(version)
  if (known) return known
  const made = (async () => {
    const raw = new Database(':memory:')
    try {
      addFunctions(raw)
      await migrate(builder(raw), migrations.slice(0, version))
      return new Set(listed(raw).map(plain))
    } finally {
      raw.close()
    }
  })()
  ofVersion.set(version, made)
  return made
}

/**
 * A stranger's database may hold triggers, views and generated columns that do something when it is read or written. One
 * that is not made of exactly what our own steps make is refused before a row of it is read.
 * @throws Refusal `archive/suspicious`
 */
export async function schemaMustBeOurs(raw: Database.Database, version: number): Promise<void> {
  const expected = await ours(version)
  const found = listed(raw).filter((one) => !isStatistics(one))
  for (const one of found)
    if (!expected.has(plain(one))) throw recordsSuspicious(`there is a ${kindOf(one)} in them that no rack has`)
  if (new Set(found.map(plain)).size !== expected.size)
    throw recordsSuspicious('a table or an index of theirs is missing')
}

const kindOf = ({ type }: Made): string => (['table', 'index', 'trigger', 'view'].includes(type) ? type : 'thing')
