import type Database from 'better-sqlite3'
import type { Row } from '../../history/rows.ts'
import type { TrackedTable } from '../../tables.ts'
import { text } from './sides.ts'

/** Who went on since both were alike: the other rack, ours, or both (also where nobody knows). */
export type Verdict = 'there' | 'here' | 'both'

export type Differing = { table: TrackedTable; id: string; theirs: Row | null; ours: Row | null }

export type Differences = {
  verdict: (table: TrackedTable, id: string) => Verdict
  /** Panels of both racks of which something differs, or of whose photos. */
  touchedPanels: ReadonlySet<string>
  /** Rows that differ of photos that both have, by the photo's id. */
  photoRows: ReadonlyMap<string, readonly Differing[]>
}

/** Rows of panels and of what panels share; the rest only comes, and is not compared. */
const compared = [
  'panel',
  'tag',
  'layer',
  'mixture',
  'mixture_part',
  'booth_conditions',
  'step',
  'reading',
  'filing',
  'light',
  'gun_setup',
  'material',
  'setup',
  'reference',
  'photo',
  'card',
  'tile',
  'chart',
  'area',
  'customer_job',
  'cup',
  'cup_line',
] as const satisfies TrackedTable[]

/**
 * Finds the rows in which two racks differ, and looks at the histories of both: a row of ours that stands in their history
 * is what theirs once was, so theirs went on. Each history is read once.
 */
export function whoWentOn(theirs: Database.Database, ours: Database.Database): Differences {
  theirs.prepare('attach ? as here').run(ours.name)
  let differing: Map<string, Differing>
  try {
    differing = collect(theirs)
  } finally {
    theirs.exec('detach here')
  }
  const thereKnows = knownIn(theirs, differing, ({ ours: row }) => row)
  const hereKnows = knownIn(ours, differing, ({ theirs: row }) => row)
  return {
    verdict: (table, id) => {
      const key = `${table} ${id}`
      const found = differing.get(key)
      if (!found) return 'both'
      if (found.ours === null) return hereKnows.has(key) ? 'here' : 'there'
      if (found.theirs === null) return thereKnows.has(key) ? 'there' : 'here'
      if (thereKnows.has(key) === hereKnows.has(key)) return 'both'
      return thereKnows.has(key) ? 'there' : 'here'
    },
    ...placesOf([...differing.values()], [theirs, ours]),
  }
}

function collect(raw: Database.Database): Map<string, Differing> {
  const differing = new Map<string, Differing>()
  const all = (statement: string) => raw.prepare(statement).iterate() as Iterable<Row>
  const keep = (table: TrackedTable, theirs: Row | null, ours: Row | null) => {
    const id = text((theirs ?? ours)?.id)
    differing.set(`${table} ${id}`, { table, id, theirs, ours })
  }
  // rows that one alone has say something only of what both have
  const [shares] = raw
    .prepare(
      'select (select 1 from main.panel join here.panel using (id) limit 1) as panel, (select 1 from main.photo join here.photo using (id) limit 1) as photo',
    )
    .all() as [{ panel: number | null; photo: number | null }]
  for (const table of compared) {
    const columns = (raw.pragma(`main.table_info("${table}")`) as { name: string }[]).map(({ name }) => `"${name}"`)
    const of = (side: string) => columns.map((name) => `${side}.${name}`).join(', ')
    const pairs = `from main."${table}" t join here."${table}" h on h.id = t.id where (${of('t')}) is not (${of('h')})`
    const ours = new Map([...all(`select h.* ${pairs}`)].map((row) => [text(row.id), row]))
    for (const row of all(`select t.* ${pairs}`)) keep(table, row, ours.get(text(row.id)) ?? null)
    if (shares.panel === null && shares.photo === null) continue
    for (const row of all(
      `select * from main."${table}" t where not exists (select 1 from here."${table}" h where h.id = t.id)`,
    ))
      keep(table, row, null)
    for (const row of all(
      `select * from here."${table}" h where not exists (select 1 from main."${table}" t where t.id = h.id)`,
    ))
      keep(table, null, row)
  }
  return differing
}

/** Keys of rows whose `other` form stands in this history. */
function knownIn(
  raw: Database.Database,
  differing: ReadonlyMap<string, Differing>,
  other: (row: Differing) => Row | null,
): Set<string> {
  const known = new Set<string>()
  if (differing.size === 0) return known
  const images = raw.prepare('select table_name, row_id, before, after from change_row').iterate() as Iterable<Row>
  for (const { table_name, row_id, before, after } of images) {
    const key = `${text(table_name)} ${text(row_id)}`
    const found = differing.get(key)
    const wanted = found && !known.has(key) ? other(found) : null
    if (!wanted) continue
    if ([before, after].some((image) => typeof image === 'string' && isImageOf(JSON.parse(image) as Row, wanted)))
      known.add(key)
  }
  return known
}

/** Columns that a later form added are not in an older image. */
const isImageOf = (image: Row, row: Row): boolean => Object.keys(image).every((name) => row[name] === image[name])

/** Which panels and photos the rows that differ are about. */
function placesOf(differing: readonly Differing[], racks: readonly Database.Database[]): Omit<Differences, 'verdict'> {
  const touchedPanels = new Set<string>()
  const photoRows = new Map<string, Differing[]>()
  const asks = racks.map((raw) => ({
    layerOfMixture: raw.prepare('select panel_id from layer where mixture_id = ?').pluck(),
    layerOfBooth: raw.prepare('select panel_id from layer where booth_id = ?').pluck(),
    panelOfStep: raw.prepare('select panel_id from step where id = ?').pluck(),
    panelsOfPhoto: raw.prepare('select panel_id from filing where photo_id = ? and panel_id is not null').pluck(),
  }))
  const touch = (how: keyof (typeof asks)[number], id: Row[string] | undefined) => {
    if (typeof id !== 'string') return
    for (const ask of asks) for (const panel of ask[how].all(id) as string[]) touchedPanels.add(panel)
  }
  for (const one of differing) {
    for (const row of [one.theirs, one.ours]) {
      if (!row) continue
      if (typeof row.panel_id === 'string') touchedPanels.add(row.panel_id)
      switch (one.table) {
        case 'panel':
          touchedPanels.add(text(row.id))
          break
        case 'mixture':
        case 'mixture_part':
          touch('layerOfMixture', row.root_id)
          break
        case 'booth_conditions':
          touch('layerOfBooth', row.id)
          break
        case 'reading':
          touch('panelOfStep', row.step_id)
          break
        case 'photo':
        case 'card':
        case 'tile':
        case 'chart':
        case 'area': {
          const photo = one.table === 'photo' ? text(row.id) : text(row.photo_id)
          touch('panelsOfPhoto', photo)
          const rows = photoRows.get(photo) ?? []
          if (!rows.includes(one)) photoRows.set(photo, [...rows, one])
          break
        }
        default:
      }
    }
  }
  return { touchedPanels, photoRows }
}
