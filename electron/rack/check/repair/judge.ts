import Database from 'better-sqlite3'
import { addFunctions } from '../../opening/functions.ts'
import { integrityOf, isOnlyIndexes } from '../exam/exam.ts'
import { historyBreaches } from '../exam/history-breaches.ts'
import { chainBreaches } from '../exam/history-chains.ts'
import { looseRows } from '../exam/loose-rows.ts'
import { closeReferences } from '../salvage/close-references.ts'
import { fillFromHistory } from '../salvage/fill-from-history.ts'
import { holdingOf, type RepairFindings } from './facts.ts'

const most = 500

/**
 * What a copy of a rack's database is worth, its log replayed. To mend it, indexes are made anew where only they are wrong,
 * and each row that they missed is compared with the history: a turned byte in a row looks like a wrong index. Rows that
 * name something that is gone are put right with what the history knows, or without it.
 * @param database  a copy: it is written to
 */
export function judge(database: string, mend: boolean): RepairFindings {
  const findings: RepairFindings = {
    opens: false,
    integrity: [],
    loose: [],
    unconfirmed: 0,
    historyBreaches: 0,
    chainBreaches: 0,
    mended: { fromHistory: 0, loosened: 0, removed: 0 },
    holding: null,
  }
  let raw: Database.Database | undefined
  try {
    raw = new Database(database)
    raw.pragma('trusted_schema = OFF')
    findings.integrity = integrityOf(raw, most)
    if (mend && isOnlyIndexes(findings.integrity)) {
      findings.unconfirmed = unconfirmed(raw, findings.integrity)
      raw.exec('reindex')
      if (findings.integrity.some((line) => /fts5/i.test(line)))
        raw.exec("insert into panel_words (panel_words) values ('rebuild')")
      findings.integrity = integrityOf(raw, most)
    }
    findings.loose = looseRows(raw, most)
    if (mend && findings.integrity.length === 0 && findings.loose.length > 0) {
      findings.mended = closeLoose(raw)
      findings.loose = looseRows(raw, most)
    }
    findings.historyBreaches = historyBreaches(raw, most).length
    findings.chainBreaches = chainBreaches(raw, most).length
    findings.holding = holdingOf(raw)
    // the copy is then one file
    raw.pragma('journal_mode = DELETE')
    findings.opens = true
  } catch (error) {
    findings.integrity.push(error instanceof Error ? error.message : String(error))
  } finally {
    raw?.close()
  }
  return findings
}

function closeLoose(raw: Database.Database): RepairFindings['mended'] {
  addFunctions(raw)
  raw.pragma('foreign_keys = OFF')
  raw.exec('begin')
  const fromHistory = fillFromHistory(raw)
  const { removed, loosened } = closeReferences(raw)
  raw.exec('commit')
  return { fromHistory, removed, loosened }
}

/** Rows that an index missed and that the history does not have as they stand. */
function unconfirmed(raw: Database.Database, integrity: readonly string[]): number {
  let count = 0
  for (const line of integrity) {
    const [, rowid, index] = /^row (\d+) missing from index (\S+)$/.exec(line) ?? []
    if (!rowid || !index) continue
    const table = raw.prepare("select tbl_name from sqlite_master where type = 'index' and name = ?").pluck().get(index)
    if (typeof table !== 'string' || !isConfirmed(raw, table, Number(rowid))) count++
  }
  return count
}

function isConfirmed(raw: Database.Database, table: string, rowid: number): boolean {
  const row = raw.prepare(`select * from "${table}" not indexed where rowid = ?`).get(rowid)
  const present = row as Record<string, unknown> | undefined
  if (typeof present?.id !== 'string') return false
  const after = raw
    .prepare(
      `select after from change_row join change on change.id = change_row.change_id
        where table_name = ? and row_id = ? and state = 'done' order by change.seq desc, change_row.seq desc limit 1`,
    )
    .pluck()
    .get(table, present.id)
  if (typeof after !== 'string') return false
  const image = JSON.parse(after) as Record<string, unknown>
  return Object.keys(image).every((name) => present[name] === image[name])
}
