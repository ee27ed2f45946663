import type Database from 'better-sqlite3'
import { rowsOfPanels, wordsOfPanels } from '../../queries/wall/derived-sql.ts'

/** How many panels have another row to be put in order by, or other search words, than they should. */
export type DerivedWrong = { rows: number; words: number }

const rowColumns = `panel_id, code_key, hue_order, lightness, ground, ground_key, candy, candy_key, sprayed_on, cleared`
const wordColumns = ['code', 'title', 'notes', 'tags', 'materials', 'grounds']
  .map((name) => `in_any_order(${name})`)
  .join(', ')

/**
 * Derives both anew, beside what is there. What is noted as due is written by the next change, and does not count.
 * @param raw  with the application's own functions
 */
export function derivedWrong(raw: Database.Database): DerivedWrong {
  // names stand in the order in which SQLite happened to meet them
  raw.function('in_any_order', { deterministic: true }, (text: unknown) => String(text).split(' ').toSorted().join(' '))
  raw.exec('drop table if exists temp.every; create temp table every as select id as panel_id from panel')
  const rows = differing(
    raw,
    `select ${rowColumns} from panel_row where panel_id not in (select panel_id from panel_row_due)`,
    `select ${rowColumns} from (${rowsOfPanels('temp.every')}) where panel_id not in (select panel_id from panel_row_due)`,
  )
  const words = differing(
    raw,
    `select panel_id, ${wordColumns} from panel_words join panel_doc on panel_doc.doc = panel_words.rowid
      where panel_id not in (select panel_id from panel_words_due)`,
    `select (select panel_id from panel_doc where doc = derived.doc) as panel_id, ${wordColumns}
      from (${wordsOfPanels('temp.every')}) as derived
      where doc is not null and panel_id not in (select panel_id from panel_words_due)`,
  )
  const without = raw
    .prepare(
      `select count(*) from panel where deleted_at is null and id not in (select panel_id from panel_doc)
        and id not in (select panel_id from panel_words_due)`,
    )
    .pluck()
    .get()
  raw.exec('drop table temp.every')
  return { rows, words: words + Number(without) }
}

function differing(raw: Database.Database, there: string, expected: string): number {
  return Number(
    raw
      .prepare(
        `with there as materialized (${there}), expected as materialized (${expected})
        select count(distinct panel_id) from (
          select * from (select * from there except select * from expected)
          union all select * from (select * from expected except select * from there))`,
      )
      .pluck()
      .get(),
  )
}
