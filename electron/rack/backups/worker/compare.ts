import { createHash } from 'node:crypto'
import type Database from 'better-sqlite3'
import type { Touched } from '../../../../shared-core/records/backup.ts'
import { count, openToRead } from './read-database.ts'
import type { Compared } from './tasks.ts'

/** As many panels are named. */
const mostNamed = 12

type Hung = { id: string; code: string; title: string; print: string }

/** What hangs in each, panel by panel, and what only one of them knows. @param rack  null: it cannot be read */
export function compare(rack: string | null, backup: string): Compared {
  const before = openToRead(backup)
  const present = rack === null ? null : openToRead(rack)
  try {
    const held = count(before)
    const holds = present && count(present)
    const compared = { inBackup: held, inRack: holds, photos: comparedPhotos(before, present) }
    if (!present) return { ...compared, ...nothing, back: touched(panelsIn(before, null)) }
    const shared = sharedColumns(before, present)
    const [was, is] = [panelsIn(before, shared), panelsIn(present, shared)]
    const [byIdWas, byIdIs] = [byId(was), byId(is)]
    return {
      ...compared,
      gone: touched(is.filter(({ id }) => !byIdWas.has(id))),
      back: touched(was.filter(({ id }) => !byIdIs.has(id))),
      different: touched(is.filter(({ id, print }) => (byIdWas.get(id)?.print ?? print) !== print)),
      ...lostChanges(before, present),
    }
  } finally {
    before.close()
    present?.close()
  }
}

const nothing = {
  gone: { count: 0, first: [] },
  different: { count: 0, first: [] },
  changesLost: 0,
  lostSince: null,
} satisfies Partial<Compared>

const byId = (panels: readonly Hung[]) => new Map(panels.map((panel) => [panel.id, panel]))

function touched(panels: readonly Hung[]): Touched {
  const collator = new Intl.Collator('en', { numeric: true })
  const sorted = panels.toSorted((a, b) => collator.compare(a.code, b.code))
  return { count: panels.length, first: sorted.slice(0, mostNamed).map(({ code, title }) => ({ code, title })) }
}

/** Rows that make up a panel, and how each names it. */
const parts: Readonly<Record<string, string>> = {
  panel: 'select id as panel_id, * from panel',
  tag: 'select * from tag',
  layer: 'select * from layer',
  mixture_part: `select layer.panel_id, mixture_part.* from mixture_part
    join layer on layer.mixture_id = mixture_part.root_id`,
  step: 'select * from step',
  reading: `select step.panel_id, reading.* from reading join step on step.id = reading.step_id
    where reading.deleted_at is null`,
  filing: 'select * from filing where panel_id is not null',
}
type Columns = ReadonlyMap<string, readonly string[]>

/** A backup may be of an older form: only what both can say is compared. */
function sharedColumns(a: Database.Database, b: Database.Database): Columns {
  const columns = (raw: Database.Database, table: string) =>
    raw.prepare('select name from pragma_table_info(?)').pluck().all(table) as string[]
  return new Map(
    Object.keys(parts).map((table) => {
      const theirs = new Set(columns(b, table))
      return [table, columns(a, table).filter((name) => theirs.has(name))]
    }),
  )
}

/** Panels that hang there, each with a print of all its rows. @param columns  null: without prints */
function panelsIn(raw: Database.Database, columns: Columns | null): Hung[] {
  const panels = raw.prepare('select id, code, title from panel where deleted_at is null').all() as Hung[]
  if (!columns) return panels.map((panel) => ({ ...panel, print: '' }))
  const prints = new Map(panels.map(({ id }) => [id, new Uint32Array(4)]))
  for (const [table, sql] of Object.entries(parts)) {
    const names = columns.get(table) ?? []
    if (names.length === 0) continue
    for (const row of raw.prepare(sql).iterate() as IterableIterator<Record<string, unknown>>) {
      const print = prints.get(String(row.panel_id))
      if (print) addRow(print, JSON.stringify([table, ...names.map((name) => row[name])]))
    }
  }
  return panels.map((panel) => ({ ...panel, print: prints.get(panel.id)?.join(' ') ?? '' }))
}

/** In any order, as SQLite gives the rows; no two are alike, each has its id. */
function addRow(print: Uint32Array, row: string): void {
  const digest = createHash('sha256').update(row).digest()
  for (let i = 0; i < print.length; i++) print[i] = (print[i] ?? 0) ^ digest.readUInt32LE(4 * i)
}

function lostChanges(before: Database.Database, present: Database.Database) {
  const known = new Set(before.prepare('select id from change').pluck().all() as string[])
  let changesLost = 0
  let lostSince: string | null = null
  const changes = present.prepare('select id, at from change').iterate() as IterableIterator<{ id: string; at: string }>
  for (const { id, at } of changes) {
    if (known.has(id)) continue
    changesLost++
    if (lostSince === null || at < lostSince) lostSince = at
  }
  return { changesLost, lostSince }
}

function comparedPhotos(before: Database.Database, present: Database.Database | null): Compared['photos'] {
  type Row = { sha256: string; format: string; deleted_at: string | null }
  const all = (raw: Database.Database) => raw.prepare('select sha256, format, deleted_at from photo').all() as Row[]
  const found = new Map<string, Compared['photos'][number]>()
  for (const { sha256, format } of all(before)) found.set(sha256, { sha256, format, inBackup: true, inRack: null })
  for (const { sha256, format, deleted_at } of present ? all(present) : [])
    found.set(sha256, {
      ...(found.get(sha256) ?? { sha256, format, inBackup: false }),
      inRack: deleted_at === null ? 'kept' : 'trash',
    })
  return [...found.values()]
}
