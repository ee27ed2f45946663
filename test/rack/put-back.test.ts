import { cpSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test, vi } from 'vitest'
import { listBackups } from '../../electron/rack/backups/list.ts'
import { previewRestore } from '../../electron/rack/backups/preview.ts'
import { putBack } from '../../electron/rack/backups/put-back.ts'
import { settlePutBack } from '../../electron/rack/backups/settle.ts'
import { openRack, type Rack } from '../../electron/rack/opening/open.ts'
import { readPanel } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addPhoto } from '../../electron/rack/queries/photos.ts'
import { draft, dump, freshFolder, freshRack, newPhoto } from './fresh.ts'

// processes and threads start slowly on a machine that is busy with other tests
vi.setConfig({ testTimeout: 120_000 })

/** Going back to a backup: whatever ends it, there is the old rack or the new one. */

const add = (rack: Rack, title: string) =>
  rack.change({ label: `add ${title}` }, (change) => savePanel(change, draft({ title })))
const codeOf = (rack: Rack, id: string) =>
  rack.db.selectFrom('panel').select(['id', 'code']).where('id', '=', id).executeTakeFirstOrThrow()
const titles = (rack: Rack) => rack.db.selectFrom('panel').select('title').orderBy('title').execute()

/** A rack with panels A and B of which the backup knows only A, its last change still in the log beside the database. */
async function goneOn() {
  const rack = await freshRack()
  await add(rack, 'A')
  const was = await dump(rack)
  const backup = (await rack.backUp('by-hand')).split(/[/\\]/).at(-1)!
  await add(rack, 'B')
  const is = await dump(rack)
  // as after a crash: the log has not gone into the database
  const folder = join(freshFolder(), 'rack')
  cpSync(rack.folder, folder, { recursive: true })
  rmSync(join(folder, 'lock'))
  await rack.close()
  return { folder, backup, was, is }
}

async function opened<T>(folder: string, work: (rack: Rack) => Promise<T>): Promise<T> {
  const rack = await openRack(folder)
  try {
    return await work(rack)
  } finally {
    await rack.close()
  }
}

test('the records are those of the backup, and what was there is kept as a whole backup of its own', async () => {
  const { folder, backup, was, is } = await goneOn()
  expect(existsSync(join(folder, 'rack.sqlite-wal'))).toBe(true)
  const { setAside } = await putBack(folder, backup)
  expect(await opened(folder, dump)).toBe(was)
  expect(readdirSync(folder).filter((name) => /incoming|earlier|restoring|lock/.test(name))).toEqual([])
  // and forward again, to what stood only in the log
  await putBack(folder, setAside!)
  expect(await opened(folder, dump)).toBe(is)
  expect((await listBackups(folder)).every(({ state }) => state === 'whole')).toBe(true)
})

test('a crash at any step leaves the old rack or the new one, whole, and the next opening ends it', async () => {
  const { folder, backup, was, is } = await goneOn()
  const shots = freshFolder()
  const steps: string[] = []
  await putBack(folder, backup, {
    at: (step) => {
      // what the drive holds at this moment is what a crash leaves; the lock's holder would be gone
      steps.push(step)
      cpSync(folder, join(shots, step), { recursive: true })
      rmSync(join(shots, step, 'lock'))
    },
  })
  expect(steps).toEqual([
    'copy',
    'set-aside',
    'note',
    'forget-seal',
    'move-wal',
    'move-journal',
    'drop-shm',
    'move',
    'put',
    'drop-earlier',
    'drop-earlier-wal',
    'drop-earlier-journal',
    'drop-note',
    'end',
  ])
  const told: Record<string, string> = {}
  for (const step of steps) {
    const shot = join(shots, step)
    const settled = await settlePutBack(shot)
    const found = await opened(shot, dump)
    told[step] = `${settled}, ${found === was ? 'as the backup' : found === is ? 'as it was' : 'HALF'}`
    expect(readdirSync(shot).filter((name) => /incoming|earlier|restoring|lock/.test(name))).toEqual([])
  }
  const before = 'none, as it was'
  const undone = 'undone, as it was'
  const finished = 'finished, as the backup'
  expect(told).toEqual({
    copy: before,
    'set-aside': undone,
    note: undone,
    ...Object.fromEntries(steps.slice(3, -1).map((step) => [step, finished])),
    end: 'none, as the backup',
  })
})

test('opening a rack ends a restore that was cut short by itself', async () => {
  const { folder, backup, was } = await goneOn()
  const shot = join(freshFolder(), 'shot')
  await putBack(folder, backup, { at: (step) => void (step === 'put' && cpSync(folder, shot, { recursive: true })) })
  rmSync(join(shot, 'lock'))
  expect(existsSync(join(shot, 'rack.sqlite'))).toBe(false)
  expect(await opened(shot, dump)).toBe(was)
})

test('records that cannot be read are set aside as they are, with their log, and shown as damaged', async () => {
  const { folder, backup, was } = await goneOn()
  const wrecked = Buffer.from('this was a database once')
  writeFileSync(join(folder, 'rack.sqlite'), wrecked)
  const { setAside } = await putBack(folder, backup)
  expect(readFileSync(join(folder, 'backups', setAside!))).toEqual(wrecked)
  expect(existsSync(join(folder, 'backups', `${setAside}-wal`))).toBe(true)
  expect(await opened(folder, dump)).toBe(was)
  const listed = await listBackups(folder)
  expect(listed.find(({ file }) => file === setAside)).toMatchObject({ state: 'damaged', kind: 'set-aside' })
})

test('a rack without any database gets one; there is nothing to set aside', async () => {
  const { folder, backup, was } = await goneOn()
  for (const tail of ['', '-wal', '-shm']) rmSync(join(folder, `rack.sqlite${tail}`), { force: true })
  expect(await putBack(folder, backup)).toEqual({ setAside: null })
  expect(await opened(folder, dump)).toBe(was)
})

test('a damaged, a newer and a missing backup are refused, and an open rack is; nothing is changed', async () => {
  const { folder, backup, is } = await goneOn()
  const path = join(folder, 'backups', backup)
  const whole = readFileSync(path)
  const refused = (file: string) => putBack(folder, file).catch((error: { code: string }) => error.code)
  writeFileSync(path, whole.subarray(0, whole.length - 1))
  expect(await refused(backup)).toBe('backup/damaged')
  expect(await refused('nothing.sqlite')).toBe('backup/absent')
  expect(await refused('../rack.sqlite')).toBe('backup/absent')
  writeFileSync(path, whole)
  rmSync(`${path}.json`)
  const raw = new Database(path)
  raw.pragma('user_version = 900')
  raw.close()
  expect(await refused(backup)).toBe('backup/newer')
  expect(await opened(folder, async () => refused(backup))).toBe('rack/locked')
  expect(await opened(folder, dump)).toBe(is)
  expect(readdirSync(folder)).not.toContain('rack.sqlite.incoming')
})

test('the preview names what hangs there only now, only then, and otherwise, and counts what is lost', async () => {
  const rack = await freshRack()
  const [a, b] = [await codeOf(rack, await add(rack, 'A')), await codeOf(rack, await add(rack, 'B'))]
  const backup = (await rack.backUp('by-hand')).split(/[/\\]/).at(-1)!
  const then = await readPanel(rack.db, a.id)
  await rack.change({ label: 'rename' }, (change) => savePanel(change, { ...then, title: 'A, renamed' }))
  await rack.change({ label: 'throw away' }, (change) =>
    change.update('panel', b.id, { deleted_at: '2031-01-01T00:00:00Z' }),
  )
  await add(rack, 'C')
  await rack.change({ label: 'photo' }, async (change) => addPhoto(change, newPhoto('p')))
  const preview = await previewRestore(rack.folder, backup)
  expect(preview).toMatchObject({
    inBackup: { panels: 2, photos: 0 },
    inRack: { panels: 2, photos: 1 },
    gone: { count: 1, first: [{ title: 'C' }] },
    back: { count: 1, first: [{ code: b.code, title: 'B' }] },
    different: { count: 1, first: [{ code: a.code }] },
    changesLost: 4,
    sameRack: true,
    // the row's original was never in the folder
    photosToTray: 0,
    photosMissing: 0,
  })
  expect(await titles(rack)).toHaveLength(3)
})

test('the preview works where the present records cannot be read', async () => {
  const { folder, backup } = await goneOn()
  writeFileSync(join(folder, 'rack.sqlite'), 'no database')
  expect(await previewRestore(folder, backup)).toMatchObject({
    inRack: null,
    inBackup: { panels: 1 },
    back: { count: 1, first: [{ title: 'A' }] },
    gone: { count: 0 },
    changesLost: 0,
    sameRack: null,
  })
})
