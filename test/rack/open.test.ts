import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { createRack, openRack } from '../../electron/rack/opening/open.ts'
import { freshFolder, freshRack } from './fresh.ts'

/** Every file below a folder with its content and time: what is equal was not touched. */
function everything(folder: string): Record<string, string> {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true })
  return Object.fromEntries(
    entries.map((entry) => {
      const path = join(entry.parentPath, entry.name)
      const { mtimeMs } = statSync(path)
      return [path, entry.isFile() ? `${mtimeMs} ${readFileSync(path).toString('base64')}` : `${mtimeMs}`]
    }),
  )
}

async function closedRack(): Promise<string> {
  const rack = await freshRack()
  await rack.close()
  return rack.folder
}

function alter(folder: string, statement: string): void {
  const raw = new Database(join(folder, 'rack.sqlite'))
  raw.pragma('journal_mode = DELETE')
  raw.exec(statement)
  raw.close()
}

test('a new rack has its folders, its marks and its safety settings', async () => {
  const rack = await freshRack()
  expect(readdirSync(rack.folder).toSorted()).toEqual([
    'backups',
    'data-sheets',
    'lock',
    'photos',
    'rack.sqlite',
    'rack.sqlite-shm',
    'rack.sqlite-wal',
    'renditions',
  ])
  await rack.close()
  // bytes 68–71 of a database file, SQLite "Database File Format" section 1.3.15
  expect(readFileSync(join(rack.folder, 'rack.sqlite')).toString('latin1', 68, 72)).toBe('OVGR')
  expect(readdirSync(rack.folder).toSorted()).toEqual(['backups', 'data-sheets', 'photos', 'rack.sqlite', 'renditions'])
  const raw = new Database(join(rack.folder, 'rack.sqlite'), { readonly: true })
  const loose = raw
    .prepare(`select name from pragma_table_list where schema = 'main' and type = 'table' and strict = 0
      and name not like 'sqlite_%' and name not like 'panel_words%'`)
    .all()
  expect(loose).toEqual([])
  expect(raw.pragma('journal_mode', { simple: true })).toBe('wal')
  expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
  raw.close()
})

test('the lights of the trade are there from the start', async () => {
  const rack = await freshRack()
  const lights = await rack.db.selectFrom('light').select(['name', 'kelvin']).orderBy('position').execute()
  // common practice, no source
  expect(lights).toEqual([
    { name: 'booth tubes', kelvin: 5000 },
    { name: 'LED lamp', kelvin: 5000 },
    { name: 'sun', kelvin: 5500 },
    { name: 'open shade', kelvin: 7000 },
    { name: 'overcast', kelvin: 6500 },
    { name: 'workshop lamp', kelvin: 3000 },
  ])
})

test('a newer rack is refused and not a byte is written', async () => {
  const folder = await closedRack()
  alter(folder, 'pragma user_version = 999')
  const before = everything(folder)
  await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/newer' })
  expect(everything(folder)).toEqual(before)
})

test('a newer rack is recognised also when its version stands only in the write-ahead log', async () => {
  const folder = await closedRack()
  const raw = new Database(join(folder, 'rack.sqlite'))
  raw.pragma('journal_mode = WAL')
  raw.exec('pragma user_version = 999')
  // as after a kill: the log is left behind
  const copy = join(freshFolder(), 'copy')
  mkdirSync(copy)
  for (const name of ['rack.sqlite', 'rack.sqlite-wal'])
    writeFileSync(join(copy, name), readFileSync(join(folder, name)))
  raw.close()
  const before = everything(copy)
  await expect(openRack(copy)).rejects.toMatchObject({ code: 'rack/newer' })
  expect(everything(copy)).toEqual(before)
})

test('what is not a rack is refused and left as it is', async () => {
  const foreign = freshFolder()
  const raw = new Database(join(foreign, 'rack.sqlite'))
  raw.exec('create table t (a); pragma application_id = 7')
  raw.close()
  const text = freshFolder()
  writeFileSync(join(text, 'rack.sqlite'), 'shopping list\n')
  const empty = freshFolder()
  for (const folder of [foreign, text, empty]) {
    const before = everything(folder)
    await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/not-a-rack' })
    expect(everything(folder)).toEqual(before)
  }
  await expect(openRack(join(text, 'rack.sqlite'))).rejects.toMatchObject({ code: 'rack/not-a-rack' })
  await expect(openRack(join(text, 'nowhere'))).rejects.toMatchObject({ code: 'rack/folder-absent' })
  await expect(openRack('relative/path')).rejects.toMatchObject({ code: 'rack/folder-absent' })
})

test('a damaged database is told from what never was one', async () => {
  const cut = await closedRack()
  truncateSync(join(cut, 'rack.sqlite'), 8192)
  await expect(openRack(cut)).rejects.toMatchObject({ code: 'rack/damaged' })

  const scribbled = await closedRack()
  const path = join(scribbled, 'rack.sqlite')
  const bytes = readFileSync(path)
  bytes.fill(0xa5, 4096, bytes.length - 4096)
  writeFileSync(path, bytes)
  await expect(openRack(scribbled)).rejects.toMatchObject({ code: 'rack/damaged' })
  expect(readdirSync(scribbled)).not.toContain('lock')

  const headless = await closedRack()
  writeFileSync(join(headless, 'backups', 'rack-2024-01-01.sqlite'), '')
  writeFileSync(join(headless, 'rack.sqlite'), 'x'.repeat(5000))
  await expect(openRack(headless)).rejects.toMatchObject({ code: 'rack/damaged' })
})

test('a folder marked as read-only is refused, for an administrator too, and left as it is', async () => {
  const folder = await closedRack()
  chmodSync(folder, 0o555)
  const before = everything(folder)
  await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/read-only' })
  expect(everything(folder)).toEqual(before)
  chmodSync(folder, 0o755)
  chmodSync(join(folder, 'rack.sqlite'), 0o444)
  await expect(openRack(folder)).rejects.toMatchObject({ code: 'rack/read-only' })

  const target = freshFolder()
  chmodSync(target, 0o555)
  await expect(createRack(target, 'x')).rejects.toMatchObject({ code: 'rack/read-only' })
  expect(readdirSync(target)).toEqual([])
  chmodSync(target, 0o755)
})

// proc is a file system in which nothing can be made, even by root
test.skipIf(process.platform !== 'linux')('a place where nothing can be made is refused', async () => {
  await expect(createRack('/proc/overground', 'x')).rejects.toMatchObject({
    code: expect.stringMatching(/^rack\/(folder-absent|read-only)$/),
  })
})

test('a new rack wants a folder of its own', async () => {
  const folder = await closedRack()
  await expect(createRack(folder, 'again')).rejects.toMatchObject({ code: 'rack/already-one' })
  const used = freshFolder()
  writeFileSync(join(used, 'letter.txt'), 'x')
  const before = everything(used)
  await expect(createRack(used, 'x')).rejects.toMatchObject({ code: 'rack/folder-not-empty' })
  expect(everything(used)).toEqual(before)
  await expect(createRack(join(used, 'letter.txt'), 'x')).rejects.toMatchObject({ code: 'rack/folder-not-empty' })
  await expect(createRack(join(used, 'letter.txt', 'below'), 'x')).rejects.toMatchObject({ code: 'rack/folder-absent' })
})

test('a creation that was cut short does not stand in the way of the next', async () => {
  const folder = freshFolder()
  writeFileSync(join(folder, 'rack.sqlite.new'), 'half')
  const rack = await createRack(folder, 'Second attempt')
  expect(await rack.db.selectFrom('rack_info').select('name').executeTakeFirst()).toEqual({ name: 'Second attempt' })
  await rack.close()
})

test('half copies of photos, data sheets and backups are cleared away when a rack is opened', async () => {
  const folder = await closedRack()
  const halves = ['photos', 'data-sheets', 'backups'].map((name) => join(folder, name, '.1f0c.part'))
  for (const path of halves) {
    mkdirSync(dirname(path), { recursive: true })
    writeFileSync(path, 'half')
  }
  await (await openRack(folder)).close()
  expect(halves.filter((path) => existsSync(path))).toEqual([])
})
