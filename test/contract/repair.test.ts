/** Racks that cannot be opened any more: what comes back is compared with the rows and photos that were there before. */
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { beforeAll, expect, test } from 'vitest'
import { openRack } from '../../electron/rack/opening/open.ts'
import { takeInPhoto } from '../../electron/service/take-in.ts'
import { photoFile, workFolder } from '../rack/fresh.ts'
import { byHand, rowsOf, workedRack } from '../rack/worked-rack.ts'
import { benchService } from './bench-service.ts'

const work = workFolder()
const base = join(work, 'rack')
/** Rows when the backup was made, and at the end. */
let atBackup: Record<string, string> = {}
let atEnd: Record<string, string> = {}

beforeAll(async () => {
  const made = await workedRack(base)
  await made.backUp('by-hand')
  await made.close()
  atBackup = rowsOf(join(base, 'rack.sqlite'))
  const rack = await openRack(base)
  const panel = await rack.db.selectFrom('panel').selectAll().orderBy('code').executeTakeFirstOrThrow()
  await rack.change({ label: 'rename' }, (change) => change.update('panel', panel.id, { title: 'After the backup' }))
  mkdirSync(join(work, 'more'))
  await takeInPhoto(rack, await photoFile(join(work, 'more', 'IMG_late.jpg'), 77), 'IMG_late.jpg')
  await rack.close()
  atEnd = rowsOf(join(base, 'rack.sqlite'))
})

async function damaged(damage: (folder: string) => void) {
  const service = await benchService()
  const folder = join(service.folder, 'rack')
  cpSync(base, folder, { recursive: true })
  damage(folder)
  const { call, ended } = service
  return {
    ...service,
    rackFolder: folder,
    repair: async (from: 'itself' | 'backup' | 'salvage' | 'photos' | null = null) => {
      const job = await ended((await call('check.repair', { folder, from })).jobId)
      expect(job.error).toBeNull()
      return job
    },
    plan: async () => (await call('check.repairPlan', { folder })).plan,
    /** Rows of the rack as it is opened after the repair. */
    rows: async () => {
      await call('rack.close', {})
      return rowsOf(join(folder, 'rack.sqlite'))
    },
    backups: () => readdirSync(join(folder, 'backups')),
  }
}
const database = (folder: string): string => join(folder, 'rack.sqlite')
/** What befell the rack is written down on its own. */
const differing = (rows: Record<string, string>, others: Record<string, string>): string[] =>
  Object.keys(others).filter((table) => !/^rack_(event|info)$/.test(table) && rows[table] !== others[table])
const withoutBackups = (folder: string): void => rmSync(join(folder, 'backups'), { recursive: true })

test('a backup that is older than what can be read is not taken in silence: both are told, and either can be taken', async () => {
  const rubbish = (folder: string) => {
    const bytes = readFileSync(database(folder))
    bytes.fill(0x21, 0, 4096)
    writeFileSync(database(folder), bytes)
  }
  const { repair, plan, rows, call, refusal, backups, rackFolder } = await damaged(rubbish)
  expect((await refusal('rack.open', { folder: rackFolder })).code).toBe('rack/damaged')
  const asked = await repair()
  expect(asked.outcome).toContain('Nothing was replaced yet')
  expect(readFileSync(database(rackFolder)).subarray(0, 10).toString()).toBe('!'.repeat(10))
  const found = await plan()
  expect(found).toMatchObject({
    best: 'backup',
    ways: [
      { from: 'backup', photos: 3 },
      { from: 'salvage', photos: 4 },
    ],
  })
  expect(found!.ways[1]!.latestAt! > found!.ways[0]!.latestAt!).toBe(true)

  const done = await repair('backup')
  expect(done.state).toBe('done')
  expect(done.outcome).toContain('1 photo that the records do not know lies in the tray.')
  expect(await plan()).toBeNull()
  const tray = (await call('photos.listTray', {})).photos.map(({ name }) => name)
  expect(tray.toSorted()).toEqual(['IMG_0.jpg', 'IMG_1.jpg', 'IMG_2.jpg', 'IMG_late.jpg'])
  // the damaged file, and what could be read of it
  expect(backups().filter((name) => name.endsWith('-damaged.sqlite'))).toHaveLength(1)
  expect(backups().filter((name) => name.endsWith('-salvaged.sqlite'))).toHaveLength(1)
  const after = await rows()
  for (const table of ['panel', 'reading', 'step', 'layer', 'mixture_part']) expect(after[table]).toBe(atBackup[table])

  const other = await damaged(rubbish)
  expect((await other.repair('salvage')).state).toBe('done')
  expect(differing(await other.rows(), atEnd)).toEqual([])
})

test('a file that was cut, with a backup that has all of it, is put back without a question', async () => {
  const { repair, rows } = await damaged((folder) => {
    truncateSync(database(folder), 20 * 4096)
  })
  const done = await repair()
  expect(done.outcome).toContain('The rack is open again, as in the backup of')
  expect((await rows()).panel).toBe(atBackup.panel)
})

test('without a backup, what can be read comes back, and what the history knows with it', async () => {
  const { repair, rows, call } = await damaged((folder) => {
    withoutBackups(folder)
    const raw = new Database(database(folder), { readonly: true })
    const pages = raw
      .prepare("select pageno from dbstat where name in ('panel', 'reading') and pagetype = 'leaf'")
      .pluck()
      .all() as number[]
    raw.close()
    const bytes = readFileSync(database(folder))
    for (const page of pages) bytes.fill(0xee, (page - 1) * 4096, page * 4096)
    writeFileSync(database(folder), bytes)
  })
  const done = await repair()
  expect(done.outcome).toMatch(/\d+ records are as the history has them/)
  expect((await call('rack.describe', {})).rack?.panelCount).toBe(12)
  expect(differing(await rows(), atEnd)).toEqual([])
})

test('records without what they belong to are refused, and mended with what the history knows', async () => {
  const { repair, rows, refusal, rackFolder } = await damaged((folder) =>
    byHand(folder, (raw) => raw.exec('delete from step where id = (select step_id from reading order by id limit 1)')),
  )
  expect((await refusal('rack.open', { folder: rackFolder })).code).toBe('rack/damaged')
  const done = await repair()
  expect(done.outcome).toContain('with its own records: 12 panels')
  expect(differing(await rows(), atEnd)).toEqual([])
})

test('with nothing but photos a new rack holds them in its tray; a rack that is sound is only opened', async () => {
  const { repair, call, rackFolder } = await damaged((folder) => {
    withoutBackups(folder)
    rmSync(database(folder))
  })
  const done = await repair()
  expect(done.state).toBe('done')
  expect(done.outcome).toContain('4 photos that the records do not know lie in the tray.')
  expect((await call('rack.describe', {})).rack).toMatchObject({ name: 'rack', panelCount: 0, trayCount: 4 })
  const again = await damaged(() => undefined)
  expect((await again.repair()).outcome).toContain('with its own records: 12 panels')
  expect(again.backups().some((name) => name.endsWith('-damaged.sqlite'))).toBe(false)
  expect(readdirSync(join(rackFolder, 'backups')).includes('.repair')).toBe(false)
})
