import { type Kysely, sql } from 'kysely'
import type { WordTaken } from '../../../shared-core/records/wall.ts'
import { foldWord, nearestWords, slipsAllowed } from '../../../shared-core/words/nearest-words.ts'
import type { Tables } from '../tables.ts'
import { wordsOfPanels } from './wall/derived-sql.ts'

/**
 * Writes anew the search words of every panel that the triggers noted; a panel in the trash has none. `cross join` keeps
 * to the order of the tables.
 */
export async function refreshWords(db: Kysely<Tables>): Promise<void> {
  const due = await db.selectFrom('panel_words_due').select('panel_id').limit(1).executeTakeFirst()
  if (!due) return
  await sql`insert or ignore into panel_doc (panel_id)
    select id from panel where id in (select panel_id from panel_words_due)`.execute(db)
  await sql`delete from panel_words where rowid in
    (select doc from panel_doc join panel_words_due using (panel_id))`.execute(db)
  // 42 finds P-0042 too
  await sql`insert into panel_words (rowid, code, title, notes, tags, materials, grounds)
    ${sql.raw(wordsOfPanels('panel_words_due'))}`.execute(db)
  await sql`delete from panel_words_due`.execute(db)
}

const inQuotesOrNot = /["“”„]([^"“”„]+)["“”„]|(\S+)/g
const isWord = (text: string): boolean => /[\p{L}\p{N}]/u.test(text)
const beginning = (word: string): string => `"${word.replaceAll('"', '')}"*`

/**
 * What a painter typed as an FTS5 query: every word must be there, each may be the beginning of one. A word that no panel
 * has is taken for the nearest words of names (codes, titles, tags, materials, layers), unless figures are in it: a
 * number is never taken for another. What stands in quotation marks is taken as it is.
 * @returns `query` null when nothing in it is a letter or a figure
 */
export async function understandWords(
  db: Kysely<Tables>,
  words: string,
): Promise<{ query: string | null; corrected: WordTaken[] }> {
  const corrected: WordTaken[] = []
  const asked: string[] = []
  for (const [, quoted, word = ''] of words.matchAll(inQuotesOrNot)) {
    if (!isWord(quoted ?? word)) continue
    const asTyped = quoted !== undefined || (await isThere(db, word))
    asked.push(asTyped ? beginning(quoted ?? word) : await widened(db, word, corrected))
  }
  if (asked.length === 0) return { query: null, corrected: [] }
  return { query: asked.join(' AND '), corrected }
}

async function isThere(db: Kysely<Tables>, word: string): Promise<boolean> {
  const { rows } = await sql`select 1 from panel_words where panel_words match ${beginning(word)} limit 1`.execute(db)
  return rows.length > 0
}

/** The query for a word that no panel has; what is taken instead of it, or of its parts, goes into `corrected`. */
async function widened(db: Kysely<Tables>, word: string, corrected: WordTaken[]): Promise<string> {
  const parts = word.split(/[^\p{L}\p{M}\p{N}]+/u).filter(isWord)
  const asked: string[] = []
  let isOther = false
  for (const part of parts) {
    const folded = foldWord(part)
    const mayBeOther = slipsAllowed(folded) > 0 && !/\p{N}/u.test(folded) && !(await isThere(db, part))
    const taken = mayBeOther ? nearestWords(folded, await knownWords(db)) : []
    asked.push(taken.length > 0 ? `(${taken.map(beginning).join(' OR ')})` : beginning(part))
    if (taken.length === 0) continue
    isOther = true
    corrected.push({ typed: part, taken })
  }
  return isOther ? asked.join(' AND ') : beginning(word)
}

/** The words in names; those that begin with a figure come before `a` and are left out. */
async function knownWords(db: Kysely<Tables>): Promise<Array<{ word: string; count: number }>> {
  const rows = await db
    .selectFrom('panel_vocabulary')
    .select('term')
    .select((e) => e.fn.sum<number>('doc').as('count'))
    .where('term', '>=', 'a')
    .where('col', '<>', 'notes')
    .groupBy('term')
    .execute()
  return rows.map(({ term, count }) => ({ word: term, count }))
}
