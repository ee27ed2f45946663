import type { Kysely } from 'kysely'
import type { FactPair, HistoryValue, ThingChanged } from '../../../../shared-core/records/history.ts'
import type { Basis } from '../../../../shared-core/records/mixture.ts'
import type { CupLineRow } from '../../bench-rows.ts'
import { among } from '../../queries/among.ts'
import { asReading } from '../../queries/readings.ts'
import type { ReadingRow, Tables, TrackedTable } from '../../tables.ts'
import type { Image, Row } from '../rows.ts'
import { compareFacts, differencesOf, type Fact, quantity, text } from './facts.ts'
import { colourOf } from './panel-facts.ts'
import { type NameOf, type RowWords, rowWords } from './row-words.ts'

type Pair = { id: string; before: Row | null; after: Row | null }
/** A thing's own row, where it was altered, and what belongs to it. */
type Thing = {
  table: keyof typeof rowWords
  id: string
  own: Pair | null
  parts: Array<Pair & { table: TrackedTable }>
}

/** By which column a row belongs to a thing of another table. */
const belongsTo: Partial<Record<TrackedTable, { table: keyof typeof rowWords; by: string }>> = {
  area: { table: 'photo', by: 'photo_id' },
  card: { table: 'photo', by: 'photo_id' },
  tile: { table: 'photo', by: 'photo_id' },
  chart: { table: 'photo', by: 'photo_id' },
  reading: { table: 'reference', by: 'reference_id' },
  cup_line: { table: 'cup', by: 'cup_id' },
}

/** Whatever is no panel: materials, photos, references, jobs, cups, … */
export async function otherThings(db: Kysely<Tables>, images: readonly Image[]): Promise<ThingChanged[]> {
  const things = gathered(images)
  const rows = [...things.values()].flatMap(({ own }) => [own?.before, own?.after]).filter((row) => row !== null)
  const nameOf = await names(db, rows)
  const told: ThingChanged[] = []
  for (const thing of things.values()) {
    const own = thing.own ? told1(thing, nameOf) : null
    const parts = partPairs(thing, await measuredBy(db, thing))
    const groups = own?.groups ?? []
    if (parts.length > 0) groups.push({ name: partsName[thing.table] ?? '', did: 'changed', facts: parts })
    if (groups.length === 0) continue
    told.push({
      what: rowWords[thing.table].what,
      name: own?.name ?? (await nameHere(db, thing)),
      did: own?.did ?? 'changed',
      panelId: null,
      groups,
    })
  }
  return told
}

function gathered(images: readonly Image[]): Map<string, Thing> {
  const things = new Map<string, Thing>()
  const thingOf = (table: keyof typeof rowWords, id: string): Thing => {
    const key = `${table} ${id}`
    const thing = things.get(key) ?? { table, id, own: null, parts: [] }
    things.set(key, thing)
    return thing
  }
  for (const { table_name, row_id, before, after } of images) {
    const pair: Pair = { id: row_id, before: parsed(before), after: parsed(after) }
    if (table_name in rowWords) {
      const thing = thingOf(table_name as keyof typeof rowWords, row_id)
      // altered more than once: from the first before to the last after
      thing.own = thing.own ? { ...pair, before: thing.own.before } : pair
      continue
    }
    const owner = belongsTo[table_name]
    const id = owner && (pair.after ?? pair.before)?.[owner.by]
    if (owner && typeof id === 'string') thingOf(owner.table, id).parts.push({ ...pair, table: table_name })
  }
  return things
}

const parsed = (json: string | null): Row | null => (json === null ? null : (JSON.parse(json) as Row))

function told1({ table, own }: Thing, nameOf: NameOf): Pick<ThingChanged, 'name' | 'did' | 'groups'> {
  const words = rowWords[table] as RowWords<typeof table>
  const factsOf = (row: Row | null): Fact[] =>
    row === null
      ? []
      : words.facts(complete(row) as never, nameOf).map(([name, value]): Fact => ({ key: name, name, value }))
  const group = (row: Row | null) => (row === null ? [] : [{ key: 'own', name: '', facts: factsOf(row) }])
  const groups = differencesOf(compareFacts(group(own?.before ?? null), group(own?.after ?? null)))
  const row = own?.after ?? own?.before ?? null
  return {
    name: row ? words.name(row as never) : '',
    did: !own?.before ? 'added' : !own.after ? 'removed' : 'changed',
    groups: groups.filter(({ facts }) => facts.length > 0),
  }
}

/** A row of an earlier form lacks columns: they said nothing. */
const complete = (row: Row): Row => new Proxy(row, { get: (all, name) => all[String(name)] ?? null })

const partsName: Partial<Record<keyof typeof rowWords, string>> = {
  photo: 'Marks',
  reference: 'Readings',
  cup: 'Poured',
}

function partPairs({ table, parts }: Thing, by: Basis): FactPair[] {
  if (table === 'photo') return marks(parts)
  if (table === 'reference')
    return parts.map(({ before, after }) => ({ name: 'Reading', before: reading(before), after: reading(after) }))
  return parts.flatMap(({ before, after }): FactPair[] => {
    const row = (after ?? before) as unknown as CupLineRow
    const was = poured(before, by)
    const is = poured(after, by)
    return JSON.stringify(was) === JSON.stringify(is) ? [] : [{ name: row.name, before: was, after: is }]
  })
}

function reading(row: Row | null): HistoryValue | null {
  if (!row || row.deleted_at !== null) return null
  return colourOf(asReading(complete(row) as unknown as ReadingRow))
}

/** A cup's lines are in the basis of its measure; dry powder is grams whatever the cup is measured by. */
function poured(row: Row | null, by: Basis): HistoryValue | null {
  if (!row || typeof row.poured !== 'number') return null
  return quantity(row.poured, row.powder === 1 ? 'mass' : by)
}

const markNames: Partial<Record<TrackedTable, string>> = {
  area: 'Areas',
  card: 'Grey card',
  tile: 'Tiles',
  chart: 'Chart',
}

/** What was marked on a photo is places in a picture: counted, not spelt out. */
function marks(parts: Thing['parts']): FactPair[] {
  return Object.entries(markNames).flatMap(([table, name]): FactPair[] => {
    const these = parts.filter((part) => part.table === table)
    const isMarked = (row: Row | null) => row !== null && (table !== 'area' || row.position !== null)
    const came = these.filter(({ before, after }) => !isMarked(before) && isMarked(after)).length
    const went = these.filter(({ before, after }) => isMarked(before) && !isMarked(after)).length
    const moved = these.filter(({ before, after }) => isMarked(before) && isMarked(after)).length
    const say = (count: number, did: string) => (count === 0 ? [] : [`${count} ${did}`])
    const said = [...say(came, 'added'), ...say(went, 'taken away'), ...say(moved, 'altered')]
    return said.length === 0 ? [] : [{ name, before: null, after: text(said.join(', ')) }]
  })
}

/** What a cup is measured by, which is said once for all its lines. */
async function measuredBy(db: Kysely<Tables>, { table, id, own }: Thing): Promise<Basis> {
  if (table !== 'cup') return 'volume'
  const row = await db.selectFrom('cup').select('measure').where('id', '=', id).executeTakeFirst()
  const measure = row?.measure ?? (own?.before ?? own?.after)?.measure
  return typeof measure === 'string' ? (JSON.parse(measure) as { by: Basis }).by : 'volume'
}

async function nameHere(db: Kysely<Tables>, { table, id }: Thing): Promise<string> {
  const row = await db
    .selectFrom(table as 'photo')
    .selectAll()
    .where('id', '=', id)
    .executeTakeFirst()
  return row ? (rowWords[table] as RowWords<typeof table>).name(row) : ''
}

const named = {
  light: ['light_id'],
  setup: ['setup_id'],
  photo: ['photo_id', 'flat_photo_id'],
  material: ['replaced_by_id'],
  panel: ['panel_id'],
} as const

/** What rows name by id, as it is called now. */
async function names(db: Kysely<Tables>, rows: ReadonlyArray<Row | null | undefined>): Promise<NameOf> {
  const known = new Map<string, string>()
  for (const [table, columns] of Object.entries(named)) {
    const ids = rows.flatMap((row) => columns.map((column) => row?.[column])).filter((id) => typeof id === 'string')
    if (ids.length === 0) continue
    const found =
      table === 'panel'
        ? await db.selectFrom('panel').select(['id', 'code as name']).where('id', 'in', among(ids)).execute()
        : await db
            .selectFrom(table as 'light')
            .select(['id', 'name'])
            .where('id', 'in', among(ids))
            .execute()
    for (const { id, name } of found) known.set(id, name)
  }
  return (_, id) => (id === null ? null : (known.get(id) ?? 'no longer in the rack'))
}
