import { createHash } from 'node:crypto'
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { migrations } from '../../electron/rack/migrations/list.ts'
import { builder, connect } from '../../electron/rack/opening/connection.ts'
import { type Migration, migrate } from '../../electron/rack/opening/migrate.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { shadows } from './fixtures/dump-sql.ts'
import { hasFixture, layOutFixture } from './fixtures/lay-out.ts'

/** Racks that each released version wrote (see `fixtures/make.ts`), and the steps that lead from one to the next. */

/**
 * Of the statements of each released step: what was released is never edited. A new step is added here, and its fixture
 * beside it, when it is released.
 */
const released: readonly string[] = [
  '579e9a1fdc6e6c55',
  'bd875a031542cce0',
  'bb578418126bd03f',
  '8ba9d739e298ec56',
  'ce01770667f98c27',
  'a6f5f90567c7316d',
  'e5907fc841b22ce1',
]

/** A run gives ids and times of its own: they stand in the parameters, which are left out. */
async function statementsOf(step: Migration): Promise<string[]> {
  const statements: string[] = []
  await step.up((statement) => Promise.resolve(void statements.push(statement.replaceAll(/\s+/g, ' '))))
  return statements
}

const versions = migrations.map((_, i) => i + 1)

test('the steps that were released do what they did then', async () => {
  const hashes: string[] = []
  for (const step of migrations)
    hashes.push(
      createHash('sha256')
        .update(JSON.stringify(await statementsOf(step)))
        .digest('hex')
        .slice(0, 16),
    )
  expect(hashes).toEqual(released)
})

test('there is a rack of each version', () => {
  // run `node test/rack/fixtures/make.ts` with the program that is released with a new step
  expect(versions.filter((version) => !hasFixture(version))).toEqual([])
})

const databaseOf = (folder: string) => join(folder, 'rack.sqlite')

function look<T>(path: string, work: (raw: Database.Database) => T): T {
  const raw = new Database(path, { readonly: true })
  try {
    return work(raw)
  } finally {
    raw.close()
  }
}

type Columns = Record<string, string[]>

const tablesOf = (raw: Database.Database) =>
  raw
    .prepare(
      "select name from sqlite_schema where type = 'table' and name not like 'sqlite_%' and name not like 'panel_%'",
    )
    .pluck()
    .all() as string[]

const columnsOf = (raw: Database.Database): Columns =>
  Object.fromEntries(
    tablesOf(raw).map((name) => [
      name,
      raw.prepare('select name from pragma_table_info(?)').pluck().all(name) as string[],
    ]),
  )

/** Every row of every table, but of what is derived from others; of a wider table only these columns. */
function everyRow(raw: Database.Database, columns = columnsOf(raw)): Record<string, unknown[]> {
  return Object.fromEntries(
    Object.entries(columns).map(([name, list]) => [
      name,
      raw
        .prepare(`select ${list.map((column) => `"${column}"`).join(', ')} from "${name}"`)
        .all()
        .toSorted((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1)),
    ]),
  )
}

/** Whatever a schema is made of, without what full-text search keeps for itself. */
const schemaOf = (raw: Database.Database) =>
  (
    raw.prepare('select type, name, sql from sqlite_schema where sql is not null order by 1, 2').all() as Array<{
      type: string
      name: string
      sql: string
    }>
  ).filter(({ name }) => !shadows.some((end) => name === `panel_words_${end}`))

const spaced = (parts: ReturnType<typeof schemaOf>) =>
  parts.map((part) => ({ ...part, sql: part.sql.replaceAll(/\s+/g, ' ').replaceAll('"', '') }))

for (const version of versions.filter(hasFixture)) {
  test(`a rack of version ${version} has the schema that the steps up to there make`, async () => {
    const raw = new Database(':memory:')
    await migrate(builder(raw), migrations.slice(0, version))
    const made = schemaOf(raw)
    raw.close()
    expect(spaced(look(databaseOf(layOutFixture(version)), schemaOf))).toEqual(spaced(made))
  })

  test(`a rack of version ${version} is opened with every row, behind a backup that is the rack as it was`, async () => {
    const folder = layOutFixture(version)
    const before = look(databaseOf(folder), (raw) => ({ columns: columnsOf(raw), rows: everyRow(raw) }))
    expect(before.rows.panel).toHaveLength(3)
    expect(before.rows.photo).toHaveLength(version < 7 ? 2 : 3)
    expect(before.rows.change_row?.length).toBeGreaterThan(60)
    await (await openRack(folder)).close()
    look(databaseOf(folder), (raw) => {
      expect(raw.pragma('user_version', { simple: true })).toBe(migrations.length)
      const { rack_event: events, ...rows } = everyRow(raw, before.columns)
      const { rack_event: earlier, ...kept } = before.rows
      expect(rows).toEqual(kept)
      // being brought up to date is itself noted, where there was a place for it before
      const isNote = (event: unknown) => (event as { kind: string }).kind === 'migrated'
      expect(events?.filter((event) => !isNote(event))).toEqual(earlier)
      expect(events?.filter(isNote) ?? []).toHaveLength(events && version < migrations.length ? 1 : 0)
      expect(raw.pragma('foreign_key_check')).toEqual([])
      expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
    })
    const backups = readdirSync(join(folder, 'backups')).filter((name) => name.endsWith('.sqlite'))
    const isNewest = version === migrations.length
    const reasons = backups.map((name) => name.replace(/^.*Z-/, ''))
    expect(reasons).toEqual(isNewest ? [] : [`before-${migrations.length}.sqlite`])
    for (const name of backups)
      look(join(folder, 'backups', name), (raw) => {
        expect(raw.pragma('user_version', { simple: true })).toBe(version)
        expect(everyRow(raw)).toEqual(before.rows)
        expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
      })
  })
}

/** The step, stopped before the statement of this number, as a full drive or a bug would; after the last one, before its version is noted. */
const stoppedAt = (step: Migration, number: number): Migration => ({
  ...step,
  up: async (run) => {
    let at = 0
    await step.up(async (statement, parameters) => {
      if (at++ === number) throw new Error('power cut')
      await run(statement, parameters)
    })
    if (at === number) throw new Error('power cut')
  },
})

for (const [i, step] of migrations.entries()) {
  const from = i
  if (from === 0 || !hasFixture(from)) continue
  test(`“${step.name}” that fails, wherever it does, leaves the rack to the program that knew it`, async () => {
    const folder = layOutFixture(from)
    const known = migrations.slice(0, from)
    const whole = (raw: Database.Database) => ({ schema: schemaOf(raw), rows: everyRow(raw) })
    const before = look(databaseOf(folder), whole)
    const count = (await statementsOf(step)).length
    expect(count).toBeGreaterThan(0)
    for (let number = 0; number <= count; number++) {
      const raw = connect(databaseOf(folder))
      await expect(migrate(builder(raw), [...known, stoppedAt(step, number)])).rejects.toThrow('power cut')
      // as the next program would find it
      expect(raw.pragma('foreign_keys', { simple: true })).toBe(1)
      raw.close()
      expect(look(databaseOf(folder), whole)).toEqual(before)
    }
    const rack = await openRack(folder, { migrations: known })
    expect(await rack.db.selectFrom('panel').select('id').execute()).toHaveLength(3)
    await rack.close()
    expect(look(databaseOf(folder), (raw) => everyRow(raw))).toEqual(before.rows)
  })
}
