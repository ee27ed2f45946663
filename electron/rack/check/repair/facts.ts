import type Database from 'better-sqlite3'
import type { LooseRow } from '../exam/loose-rows.ts'

/** What a database holds, so that two can be compared. */
export type Holding = {
  panels: number
  photos: number
  readings: number
  /** Of the newest change, panel, photo or filing; null when it holds nothing. */
  latestAt: string | null
}

/** What is found in a copy of a damaged database. */
export type RepairFindings = {
  /** It can be opened and read at all. */
  opens: boolean
  integrity: string[]
  loose: LooseRow[]
  /** Lines of `integrity` about rows whose values nothing else confirms, once indexes were made anew. */
  unconfirmed: number
  /** What was done about rows that named something that is gone. */
  mended: { fromHistory: number; loosened: number; removed: number }
  /** Rows that are not as the history has them. */
  historyBreaches: number
  /** Places where the history does not agree with itself. */
  chainBreaches: number
  holding: Holding | null
}

export type SalvageFacts = {
  version: number
  holding: Holding
  pages: { all: number; unreadable: number }
  rows: {
    read: number
    /** Read, and refused by the form of the records: they made no sense. */
    senseless: number
    /** Read, and left out because what they belong to is lost. */
    orphaned: number
    /** Lost in their own table, and put back as the history has them. */
    fromHistory: number
  }
  /** Those left out because what they belong to is lost, by table. */
  orphanedOf: Record<string, number>
  /** Rows of which something was left empty because what it named is lost. */
  loosened: number
  /** Rows that are not as the history has them. */
  doubtful: number
}

/** What a database holds. @throws SQLite's error where it cannot be read */
export function holdingOf(raw: Database.Database): Holding {
  const number = (statement: string) => Number(raw.prepare(statement).pluck().get())
  const times = [
    'select max(at) from change',
    'select max(created_at) from panel',
    'select max(added_at) from photo',
    'select max(filed_at) from filing',
  ].map((statement) => raw.prepare(statement).pluck().get() as string | null)
  return {
    panels: number('select count(*) from panel where deleted_at is null'),
    photos: number('select count(*) from photo where deleted_at is null'),
    readings: number('select count(*) from reading where deleted_at is null'),
    latestAt:
      times
        .filter((at) => at !== null)
        .toSorted()
        .at(-1) ?? null,
  }
}
