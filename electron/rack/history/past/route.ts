import { type Kysely, sql } from 'kysely'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { Tables } from '../../tables.ts'

/**
 * How to come from the rack as it is to how it stood after a change: changes that are in force and came after `from` are
 * taken back, then those in `forward`, which are not in force, are done again.
 */
export type Route = { from: number; forward: number[] }

export const changeAbsent = () =>
  new Refusal('history/absent', 'This change is not in the history (any more).', 'Open the history again.')

export const pastUnknown = (label: string) =>
  new Refusal(
    'history/unknown',
    `How things stood after “${label}” is no longer known.`,
    'Choose another entry of the history. Nothing was changed.',
  )

type Step = { seq: number; follows: number | null; state: 'done' | 'undone' | 'abandoned' }

/** @throws Refusal `history/absent`, `history/unknown` */
export async function routeTo(db: Kysely<Tables>, changeId: string): Promise<Route & { label: string }> {
  const { label, line } = await lineOf(db, changeId)
  return { label, ...along(line, label) }
}

/** As `routeTo`, to how it stood before the change. */
export async function routeBefore(db: Kysely<Tables>, changeId: string): Promise<Route & { label: string }> {
  const { label, line } = await lineOf(db, changeId)
  const [change] = line
  if (change?.state === 'done') return { label, from: change.seq - 1, forward: [] }
  const { from, forward } = along(line, label)
  return { label, from, forward: forward.slice(0, -1) }
}

/** To how it stood after a change, or before it. @throws Refusal `history/absent`, `history/unknown` */
export const routeFor = (
  db: Kysely<Tables>,
  { changeId, before }: { changeId: string; before?: boolean | undefined },
): Promise<Route & { label: string }> => (before ? routeBefore(db, changeId) : routeTo(db, changeId))

/** A change and what it was made upon, back to one that is in force. */
async function lineOf(db: Kysely<Tables>, changeId: string): Promise<{ label: string; line: Step[] }> {
  const change = await db.selectFrom('change').select('label').where('id', '=', changeId).executeTakeFirst()
  if (!change) throw changeAbsent()
  const { rows } = await sql<Step>`with recursive line (seq, follows, state) as (
      select seq, follows, state from change where id = ${changeId}
      union all
      select change.seq, change.follows, change.state from line join change on change.seq = line.follows
        where line.state <> 'done'
    ) select seq, follows, state from line order by seq desc`.execute(db)
  return { label: change.label, line: rows }
}

function along(line: readonly Step[], label: string): Route {
  const first = line.at(-1)
  if (!first) throw changeAbsent()
  const forward = line.filter(({ state }) => state !== 'done').map(({ seq }) => seq)
  if (first.state === 'done') return { from: first.seq, forward: forward.toReversed() }
  if (first.follows !== 0) throw pastUnknown(label)
  return { from: 0, forward: forward.toReversed() }
}
