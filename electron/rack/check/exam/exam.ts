import type Database from 'better-sqlite3'
import { type DerivedWrong, derivedWrong } from './derived-wrong.ts'
import { type HistoryBreach, historyBreaches } from './history-breaches.ts'
import { type ChainBreach, chainBreaches } from './history-chains.ts'
import { type LooseRow, looseRows } from './loose-rows.ts'
import { type Breach, breaches } from './rules.ts'

/** What looking through a rack's database finds; everything in it is whole when every list is empty. */
export type Exam = {
  /** What SQLite itself says, line by line; empty when it says "ok". */
  integrity: string[]
  /** Rows whose reference leads nowhere. */
  loose: LooseRow[]
  /** What our own rules say beyond what the schema can. */
  breaches: Breach[]
  derived: DerivedWrong
  /** Rows that are not as the last change of them left them. */
  history: HistoryBreach[]
  /** Places where the history does not agree with itself. */
  chains: ChainBreach[]
  /** Parts of the look through that the damage itself stopped. */
  stopped: string[]
}

export const noneWrong: DerivedWrong = { rows: 0, words: 0 }

export const isWhole = (exam: Exam): boolean =>
  exam.integrity.length +
    exam.loose.length +
    exam.breaches.length +
    exam.history.length +
    exam.chains.length +
    exam.stopped.length ===
    0 && exam.derived.rows + exam.derived.words === 0

/** Messages kept: a damaged page makes thousands. */
const most = 200

/**
 * Looks a database through to its end. Takes about a second for ten thousand panels, so the service does it in a worker.
 * @param raw  of a rack that stands at this program's version, with the application's own functions
 */
export function examine(raw: Database.Database): Exam {
  const exam: Exam = {
    integrity: [],
    loose: [],
    breaches: [],
    derived: noneWrong,
    history: [],
    chains: [],
    stopped: [],
  }
  const attempt = (what: string, work: () => void) => {
    try {
      work()
    } catch (error) {
      exam.stopped.push(`${what}: ${error instanceof Error ? error.message : String(error)}`)
    }
  }
  attempt('integrity', () => {
    exam.integrity = integrityOf(raw, most)
  })
  attempt('references', () => {
    exam.loose = looseRows(raw, most)
  })
  attempt('rules', () => {
    exam.breaches = breaches(raw)
  })
  attempt('what is derived', () => {
    exam.derived = derivedWrong(raw)
  })
  attempt('history', () => {
    exam.history = historyBreaches(raw, most)
    exam.chains = chainBreaches(raw, most)
  })
  return exam
}

/** What SQLite finds, at most so many lines; empty when all is well. Full-text indexes are part of it. */
export function integrityOf(raw: Database.Database, lines: number): string[] {
  const found = raw.pragma(`integrity_check(${lines})`) as Array<{ integrity_check: string }>
  return found.map((row) => row.integrity_check).filter((line) => line !== 'ok')
}

const onlyOfIndexes =
  /^(row .+ missing from index |wrong # of entries in index |non-unique entry in index |rowid not at end-of-record for row .+ of index )/

const ofSearchWords = /^(malformed inverted index for FTS5 |fts5: )/

/** Whether SQLite complains of indexes alone, which are made anew from their tables. */
export const isOnlyIndexes = (integrity: readonly string[]): boolean =>
  integrity.length > 0 && integrity.every((line) => onlyOfIndexes.test(line) || ofSearchWords.test(line))

/** Whether it complains of nothing, or of search words alone: they are derived, as is all that stands in them. */
export const isNothingOrWords = (integrity: readonly string[]): boolean =>
  integrity.every((line) => ofSearchWords.test(line))
