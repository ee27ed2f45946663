import type { Kysely } from 'kysely'
import type { FactGroup, ThingChanged } from '../../../../shared-core/records/history.ts'
import { namePanels } from '../../queries/history-panels.ts'
import type { Tables, TrackedTable } from '../../tables.ts'
import { aboutsOf } from '../about.ts'
import { changeAbsent, type Route, routeBefore, routeTo } from '../past/route.ts'
import { asStood, panelRowsAt } from '../past/stood.ts'
import type { Image } from '../rows.ts'
import { differencesOf } from './facts.ts'
import { comparePanels } from './panel-facts.ts'
import { otherThings } from './things.ts'

/** What goes with a panel. */
const panelTables: readonly TrackedTable[] = [
  'panel',
  'tag',
  'layer',
  'step',
  'filing',
  'reading',
  'mixture',
  'mixture_part',
  'booth_conditions',
]

const mostRows = 3000
const mostPanels = 12
const mostOthers = 40

/**
 * What a change altered, thing by thing; of a very large one the first.
 * @returns `more`: how many further things there are, at least
 * @throws  Refusal `history/absent`
 */
export async function describeChange(
  db: Kysely<Tables>,
  changeId: string,
): Promise<{ things: ThingChanged[]; more: number }> {
  const event = await db.selectFrom('rack_event').select('id').where('id', '=', changeId).executeTakeFirst()
  if (event) return { things: [], more: 0 }
  const change = await db.selectFrom('change').select('id').where('id', '=', changeId).executeTakeFirst()
  if (!change) throw changeAbsent()
  const images = (await db
    .selectFrom('change_row')
    .select(['table_name', 'row_id', 'before', 'after'])
    .where('change_id', '=', changeId)
    .orderBy('seq')
    .limit(mostRows)
    .execute()) as Image[]
  const abouts = await aboutsOf(db, images)
  const panelIds = [
    ...new Set(
      abouts.filter((id, i): id is string => id !== null && panelTables.includes(images[i]?.table_name ?? 'light')),
    ),
  ]
  const panels = await panelThings(db, changeId, panelIds.slice(0, mostPanels))
  const others = await otherThings(
    db,
    images.filter((image, i) => !panelTables.includes(image.table_name) || abouts[i] === null),
  )
  const more = (await countPanels(db, changeId, panelIds.length)) - Math.min(panelIds.length, mostPanels)
  return {
    things: [...panels, ...others.slice(0, mostOthers)],
    more: more + Math.max(0, others.length - mostOthers),
  }
}

/** Of a change with more rows than were read, at least the panels that it made or altered themselves. */
async function countPanels(db: Kysely<Tables>, changeId: string, seen: number): Promise<number> {
  const { count } = await db
    .selectFrom('change_row')
    .select((e) => e.fn.count('row_id').distinct().as('count'))
    .where('change_id', '=', changeId)
    .where('table_name', '=', 'panel')
    .executeTakeFirstOrThrow()
  return Math.max(seen, Number(count))
}

async function panelThings(db: Kysely<Tables>, changeId: string, ids: readonly string[]): Promise<ThingChanged[]> {
  if (ids.length === 0) return []
  const named = await namePanels(db, ids)
  const routes = await bothRoutes(db, changeId)
  const things: ThingChanged[] = []
  for (const id of ids) {
    const panel = named.get(id)
    const name = panel ? `${panel.code} ${panel.title}`.trim() : 'a panel'
    const told = routes ? await panelDifferences(db, id, routes) : { groups: [], did: 'changed' as const }
    if (told.groups.length > 0 || !routes) things.push({ what: 'Panel', name, panelId: id, ...told })
  }
  return things
}

type Routes = { before: Route; after: Route }

async function bothRoutes(db: Kysely<Tables>, changeId: string): Promise<Routes | null> {
  try {
    return { before: await routeBefore(db, changeId), after: await routeTo(db, changeId) }
  } catch (error) {
    // what it was made upon is no longer known: the panels' names are still told
    if ((error as { code?: string }).code === 'history/unknown') return null
    throw error
  }
}

async function panelDifferences(
  db: Kysely<Tables>,
  panelId: string,
  { before, after }: Routes,
): Promise<{ groups: FactGroup[]; did: ThingChanged['did'] }> {
  const was = asStood(await panelRowsAt(db, panelId, before))
  const is = asStood(await panelRowsAt(db, panelId, after))
  return {
    groups: differencesOf(comparePanels(was, is)),
    did: !was ? 'added' : !is ? 'removed' : 'changed',
  }
}
