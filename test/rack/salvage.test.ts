/** What can be read of a damaged database, page by page, against the rows that SQLite gave before the damage. */
import { copyFileSync, readFileSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { beforeAll, expect, test } from 'vitest'
import { judge } from '../../electron/rack/check/repair/judge.ts'
import { salvage } from '../../electron/rack/check/salvage/salvage.ts'
import { freshFolder, workFolder } from './fresh.ts'
import { rowsOf, workedRack } from './worked-rack.ts'

const work = workFolder()
const whole = join(work, 'rack', 'rack.sqlite')
const pageSize = 4096

beforeAll(async () => {
  const rack = await workedRack(join(work, 'rack'), 40)
  await rack.close()
})

const salvageOf = async (database: string) => {
  const to = join(freshFolder(), 'salvaged.sqlite')
  const facts = await salvage({ database, to, name: 'Salvaged' })
  return { facts, to, rows: rowsOf(to) }
}
const damagedCopy = (damage: (bytes: Buffer) => Buffer): string => {
  const path = join(freshFolder(), 'rack.sqlite')
  writeFileSync(path, damage(readFileSync(whole)))
  return path
}
/** Pages of a table or index, as SQLite itself lists them. */
function pagesOf(name: string, kind: 'leaf' | 'internal'): number[] {
  const raw = new Database(whole, { readonly: true })
  try {
    return raw
      .prepare('select pageno from dbstat where name = ? and pagetype = ? order by pageno')
      .pluck()
      .all(name, kind) as number[]
  } finally {
    raw.close()
  }
}
const garble = (bytes: Buffer, page: number): void => void bytes.fill(0xaa, (page - 1) * pageSize, page * pageSize)

test('a whole database is read row by row as SQLite reads it', async () => {
  const { facts, rows, to } = await salvageOf(whole)
  expect(rows).toEqual(rowsOf(whole))
  expect(facts).toMatchObject({ pages: { unreadable: 0 }, rows: { senseless: 0, orphaned: 0 }, loosened: 0 })
  expect(judge(to, false)).toMatchObject({ opens: true, integrity: [], loose: [], historyBreaches: 0 })
})

test('what is still in the log counts, up to its last whole commit', async () => {
  const folder = freshFolder()
  const path = join(folder, 'rack.sqlite')
  copyFileSync(whole, path)
  const raw = new Database(path)
  raw.pragma('wal_autocheckpoint = 0')
  raw.exec("update panel set title = 'in the log' where code = 'P-0003'")
  const commit = readFileSync(`${path}-wal`).length
  raw.exec("update panel set title = 'later' where code = 'P-0003'")
  for (const [bytes, title] of [
    [undefined, 'later'],
    [commit + 100, 'in the log'],
    [20, 'Panel 2 over gold'],
  ] as const) {
    const copy = join(freshFolder(), 'rack.sqlite')
    copyFileSync(path, copy)
    copyFileSync(`${path}-wal`, `${copy}-wal`)
    if (bytes !== undefined) truncateSync(`${copy}-wal`, bytes)
    expect((await salvageOf(copy)).rows.panel).toContain(title)
  }
  raw.close()
})

test('a header of rubbish hides nothing but the name and the schema', async () => {
  const { rows } = await salvageOf(
    damagedCopy((bytes) => {
      garble(bytes, 1)
      return bytes
    }),
  )
  const before = rowsOf(whole)
  for (const table of [
    'panel',
    'step',
    'layer',
    'reading',
    'photo',
    'change',
    'change_row',
    'change_about',
    'mixture_part',
  ])
    expect(rows[table]).toBe(before[table])
})

test('rows of a damaged page are put back as the history has them', async () => {
  const [lost] = pagesOf('panel', 'leaf')
  const { facts, rows } = await salvageOf(
    damagedCopy((bytes) => {
      garble(bytes, lost!)
      return bytes
    }),
  )
  expect(facts.rows.fromHistory).toBeGreaterThan(0)
  expect(rows.panel).toBe(rowsOf(whole).panel)
  expect(rows.step).toBe(rowsOf(whole).step)
})

test('without a history a damaged page loses its own rows and what hangs on them, and no others', async () => {
  const [lost] = pagesOf('panel', 'leaf')
  const { facts, rows, to } = await salvageOf(
    damagedCopy((bytes) => {
      garble(bytes, lost!)
      for (const kind of ['leaf', 'internal'] as const) for (const page of pagesOf('change', kind)) garble(bytes, page)
      return bytes
    }),
  )
  expect(facts.pages.unreadable).toBeGreaterThan(1)
  const before = JSON.parse(rowsOf(whole).panel!) as unknown[]
  const after = JSON.parse(rows.panel!) as unknown[]
  expect(after.length).toBeGreaterThan(0)
  expect(after.length).toBeLessThan(before.length)
  for (const row of after) expect(before).toContainEqual(row)
  expect(facts.rows.orphaned).toBeGreaterThan(0)
  expect(judge(to, false)).toMatchObject({ integrity: [], loose: [] })
})

test('rows below a damaged page of branches are found without it', async () => {
  const branches = pagesOf('change_row', 'internal')
  expect(branches.length).toBeGreaterThan(0)
  const readingBranches = pagesOf('mixture_part', 'internal')
  expect(readingBranches.length).toBeGreaterThan(0)
  const { rows } = await salvageOf(
    damagedCopy((bytes) => {
      for (const page of readingBranches) garble(bytes, page)
      return bytes
    }),
  )
  expect(rows.mixture_part).toBe(rowsOf(whole).mixture_part)
})

test('what was deleted does not come back from pages that are free', async () => {
  const path = join(freshFolder(), 'rack.sqlite')
  copyFileSync(whole, path)
  const raw = new Database(path)
  raw.pragma('foreign_keys = OFF')
  raw.exec('delete from reading; delete from change_row')
  expect(Number(raw.pragma('freelist_count', { simple: true }))).toBeGreaterThan(0)
  raw.pragma('wal_checkpoint(TRUNCATE)')
  raw.close()
  const bytes = readFileSync(path)
  // the tree of tags is lost, so that pages without a tree are looked at
  garble(bytes, pagesOf('tag', 'leaf')[0]!)
  writeFileSync(path, bytes)
  const { rows } = await salvageOf(path)
  expect(rows.reading).toBe('[]')
  expect(rows.change_row).toBe('[]')
})

test('a file that is cut gives what lies before the cut; codes are not given twice', async () => {
  const { to, facts } = await salvageOf(damagedCopy((bytes) => bytes.subarray(0, Math.floor(bytes.length * 0.8))))
  expect(facts.holding.panels).toBeGreaterThan(0)
  expect(judge(to, false)).toMatchObject({ opens: true, integrity: [], loose: [] })
  const raw = new Database(to, { readonly: true })
  const next = Number(raw.prepare('select next_code from rack_info').pluck().get())
  const codes = raw.prepare('select code from panel').pluck().all() as string[]
  raw.close()
  for (const code of codes) expect(Number(code.slice(2))).toBeLessThan(next)
})

test('a file that is no database at all gives an empty rack with its lights', async () => {
  const { to, facts } = await salvageOf(damagedCopy(() => Buffer.from('no database at all '.repeat(5000))))
  expect(facts.holding).toMatchObject({ panels: 0, photos: 0 })
  const raw = new Database(to, { readonly: true })
  expect(raw.prepare('select name from rack_info').pluck().get()).toBe('Salvaged')
  expect(raw.prepare('select count(*) from light').pluck().get()).toBe(6)
  raw.close()
})
