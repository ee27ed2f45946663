import {
  closeSync,
  cpSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
  writeSync,
} from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { forgetSeal } from '../../electron/rack/opening/health.ts'
import { openRack, type Rack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, freshFolder, freshRack } from './fresh.ts'

const databaseOf = (folder: string) => join(folder, 'rack.sqlite')
const noteOf = (folder: string) => join(folder, 'backups', 'seal.json')
const add = (rack: Rack, title: string) =>
  rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title })))

async function closedRack(): Promise<string> {
  const rack = await freshRack()
  for (let i = 0; i < 20; i++) await add(rack, `Damson ${i}`)
  await rack.close()
  return rack.folder
}

/** Writes over a part of a file; `keepTime` as a bad drive does, which tells nobody. */
function scribble(path: string, at: number, bytes: Buffer, keepTime: boolean): void {
  const { atime, mtime } = statSync(path)
  const handle = openSync(path, 'r+')
  writeSync(handle, bytes, 0, bytes.length, at)
  closeSync(handle)
  if (keepTime) utimesSync(path, atime, mtime)
}

/** Whole milliseconds, which every call here can set again. */
function roundTime(folder: string): void {
  const time = new Date('2026-03-01T10:00:00Z')
  utimesSync(databaseOf(folder), time, time)
}

const openingOf = (folder: string, asItIs = false) =>
  openRack(folder, { asItIs }).then(
    async (rack) => {
      await rack.close()
      return rack.cautions.map(({ code }) => code).join() || 'opened'
    },
    (error: { code: string }) => error.code,
  )

/** One letter within a word: SQLite finds nothing wrong with it. */
function turnLetter(folder: string, keepTime: boolean): void {
  const path = databaseOf(folder)
  const at = readFileSync(path).indexOf('Damson 7')
  scribble(path, at, Buffer.from('R'), keepTime)
  const raw = new Database(path, { readonly: true })
  expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
  expect(raw.prepare("select count(*) from panel where title = 'Damson 7'").pluck().get()).toBe(0)
  raw.close()
}

test('a letter that the drive has turned since the rack was closed is found, also the second time, and nothing is written', async () => {
  const folder = await closedRack()
  roundTime(folder)
  // sealed with that time
  expect(await openingOf(folder)).toBe('opened')
  roundTime(folder)
  const sealed = await openRack(folder)
  await sealed.close()
  turnLetter(folder, true)
  const bytes = readFileSync(databaseOf(folder))
  for (let round = 0; round < 2; round++) expect(await openingOf(folder)).toBe('rack/damaged')
  expect(readFileSync(databaseOf(folder)).equals(bytes)).toBe(true)
})

test('whoever wants it all the same gets it as it is, is told, and is no longer refused', async () => {
  const folder = await closedRack()
  turnLetter(folder, true)
  expect(await openingOf(folder)).toBe('rack/damaged')
  expect(await openingOf(folder, true)).toBe('rack/records-altered')
  expect(await openingOf(folder)).toBe('opened')
})

test('what another program wrote is opened when it is sound, and told; what is broken is refused', async () => {
  const folder = await closedRack()
  const raw = new Database(databaseOf(folder))
  raw.exec("update rack_info set name = 'From outside'")
  raw.close()
  expect(await openingOf(folder)).toBe('rack/changed-outside')
  expect(await openingOf(folder)).toBe('opened')
  scribble(databaseOf(folder), statSync(databaseOf(folder)).size - 4096, Buffer.alloc(64, 0xa5), false)
  expect(await openingOf(folder)).toBe('rack/damaged')
  expect(await openingOf(folder)).toBe('rack/damaged')
})

test('a database that was put in place on purpose is looked through and no word is lost about it', async () => {
  const folder = await closedRack()
  const raw = new Database(databaseOf(folder))
  raw.exec("update rack_info set name = 'From a backup'")
  raw.close()
  await forgetSeal(folder)
  expect(await openingOf(folder)).toBe('opened')
})

test('without its note, or with one that was altered itself, a database is looked through in full', async () => {
  const folder = await closedRack()
  const note = readFileSync(noteOf(folder), 'utf8')
  scribble(databaseOf(folder), statSync(databaseOf(folder)).size - 4096, Buffer.alloc(64, 0xa5), false)
  for (const other of ['no note', note.replace('closed', 'cl0sed'), note.replace(/crc32\\":\d/, 'crc32\\":')]) {
    writeFileSync(noteOf(folder), other)
    expect(await openingOf(folder)).toBe('rack/damaged')
  }
  const sound = await closedRack()
  writeFileSync(noteOf(sound), readFileSync(noteOf(sound), 'utf8').replace('"crc32', '"crc33'))
  expect(await openingOf(sound)).toBe('opened')
})

/** A copy of the folder as it stands while it is open: what a process leaves that is ended at once. */
async function interrupted(): Promise<{ folder: string; title: string }> {
  const rack = await freshRack()
  for (let i = 0; i < 5; i++) await add(rack, `Bracken ${i}`)
  const folder = join(freshFolder(), 'rack')
  cpSync(rack.folder, folder, { recursive: true, filter: (from) => !from.endsWith('lock') })
  return { folder, title: 'Bracken 4' }
}
const titles = async (folder: string): Promise<string[]> => {
  const rack = await openRack(folder)
  const rows = await rack.db.selectFrom('panel').select('title').execute()
  await rack.close()
  return rows.map((row) => row.title)
}

test('a rack that was not closed is opened whole with its log, and nothing is told', async () => {
  const { folder, title } = await interrupted()
  expect(await openingOf(folder)).toBe('opened')
  expect(await titles(folder)).toContain(title)
})

test('a letter that the drive turned in a rack that was not closed is told, not refused: its log may just have been brought in', async () => {
  const { folder } = await interrupted()
  roundTime(folder)
  expect(await openingOf(folder)).toBe('opened')
  const rack = await openRack(folder)
  await add(rack, 'Damson 7')
  const copy = join(freshFolder(), 'rack')
  cpSync(folder, copy, { recursive: true, preserveTimestamps: true, filter: (from) => !from.endsWith('lock') })
  await rack.close()
  const path = databaseOf(copy)
  scribble(path, readFileSync(path).indexOf('Bracken 2'), Buffer.from('R'), true)
  expect(await openingOf(copy)).toMatch(/^rack.doubtful/)
})

test('a log that is lost after a crash, or cut, is missed: the changes that went with it are told', async () => {
  const lost = await interrupted()
  rmSync(`${databaseOf(lost.folder)}-wal`)
  expect(await openingOf(lost.folder)).toBe('rack/changes-lost')

  const cut = await interrupted()
  const log = `${databaseOf(cut.folder)}-wal`
  // in the last frame: 24 bytes and one page of 4096
  scribble(log, statSync(log).size - 100, Buffer.from([0xff, 0x55]), false)
  const rack = await openRack(cut.folder)
  expect(rack.cautions).toMatchObject([
    { code: 'rack/changes-lost', message: expect.stringContaining('The last change is missing') },
  ])
  await rack.close()
  expect(await titles(cut.folder)).not.toContain(cut.title)
})

test('without a seal, what the drive altered is told by the history', async () => {
  const folder = await closedRack()
  turnLetter(folder, false)
  await forgetSeal(folder)
  expect(await openingOf(folder)).toBe('rack/records-altered')
})
