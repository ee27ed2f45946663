import { CompiledQuery, type Kysely, type Transaction } from 'kysely'
import { versionOf } from '../opening/migrate.ts'
import { among } from '../queries/among.ts'
import type { Tables, TrackedTable } from '../tables.ts'
import type { Image, Row } from './rows.ts'

/** The first version that keeps what changes are about; only tests of migrating keep a rack at an older one. */
export const knowsAbout = 6

/** What panels share: looked up by itself. */
const shared: readonly TrackedTable[] = ['panel', 'material', 'gun_setup', 'photo', 'area', 'light']
const ofPanel: readonly TrackedTable[] = ['tag', 'layer', 'step', 'filing']

type Parsed = { table: TrackedTable; id: string; rows: Row[] }

/** Notes which panels, and what of that which panels share, these rows of a change are about. */
export async function noteAbout(
  tx: Transaction<Tables>,
  changeSeq: number,
  after: number,
  images: readonly Image[],
): Promise<void> {
  if ((await versionOf(tx)) < knowsAbout) return
  const notes = (await aboutsOf(tx, images)).flatMap((about, i) => (about === null ? [] : [[about, after + i + 1]]))
  await tx.executeQuery(
    CompiledQuery.raw(
      `insert or ignore into change_about (about, change_seq, row_seq)
        select json_extract(value, '$[0]'), ?, json_extract(value, '$[1]') from json_each(?)`,
      [changeSeq, JSON.stringify(notes)],
    ),
  )
}

/** For each row the id of the panel, or of the shared thing, that it is about; null: of neither. */
export async function aboutsOf(db: Kysely<Tables>, images: readonly Image[]): Promise<Array<string | null>> {
  const parsed = images.map(({ table_name, row_id, before, after }): Parsed => {
    const rows = [after, before].flatMap((text) => (text === null ? [] : [JSON.parse(text) as Row]))
    return { table: table_name, id: row_id, rows }
  })
  const owners = await ownersOf(db, parsed)
  return parsed.map((each) => aboutOf(each, owners))
}

const text = (value: Row[string] | undefined): string | null => (typeof value === 'string' ? value : null)

function aboutOf({ table, id, rows }: Parsed, owners: ReadonlyMap<string, string>): string | null {
  if (shared.includes(table)) return id
  const [row] = rows
  if (!row) return null
  if (ofPanel.includes(table)) return text(row.panel_id)
  const part = partOf(table, id, row)
  return part === null ? null : (owners.get(part) ?? null)
}

/** By what a row belongs to a panel, where it does not name one. */
function partOf(table: TrackedTable, id: string, row: Row): string | null {
  if (table === 'reading') return text(row.step_id)
  if (table === 'mixture' || table === 'mixture_part') return text(row.root_id)
  return table === 'booth_conditions' ? id : null
}

/** Panels by their steps and their layers' mixtures and booth conditions: as the rack has them, and as it had them. */
async function ownersOf(db: Kysely<Tables>, parsed: readonly Parsed[]): Promise<Map<string, string>> {
  const owners = new Map<string, string>()
  const put = (id: Row[string] | undefined, panelId: Row[string] | undefined) => {
    const [key, panel] = [text(id), text(panelId)]
    if (key !== null && panel !== null) owners.set(key, panel)
  }
  for (const { table, rows } of parsed)
    for (const row of rows) {
      if (table === 'step') put(row.id, row.panel_id)
      if (table !== 'layer') continue
      put(row.mixture_id, row.panel_id)
      put(row.booth_id, row.panel_id)
    }
  const unknown = (wanted: (table: TrackedTable) => boolean): string[] => {
    const parts = parsed.flatMap(({ table, id, rows: [row] }) => (row && wanted(table) ? partOf(table, id, row) : null))
    return [...new Set(parts)].filter((part): part is string => part !== null && !owners.has(part))
  }
  const steps = unknown((table) => table === 'reading')
  if (steps.length > 0)
    for (const row of await db.selectFrom('step').select(['id', 'panel_id']).where('id', 'in', among(steps)).execute())
      put(row.id, row.panel_id)
  const mixtures = unknown((table) => table === 'mixture' || table === 'mixture_part')
  if (mixtures.length > 0) {
    const layers = db.selectFrom('layer').select(['mixture_id', 'panel_id']).where('mixture_id', 'in', among(mixtures))
    for (const row of await layers.execute()) put(row.mixture_id, row.panel_id)
  }
  const booths = unknown((table) => table === 'booth_conditions')
  if (booths.length > 0) {
    const layers = db.selectFrom('layer').select(['booth_id', 'panel_id']).where('booth_id', 'in', among(booths))
    for (const row of await layers.execute()) put(row.booth_id, row.panel_id)
  }
  return owners
}
