import type Database from 'better-sqlite3'

/** A step of SQLite's plan that goes through a table from end to end, and the statement that it is of. */
export type Plan = { plan: string; statement: string }

/** Tables that do not grow with the number of panels. */
const small = new Set([
  'rack_info',
  'light',
  'setup',
  'gun_setup',
  'material',
  'saved_search',
  'rack_event',
  'check_run',
  'check_left',
  'intake',
  'sqlite_schema',
])
/** Only what was altered last stands in these, and all of it is looked at. */
const emptied = new Set(['panel_words_due', 'panel_row_due', 'temp.touched_step'])

/**
 * Statements that read a growing table from end to end, along an index or not. Every name that is not known to be small
 * counts, so that a table under another name does not hide.
 */
export function fullScans(raw: Database.Database, statements: readonly string[]): Plan[] {
  return [...new Set(statements)].filter(canBePlanned).flatMap((statement) => {
    const bound = Array<null>(statement.split('?').length - 1).fill(null)
    const plan = raw.prepare(`explain query plan ${statement}`).all(bound) as Array<{ detail: string }>
    const made = namesMade(statement)
    return plan
      .filter(({ detail }) => isFullScan(detail, made))
      .map(({ detail }) => ({ plan: detail, statement: statement.replaceAll(/\s+/g, ' ') }))
  })
}

const canBePlanned = (statement: string): boolean => /^\s*(select|insert|update|delete|with)\b/i.test(statement)

/** Names that the statement itself gives to what its parts found. */
function namesMade(statement: string): Set<string> {
  const named = statement.matchAll(/(?:\) as "?|\bwith (?:recursive )?"?)(\w+)/gi)
  return new Set([...named].map(([, name]) => name ?? ''))
}

function isFullScan(detail: string, made: ReadonlySet<string>): boolean {
  const name = /^SCAN (\S+)/.exec(detail)?.[1]
  if (name === undefined || name === 'CONSTANT') return false
  // fts5 and json_each: a plan without a constraint ends with its colon
  if (/ VIRTUAL TABLE INDEX /.test(detail)) return name !== 'json_each' && detail.endsWith(' INDEX 0:')
  return !small.has(name) && !emptied.has(name) && !made.has(name) && !name.startsWith('(')
}
