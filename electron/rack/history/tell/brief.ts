import { type Kysely, sql } from 'kysely'
import { among } from '../../queries/among.ts'
import type { Tables, TrackedTable } from '../../tables.ts'
import type { Row } from '../rows.ts'

/** What a change of many fields was about, in a few words: "title, tags, mixture". */

type Words = Readonly<Record<string, string>>
type Said = { added?: string; removed?: string; columns?: Words }

const said: Partial<Record<TrackedTable, Said>> = {
  panel: {
    columns: {
      code: 'code',
      title: 'title',
      status: 'state',
      sprayed_on: 'date',
      sprayed_by: 'painter',
      substrate: 'substrate',
      notes: 'notes',
      deleted_at: 'back from the trash',
    },
  },
  tag: { added: 'tags', removed: 'tags', columns: { name: 'tags', position: 'tags' } },
  layer: {
    added: 'a layer more',
    removed: 'a layer less',
    columns: {
      position: 'order of layers',
      kind: 'kind of layer',
      name: 'name of a layer',
      coats: 'coats',
      mixture_id: 'mixture',
      gun_setup_id: 'gun set-up',
      booth_id: 'booth',
      notes: 'notes of a layer',
    },
  },
  mixture_part: { added: 'mixture', removed: 'mixture', columns: { amount: 'mixture', material_id: 'mixture' } },
  booth_conditions: {
    added: 'booth',
    removed: 'booth',
    columns: {
      temperature_c: 'booth',
      humidity_percent: 'booth',
      flash_off_min: 'flash-off',
      reducer_grade: 'reducer',
    },
  },
  step: {
    added: 'a step more',
    removed: 'a step less',
    columns: { coats: 'coats of a step', notes: 'notes of a step' },
  },
  reading: { added: 'readings', removed: 'readings', columns: { deleted_at: 'readings' } },
  filing: { added: 'photos', removed: 'photos' },
  material: {
    columns: {
      name: 'name',
      kind: 'kind',
      maker_name: 'maker’s name',
      density_kg_per_l: 'density',
      volume_solids_percent: 'volume solids',
      cost_per_l: 'cost',
      batch: 'batch',
      data_sheet: 'data-sheet link',
      notes: 'notes',
      on_shelf: 'on the shelf or not',
      on_hand: 'on hand',
      opened_on: 'opened on',
      reorder_at: 'when to buy again',
      pot_life_min: 'pot life',
      flake_micron: 'grain',
      isocyanate: 'isocyanates',
    },
  },
  customer_job: {
    columns: {
      title: 'title',
      customer: 'customer',
      status: 'state',
      reference_id: 'reference',
      tolerance: 'tolerance',
      due_on: 'due date',
      candidates: 'candidates',
      formula: 'formula',
      parts: 'parts',
      checks: 'check panels',
      decisions: 'decisions',
      notes: 'notes',
    },
  },
  setup: { columns: { name: 'name', notes: 'notes', light_id: 'light' } },
}

/** Enough to tell what was meant: a change of more rows is told by its first. */
const mostRows = 60

/** Of changes whose label only says that something was changed. */
export async function briefs(
  db: Kysely<Tables>,
  changes: ReadonlyArray<{ id: string; label: string }>,
): Promise<Map<string, string>> {
  const wanted = changes.flatMap(({ id, label }) => (/^(change|restore) /.test(label) ? [id] : []))
  if (wanted.length === 0) return new Map()
  const { rows } = await sql<{
    change_id: string
    table_name: TrackedTable
    before: string | null
    after: string | null
  }>`select change_id, table_name, before, after from change_row
    where change_id in ${among(wanted)} and seq <= ${mostRows} order by change_id, seq`.execute(db)
  const words = new Map<string, Set<string>>()
  for (const { change_id, table_name, before, after } of rows) {
    const these = words.get(change_id) ?? new Set<string>()
    words.set(change_id, these)
    for (const word of wordsOf(said[table_name] ?? {}, before, after)) these.add(word)
  }
  return new Map([...words].map(([id, these]) => [id, [...these].join(', ')]))
}

/** Kinds of layers, as they are called. */
const layersOwn = /^[a-z]+(-[a-z]+)?$/

function wordsOf({ added, removed, columns }: Said, before: string | null, after: string | null): string[] {
  if (before === null) return added ? [added] : []
  if (after === null) return removed ? [removed] : []
  const [was, is] = [JSON.parse(before) as Row, JSON.parse(after) as Row]
  // a layer says itself which it is
  const of = layersOwn.test(String(is.kind)) && 'gun_setup_id' in is ? ` of the ${is.kind}` : ''
  return Object.entries(columns ?? {}).flatMap(([name, word]) =>
    was[name] === is[name] ? [] : [`${word}${name === 'coats' ? of : ''}`],
  )
}
