import { stat } from 'node:fs/promises'
import Database from 'better-sqlite3'
import { applicationId, readHeader } from '../../disk/header.ts'
import { migrations } from '../../migrations/list.ts'
import { trackedTables } from '../../tables.ts'
import { limits } from '../form.ts'
import { recordsDamaged, recordsNewer, recordsSuspicious } from '../refusals.ts'
import { rowForms } from './row-forms.ts'
import { schemaMustBeOurs } from './schema.ts'

/**
 * Proves a database that may come from a stranger, without a byte written: it is a rack's, made of what our own steps make
 * and nothing else, whole, and every reference leads somewhere.
 * @returns its form
 * @throws Refusal `archive/not-one`, `archive/newer`, `archive/suspicious`, `archive/damaged`
 */
export async function proveRecords(path: string): Promise<number> {
  const { size } = await stat(path)
  if (size > limits.databaseBytes) throw recordsSuspicious('they are larger than any rack’s')
  const header = await readHeader(path)
  if (header.kind === 'other') throw recordsDamaged('they are no database')
  if (header.applicationId !== applicationId) throw recordsSuspicious('they belong to another program')
  if (header.userVersion > migrations.length) throw recordsNewer(header.userVersion, migrations.length)
  if (header.userVersion === 0) throw recordsSuspicious('they are of no form that there ever was')
  if (header.byteCount > size) throw recordsDamaged('their end is missing')
  return onRecords(path, async (raw) => {
    const version = Number(raw.pragma('user_version', { simple: true }))
    if (version < 1 || version > migrations.length) throw recordsNewer(version, migrations.length)
    await schemaMustBeOurs(raw, version)
    const found = raw.pragma('integrity_check(1)', { simple: true })
    if (found !== 'ok') throw recordsDamaged(String(found).slice(0, 200))
    const [loose] = raw.pragma('foreign_key_check') as { table: string; parent: string }[]
    if (loose) throw recordsSuspicious(`a ${loose.table} in them belongs to a ${loose.parent} that is not there`)
    return version
  })
}

/** Nothing that stands in the schema is trusted with anything, and pages are looked at before they are believed. */
export function openSuspicious(path: string): Database.Database {
  const raw = new Database(path, { readonly: true })
  raw.pragma('trusted_schema = OFF')
  raw.pragma('cell_size_check = ON')
  raw.pragma('query_only = ON')
  raw.pragma('mmap_size = 0')
  return raw
}

async function onRecords<T>(path: string, work: (raw: Database.Database) => Promise<T>): Promise<T> {
  let raw: Database.Database | undefined
  try {
    raw = openSuspicious(path)
    return await work(raw)
  } catch (error) {
    const code = (error as { code?: string }).code ?? ''
    if (/^SQLITE_(CORRUPT|NOTADB|ERROR|CANTOPEN|TOOBIG|NOMEM|READONLY|IOERR_SHORT_READ)/.test(code))
      throw recordsDamaged('they cannot be read')
    throw error
  } finally {
    raw?.close()
  }
}

/** What no CHECK can say: rows that name each other in a way in which no formula does. Each finds one of them. */
const entangled: readonly (readonly [what: string, statement: string])[] = [
  [
    'a layer’s formula lies in another',
    'select 1 from layer join mixture on mixture.id = layer.mixture_id where mixture.root_id <> mixture.id limit 1',
  ],
  [
    'a mixture lies in one that is not whole',
    'select 1 from mixture join mixture root on root.id = mixture.root_id where root.root_id <> root.id limit 1',
  ],
  [
    'a part belongs to two formulas',
    'select 1 from mixture_part part join mixture on mixture.id = part.mixture_id where mixture.root_id <> part.root_id limit 1',
  ],
  [
    'a part holds another formula’s mixture',
    'select 1 from mixture_part part join mixture child on child.id = part.child_id where child.root_id <> part.root_id or child.id = part.root_id limit 1',
  ],
  ['a photo is its own blank sheet', 'select 1 from photo where flat_photo_id = id limit 1'],
]

/** An archive never has them: opened here, they would fetch files of this computer into the rack. */
const ofAnotherComputer: typeof entangled = [
  ['files are on their way into the tray', 'select 1 from intake limit 1'],
  ['a folder is watched', 'select 1 from watched_folder limit 1'],
]

/**
 * Looks at every row of a rack of the newest form, the history's too. After this, what the rows hold is what our own
 * program could have written.
 * @param of  of an archive, or a copy of the records in a rack's folder, which is read and never opened as a rack
 * @throws Refusal `archive/suspicious`
 */
export async function proveRows(path: string, of: 'archive' | 'folder' = 'archive'): Promise<void> {
  await onRecords(path, async (raw) => {
    const info = raw.prepare('select * from rack_info').all() as Record<string, unknown>[]
    const [only] = info
    const numbers = ['next_code', 'next_cup', 'next_job', 'revision'].map((name) => only?.[name])
    const areSane = numbers.every(
      (value) => typeof value === 'number' && Number.isSafeInteger(value) && value >= 0 && value < 1e12,
    )
    const named =
      typeof only?.name === 'string' && only.name.length <= 200 && /^[0-9a-zA-Z-]{0,64}$/.test(String(only.rack_id))
    if (info.length !== 1 || !areSane || !named)
      throw recordsSuspicious('what they say of the rack itself makes no sense')
    for (const table of trackedTables) {
      const form = rowForms[table]
      for (const row of raw.prepare(`select * from "${table}"`).iterate()) {
        const read = form.safeParse(row)
        if (!read.success) throw senseless(table, read.error.issues[0]?.path)
      }
    }
    for (const [what, statement] of of === 'archive' ? [...entangled, ...ofAnotherComputer] : entangled)
      if (raw.prepare(statement).get() !== undefined) throw recordsSuspicious(what)
    proveHistory(raw)
  })
}

const senseless = (table: string, path: readonly PropertyKey[] = []) =>
  recordsSuspicious(
    `a ${table.replaceAll('_', ' ')} in them makes no sense${path.length > 0 ? ` (${path.join('.')})` : ''}`,
  )

/** Rows that undo could bring back: of our tables, with our columns. */
function proveHistory(raw: Database.Database): void {
  for (const change of raw.prepare('select id, seq, who, label from change').iterate() as Iterable<
    Record<string, unknown>
  >) {
    const { id, seq, who, label } = change
    const isSane =
      typeof id === 'string' &&
      id.length <= 64 &&
      Number.isSafeInteger(seq) &&
      typeof who === 'string' &&
      who.length <= 4000
    if (!isSane || typeof label !== 'string' || label.length > 10_000) throw senseless('change')
  }
  const columns = new Map(
    trackedTables.map((table) => [
      table as string,
      new Set((raw.pragma(`table_info("${table}")`) as { name: string }[]).map(({ name }) => name)),
    ]),
  )
  const rows = raw.prepare('select table_name, row_id, before, after from change_row').iterate()
  for (const row of rows as Iterable<{
    table_name: string
    row_id: string
    before: string | null
    after: string | null
  }>) {
    const known = columns.get(row.table_name)
    if (!known) throw senseless('change')
    for (const image of [row.before, row.after])
      if (image !== null && !isImage(image, row.row_id, known)) throw senseless(row.table_name)
  }
}

function isImage(text: string, id: string, columns: ReadonlySet<string>): boolean {
  let image: unknown
  try {
    // SQLite lets letters pass that are none
    image = JSON.parse(text)
  } catch {
    return false
  }
  if (typeof image !== 'object' || image === null || Array.isArray(image)) return false
  const entries = Object.entries(image)
  const isPlain = entries.every(
    ([name, value]) => columns.has(name) && (value === null || typeof value === 'string' || typeof value === 'number'),
  )
  return isPlain && (image as { id?: unknown }).id === id
}
