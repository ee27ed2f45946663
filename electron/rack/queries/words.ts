import { type Kysely, sql } from 'kysely'
import type { Tables } from '../tables.ts'

/** Writes anew the search words of every panel that the triggers noted. */
export async function refreshWords(db: Kysely<Tables>): Promise<void> {
  const due = await db.selectFrom('panel_words_due').select('panel_id').limit(1).executeTakeFirst()
  if (!due) return
  await sql`insert or ignore into panel_doc (panel_id)
    select id from panel where id in (select panel_id from panel_words_due)`.execute(db)
  await sql`delete from panel_words where rowid in
    (select doc from panel_doc join panel_words_due using (panel_id))`.execute(db)
  // 42 finds P-0042 too
  await sql`insert into panel_words (rowid, code, title, notes, tags, materials, grounds)
    select panel_doc.doc,
      panel.code || ' ' || ltrim(substr(panel.code, instr(panel.code, '-') + 1), '0'),
      panel.title,
      panel.notes || ' ' || panel.substrate || ' ' || panel.sprayed_by,
      coalesce((select group_concat(name, ' ') from tag where tag.panel_id = panel.id), ''),
      coalesce((select group_concat(material.name, ' ') from layer
        join mixture_part on mixture_part.root_id = layer.mixture_id
        join material on material.id = mixture_part.material_id
        where layer.panel_id = panel.id), ''),
      coalesce((select group_concat(name, ' ') from layer where layer.panel_id = panel.id), '')
    from panel_words_due
    join panel_doc using (panel_id)
    join panel on panel.id = panel_words_due.panel_id`.execute(db)
  await sql`delete from panel_words_due`.execute(db)
}

/**
 * What a painter typed as an FTS5 query: every word must be there, each may be the beginning of one.
 * @returns null when nothing in it is a letter or a figure
 */
export function wordsQuery(words: string): string | null {
  const typed = words.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word))
  if (typed.length === 0) return null
  return typed.map((word) => `"${word.replaceAll('"', '')}"*`).join(' ')
}
