/** What looking a database through finds, after damage done by hand; integrity_check is SQLite's own. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { beforeAll, expect, test } from 'vitest'
import { type Exam, examine, isNothingOrWords, isOnlyIndexes, isWhole } from '../../electron/rack/check/exam/exam.ts'
import { addFunctions } from '../../electron/rack/opening/functions.ts'
import { freshFolder, workFolder } from './fresh.ts'
import { byHand, copyDatabase, rowsOf, workedRack } from './worked-rack.ts'

const work = workFolder()
const whole = join(work, 'rack', 'rack.sqlite')

beforeAll(async () => {
  const rack = await workedRack(join(work, 'rack'))
  await rack.close()
})

function examined(damage: (raw: Database.Database) => void): Exam {
  const folder = freshFolder()
  copyDatabase(whole, join(folder, 'rack.sqlite'))
  byHand(folder, damage)
  return look(join(folder, 'rack.sqlite'))
}
function look(path: string): Exam {
  const raw = new Database(path, { readonly: true })
  try {
    addFunctions(raw)
    return examine(raw)
  } finally {
    raw.close()
  }
}
const idOf = (raw: Database.Database, table: string, where = '1'): string =>
  String(raw.prepare(`select id from ${table} where ${where} order by id limit 1`).pluck().get())

test('a rack that was worked in is whole, its history and an undo in it', () => {
  expect(isWhole(look(whole))).toBe(true)
  expect(look(whole)).toEqual({
    integrity: [],
    loose: [],
    breaches: [],
    derived: { rows: 0, words: 0 },
    history: [],
    chains: [],
    stopped: [],
  })
})

test('a byte turned within a value is found, though SQLite finds nothing', () => {
  const folder = freshFolder()
  const path = join(folder, 'rack.sqlite')
  const before = rowsOf(whole)
  let altered = 0
  let found = 0
  for (let at = 0; ; at++) {
    const bytes = readFileSync(whole)
    at = bytes.indexOf('Panel 7 over gold', at)
    if (at < 0) break
    bytes[at] = 'J'.charCodeAt(0)
    writeFileSync(path, bytes)
    const exam = look(path)
    // its search words are kept with a checksum of SQLite's own
    expect(isNothingOrWords(exam.integrity)).toBe(true)
    // some lie in space that is free
    if (JSON.stringify(rowsOf(path)) === JSON.stringify(before)) continue
    altered++
    if (exam.history.length > 0) found++
  }
  // in the panel, and in the history
  expect(altered).toBe(2)
  expect(found).toBe(altered)
})

test('rows changed, removed and put back behind the history are told one by one', () => {
  const { history } = examined((raw) => {
    raw.prepare('update step set coats = 9 where id = ?').run(idOf(raw, 'step'))
    raw.prepare('delete from reading where id = ?').run(idOf(raw, 'reading'))
  })
  expect(history).toHaveLength(2)
  expect(history).toContainEqual(
    expect.objectContaining({ table: 'step', columns: [{ name: 'coats', present: '9', history: '2' }] }),
  )
  expect(history).toContainEqual(expect.objectContaining({ table: 'reading', row: 'gone' }))
})

test('an older image in the history that does not fit the next is told', () => {
  const { chains, history } = examined((raw) =>
    raw.exec(
      `update change_row set before = replace(before, 'Panel 0 over gold', 'Panel O over gold')
        where table_name = 'panel' and before like '%Panel 0 over gold%' and after like '%Renamed%'`,
    ),
  )
  expect(history).toEqual([])
  expect(chains).toEqual([expect.objectContaining({ table: 'panel' })])
})

test('a reference that leads nowhere is told with both ends', () => {
  let step = ''
  const { loose } = examined((raw) => {
    step = String(raw.prepare('select step_id from reading order by id limit 1').pluck().get())
    raw.prepare('delete from step where id = ?').run(step)
  })
  expect(loose).toEqual([
    { table: 'reading', id: expect.any(String) as string, column: 'step_id', parent: 'step', parentId: step },
  ])
})

test('steps and layers that do not count on, and a formula that bites its tail', () => {
  const { breaches } = examined((raw) => {
    const [a, b, c] = raw.prepare('select id from panel order by code').pluck().all() as string[]
    raw.prepare('update step set position = position + 3 where panel_id = ?').run(a)
    raw.prepare('update layer set position = 0 where panel_id = ?').run(b)
    const part = raw
      .prepare(
        `select mixture_part.id, mixture_part.root_id from mixture_part
          join layer on layer.mixture_id = mixture_part.root_id
          where layer.panel_id = ? and mixture_part.child_id is not null`,
      )
      .get(c) as { id: string; root_id: string }
    raw.prepare('update mixture_part set child_id = ? where id = ?').run(part.root_id, part.id)
  })
  expect(breaches.map(({ rule, panelCode }) => `${rule} ${panelCode}`).toSorted()).toEqual([
    'layer-order P-0002',
    'mixture-tree P-0003',
    'step-order P-0001',
  ])
})

test('an index that lost its rows is told as an index', () => {
  const exam = examined((raw) => {
    raw.unsafeMode(true)
    raw.pragma('writable_schema = ON')
    // filled while it was told to hold nothing
    const sql = raw.prepare("select sql from sqlite_master where name = 'panel_status'").pluck().get() as string
    raw.prepare("update sqlite_master set sql = sql || ' where 0' where name = 'panel_status'").run()
    raw.pragma('writable_schema = RESET')
    raw.exec('reindex panel_status')
    raw.pragma('writable_schema = ON')
    raw.prepare("update sqlite_master set sql = ? where name = 'panel_status'").run(sql)
    raw.pragma('writable_schema = OFF')
  })
  expect(exam.integrity.length).toBeGreaterThan(0)
  expect(isOnlyIndexes(exam.integrity)).toBe(true)
})

test('order and search words that are not the panels’ are counted', () => {
  const { derived, integrity } = examined((raw) => {
    raw.exec('update panel_row set hue_order = 0.5, lightness = 1 where panel_id = (select min(id) from panel)')
    raw.exec('delete from panel_words where rowid in (select doc from panel_doc order by doc limit 2)')
  })
  expect(integrity).toEqual([])
  expect(derived).toEqual({ rows: 1, words: 2 })
})

test('pages of rubbish stop nothing but themselves', () => {
  const folder = freshFolder()
  const path = join(folder, 'rack.sqlite')
  const bytes = readFileSync(whole)
  bytes.fill(0x5a, Math.floor(bytes.length / 8192) * 4096, Math.floor(bytes.length / 8192) * 4096 + 4096)
  writeFileSync(path, bytes)
  const exam = look(path)
  expect(isWhole(exam)).toBe(false)
  expect(isOnlyIndexes(exam.integrity) && exam.stopped.length === 0).toBe(false)
})
