import { type Kysely, sql } from 'kysely'
import type { HistoryEntry } from '../../../shared-core/records/history.ts'
import { briefs } from '../history/tell/brief.ts'
import type { Tables } from '../tables.ts'
import { namePanels } from './history-panels.ts'

/** What was changed, by whom and when. */
export type Asked = {
  panelId?: string | null
  who?: string | null | undefined
  /** What `next` said. */
  before?: string | null | undefined
  limit: number
}

/** Changes and what befell the rack, newest first. What befell the rack after a change stands above it. */
export async function listHistory(
  db: Kysely<Tables>,
  asked: Asked,
): Promise<{ entries: HistoryEntry[]; next: string | null }> {
  const from = asked.before ? readMark(asked.before) : null
  const [changes, events] = [await listChanges(db, asked, from), await listEvents(db, asked, from)]
  const all = [...changes, ...events].toSorted(newestFirst)
  const shown = all.slice(0, asked.limit)
  const last = shown.at(-1)
  const panels = await namePanels(
    db,
    shown.flatMap(({ panelId }) => panelId ?? []),
  )
  const brief = await briefs(
    db,
    shown.map(({ entry }) => entry),
  )
  const entries = shown.map(
    ({ entry, panelId }): HistoryEntry => ({
      ...entry,
      brief: brief.get(entry.id) ?? '',
      panel: panelId === null ? null : (panels.get(panelId) ?? null),
    }),
  )
  return { entries, next: last && all.length > asked.limit ? writtenMark(last) : null }
}

type Listed = { seq: number; panelId: string | null; entry: Omit<HistoryEntry, 'panel' | 'brief'> }

const isChange = ({ entry }: Listed): boolean => entry.kind === 'change'
const newestFirst = (a: Listed, b: Listed): number =>
  b.seq - a.seq || Number(isChange(a)) - Number(isChange(b)) || (a.entry.id < b.entry.id ? 1 : -1)

/** Where in the list: after the change of this number, or after an event that stands above it. */
type Mark = { seq: number; event: string | null }

const writtenMark = (listed: Listed): string =>
  isChange(listed) ? String(listed.seq) : `${listed.seq}.${listed.entry.id}`

function readMark(text: string): Mark {
  const [seq, event] = text.split('.')
  return { seq: Number(seq), event: event ?? null }
}

/** The change that would be undone next. */
export async function newestChange(db: Kysely<Tables>): Promise<string | null> {
  const newest = db.selectFrom('change').select('id').where('state', '=', 'done').orderBy('seq', 'desc').limit(1)
  return (await newest.executeTakeFirst())?.id ?? null
}

async function listChanges(db: Kysely<Tables>, asked: Asked, from: Mark | null): Promise<Listed[]> {
  const { panelId, limit } = asked
  let query = db
    .selectFrom('change')
    .select(['id', 'seq', 'at', 'who', 'label', 'state', 'panel_id', 'undone_at', 'undone_by'])
  if (panelId)
    query = query.where(
      'seq',
      'in',
      sql<number>`(select change_seq from change_about where about = ${panelId}
        union select seq from change where panel_id = ${panelId})`,
    )
  if (typeof asked.who === 'string') query = query.where('who', '=', asked.who)
  if (from) query = query.where('seq', from.event === null ? '<' : '<=', from.seq)
  const rows = await query
    .orderBy('seq', 'desc')
    .limit(limit + 1)
    .execute()
  return rows.map((row) => ({
    seq: row.seq,
    panelId: row.panel_id,
    entry: {
      id: row.id,
      at: row.at,
      who: row.who,
      label: row.label,
      kind: 'change',
      undone: row.state !== 'done',
      leftBehind: row.state === 'abandoned',
      undoneAt: row.undone_at,
      undoneBy: row.undone_by,
    },
  }))
}

async function listEvents(db: Kysely<Tables>, asked: Asked, from: Mark | null): Promise<Listed[]> {
  const { panelId, limit } = asked
  if (panelId) return []
  let query = db.selectFrom('rack_event').selectAll()
  if (typeof asked.who === 'string') query = query.where('who', '=', asked.who)
  const event = from?.event ?? null
  if (from && event === null) query = query.where('after_seq', '<', from.seq)
  if (from && event !== null)
    query = query.where((e) =>
      e.or([e('after_seq', '<', from.seq), e.and([e('after_seq', '=', from.seq), e('id', '<', event)])]),
    )
  const rows = await query
    .orderBy('after_seq', 'desc')
    .orderBy('id', 'desc')
    .limit(limit + 1)
    .execute()
  return rows.map(({ id, at, who, label, after_seq }) => ({
    seq: after_seq,
    panelId: null,
    entry: {
      id,
      at,
      who,
      label,
      kind: 'event',
      undone: false,
      leftBehind: false,
      undoneAt: null,
      undoneBy: null,
    },
  }))
}

/** Everybody who ever changed something, by an index that is jumped through. */
export async function listPainters(db: Kysely<Tables>): Promise<string[]> {
  const { rows } = await sql<{ who: string }>`with recursive painter (who) as (
      select min(who) from change
      union all select (select min(who) from change where who > painter.who) from painter where painter.who is not null
    ) select who from painter where who is not null`.execute(db)
  return rows.map(({ who }) => who)
}
