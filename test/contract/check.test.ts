/** Looking through a rack and putting right what is not: real racks, real damage, every finding told and every repair done. */
import {
  chmodSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join } from 'node:path'
import { CompiledQuery } from 'kysely'
import { beforeAll, expect, test, vi } from 'vitest'
import { originalPath } from '../../electron/rack/disk/photo-store.ts'
import type { PhotoRow } from '../../electron/rack/tables.ts'
import { isDue } from '../../electron/service/safety/check/weekly.ts'
import type { CheckReport } from '../../shared-core/records/check.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { photoFile, workFolder } from '../rack/fresh.ts'
import { byHand, rowsOf, workedRack } from '../rack/worked-rack.ts'
import { benchService } from './bench-service.ts'

const work = workFolder()
let photos: PhotoRow[] = []

beforeAll(async () => {
  const made = await workedRack(join(work, 'rack'))
  photos = await made.db.selectFrom('photo').selectAll().orderBy('name').execute()
  await made.close()
})

async function opened() {
  const service = await benchService()
  const folder = join(service.folder, 'rack')
  cpSync(join(work, 'rack'), folder, { recursive: true, preserveTimestamps: true })
  const originals = photos.map((photo) => ({
    ...photo,
    path: originalPath(folder, photo.sha256, 'jpeg'),
    source: join(work, 'pictures', photo.name),
  }))
  const { call, ended } = service
  const open = () => call('rack.open', { folder })
  const report = async (): Promise<CheckReport> => (await call('check.report', {})).report
  const look = async (): Promise<CheckReport> => {
    const job = await ended((await call('check.start', {})).jobId)
    expect(job.state).toBe('done')
    return report()
  }
  const codes = ({ findings }: CheckReport) => findings.map(({ code }) => code)
  const finding = (from: CheckReport, code: string) => from.findings.find((one) => one.code === code)
  /** As something else would that writes into the database while the rack is open. */
  const behindHistory = async (...statements: string[]) => {
    const { db } = service.context.rack()
    await db.executeQuery(CompiledQuery.raw('pragma foreign_keys = off'))
    for (const statement of statements) await db.executeQuery(CompiledQuery.raw(statement))
    await db.executeQuery(CompiledQuery.raw('pragma foreign_keys = on'))
  }
  return { ...service, behindHistory, rackFolder: folder, originals, open, look, report, codes, finding }
}

test('a whole rack is told in one sentence, with when it was looked through', async () => {
  const { open, look, report } = await opened()
  await open()
  expect(await report()).toMatchObject({ checkedAt: null, isWhole: false, findings: [] })
  const told = await look()
  expect(told.headline).toBe('Everything was whole: 12 panels, 3 photos')
  expect(told).toMatchObject({ isWhole: true, underWay: null, findings: [], pictures: { missing: 0 } })
  expect(Math.abs(Date.now() - Date.parse(told.checkedAt ?? ''))).toBeLessThan(60_000)
})

test('lost, damaged and renamed originals are told, and come back byte for byte', async () => {
  const { open, look, codes, finding, originals, call, ended, refusal, folder, report } = await opened()
  const before = originals.map(({ path }) => readFileSync(path))
  const [lost, damaged, renamed] = originals
  rmSync(lost!.path)
  chmodSync(damaged!.path, 0o644)
  const bytes = readFileSync(damaged!.path)
  bytes[Math.floor(bytes.length / 2)]! ^= 1
  writeFileSync(damaged!.path, bytes)
  renameSync(renamed!.path, join(dirname(renamed!.path), 'my best photo.jpg'))
  await open()
  expect((await refusal('check.relink', { paths: [folder] })).code).toBe('check/nothing-missing')
  const told = await look()
  expect(told.headline).toBe('1 original is missing; 1 original is damaged')
  expect(codes(told)).toEqual(['original-missing', 'original-damaged', 'original-renamed', 'unknown-photos'])
  expect(finding(told, 'original-missing')?.items.map(({ name }) => name)).toEqual([lost!.name])
  expect(finding(told, 'original-damaged')?.items.map(({ name }) => name)).toEqual([damaged!.name])
  expect(readFileSync(renamed!.path).equals(before[2]!)).toBe(true)

  // the card has them under other names, deep in folders, beside much else
  const card = join(folder, 'card')
  mkdirSync(join(card, 'DCIM', '100'), { recursive: true })
  await photoFile(join(card, 'other.jpg'), 99)
  copyFileSync(lost!.source, join(card, 'DCIM', '100', 'DSC_0001.JPG'))
  expect((await refusal('check.relink', { paths: [join(folder, 'nowhere')] })).code).toBe('check/no-such-place')
  const first = await ended((await call('check.relink', { paths: [card] })).jobId)
  expect(first.outcome).toBe('1 original is back in its place, byte for byte. 1 other did not lie there.')
  const second = await ended((await call('check.relink', { paths: [damaged!.source] })).jobId)
  expect(second.outcome).toContain('Nothing is missing any more.')
  for (const [i, { path }] of originals.entries()) expect(readFileSync(path).equals(before[i]!)).toBe(true)
  expect((await report()).isWhole).toBe(true)
  expect((await look()).isWhole).toBe(true)
})

test('a photo whose original is gone is still shown, and says so', async () => {
  const { open, look, originals, call } = await opened()
  const [{ id, path, sha256 }] = originals as [(typeof originals)[0]]
  rmSync(path)
  await open()
  await look()
  const tray = (await call('photos.listTray', {})).photos
  expect(tray.find((photo) => photo.id === id)?.cautions).toContainEqual(
    expect.objectContaining({ code: 'photo/original-missing' }),
  )
  expect(existsSync((await call('pictures.locate', { key: `photo/${sha256}/view` })).path)).toBe(true)
})

test('unknown files are told, taken in, set aside or left; nothing is deleted', async () => {
  const { open, look, report, finding, rackFolder, call, ended, refusal } = await opened()
  const inside = (...parts: string[]) => join(rackFolder, ...parts)
  await photoFile(inside('photos', 'stray.jpg'), 40)
  writeFileSync(inside('photos', 'shopping list.txt'), 'masking tape')
  writeFileSync(inside('photos', '.DS_Store'), 'x')
  writeFileSync(inside('data-sheets', 'note.pdf'), 'x')
  writeFileSync(inside('photos', '.old.part'), 'half')
  utimesSync(inside('photos', '.old.part'), new Date(0), new Date(0))
  mkdirSync(inside('renditions', 'ab'), { recursive: true })
  writeFileSync(inside('renditions', 'ab', `${'ab'.repeat(32)}-thumb.webp`), 'RIFF')
  await open()
  // what opening itself swept is no longer there
  const told = await look()
  expect(told.isWhole).toBe(true)
  expect(finding(told, 'unknown-photos')?.items.map(({ path }) => path)).toEqual(['photos/stray.jpg'])
  expect(finding(told, 'unknown-files')?.items.map(({ path }) => path)).toEqual([
    'photos/shopping list.txt',
    'data-sheets/note.pdf',
  ])
  expect(finding(told, 'loose-pictures')?.count).toBe(1)
  expect((await refusal('check.setAside', { paths: ['../secret'] })).code).toBe('check/no-such-file')
  expect((await refusal('check.setAside', { paths: ['rack.sqlite'] })).code).toBe('check/no-such-file')

  const taken = await ended((await call('check.takeUnknown', { paths: ['photos/stray.jpg'] })).jobId)
  expect(taken.outcome).toBe('1 photo lies in the tray.')
  expect(existsSync(inside('unknown', 'stray.jpg'))).toBe(true)
  expect((await call('photos.listTray', {})).photos).toHaveLength(4)
  expect(await call('check.setAside', { paths: ['photos/shopping list.txt'] })).toEqual({ count: 1, byteCount: 12 })
  expect(readFileSync(inside('unknown', 'shopping list.txt'), 'utf8')).toBe('masking tape')
  await call('check.leave', { paths: ['data-sheets/note.pdf'] })
  expect(await call('check.clearRenditions', {})).toMatchObject({ count: 1 })
  expect(finding(await report(), 'unknown-files')).toBeUndefined()
  const again = await look()
  expect(again.findings).toEqual([])
  expect(again.kept.photos.count).toBe(4)
})

test('derived rows that were altered are written anew by themselves', async () => {
  const { open, look, finding, rackFolder } = await opened()
  byHand(rackFolder, (raw) => {
    raw.exec('update panel_row set hue_order = 0.5, lightness = 1')
    raw.exec('delete from panel_words where rowid in (select doc from panel_doc limit 3)')
  })
  await open()
  const told = await look()
  expect(finding(told, 'derived')).toMatchObject({ weight: 'mended', count: 12 })
  expect(told.isWhole).toBe(true)
  expect((await look()).findings).toEqual([])
})

test('rows without what they belong to are put right: from the history, or taken out', async () => {
  const { open, look, finding, rackFolder, call, ended, behindHistory } = await opened()
  const before = rowsOf(join(rackFolder, 'rack.sqlite'))
  await open()
  await behindHistory('delete from step where id = (select step_id from reading order by id limit 1)')
  const told = await look()
  expect(told.isWhole).toBe(false)
  expect(finding(told, 'loose')).toMatchObject({ count: 1, actions: ['mend-loose'] })
  const job = await ended((await call('check.mend', { what: 'loose' })).jobId)
  expect(job.outcome).toBe('1 record put back from the history, after a backup.')
  expect(readdirSync(join(rackFolder, 'backups')).some((name) => name.endsWith('-damaged.sqlite'))).toBe(true)
  expect((await look()).isWhole).toBe(true)
  await call('rack.close', {})
  const after = rowsOf(join(rackFolder, 'rack.sqlite'))
  for (const table of ['panel', 'step', 'reading', 'layer']) expect(after[table]).toBe(before[table])
})

test('without a history the loose row itself is taken out', async () => {
  const { open, look, call, ended, behindHistory } = await opened()
  await open()
  await behindHistory(
    'delete from change_row',
    'delete from change',
    'delete from change_about',
    'delete from step where id = (select step_id from reading order by id limit 1)',
    'update step set position = 0',
  )
  expect((await look()).isWhole).toBe(false)
  const job = await ended((await call('check.mend', { what: 'loose' })).jobId)
  expect(job.outcome).toContain('1 record that belonged to nothing is taken out')
  const order = await ended((await call('check.mend', { what: 'order' })).jobId)
  expect(order.outcome).toContain('numbered anew')
  const { isWhole, headline } = await look()
  expect([isWhole, headline]).toEqual([true, 'Everything was whole: 12 panels, 3 photos'])
})

test('a record that something else altered is put back as the history has it, and that can be undone', async () => {
  const { open, look, finding, rackFolder, call, ended } = await opened()
  byHand(rackFolder, (raw) => raw.exec("update panel set title = 'Altered' where code = 'P-0004'"))
  await open()
  const told = finding(await look(), 'history')
  expect(told?.items[0]?.detail).toBe('title: “Altered”, in the history “Panel 3 over gold”')
  await ended((await call('check.mend', { what: 'from-history' })).jobId)
  expect((await look()).isWhole).toBe(true)
  expect((await call('history.undo', {})).label).toBe('put records back as the history has them')
  // or the record is right, and the history is not
  await look()
  const kept = await ended((await call('check.mend', { what: 'keep-present' })).jobId)
  expect(kept.outcome).toBe('1 record kept: the history now ends with what is there.')
  expect((await look()).isWhole).toBe(true)
  const { panels } = await call('panels.list', { filter: noFilter, sort: 'code' })
  expect(JSON.stringify(panels)).toContain('Altered')
})

/** One half done: of three originals two are noted as whole, of which one is gone since. */
async function halfDone(paused: boolean) {
  const service = await opened()
  const [first, second] = service.originals
  rmSync(first!.path)
  byHand(service.rackFolder, (raw) => {
    const found = JSON.stringify({ exam: null, walked: null, renamed: [], derivedMended: 0, paused })
    raw.prepare('insert into check_run values (?, ?, null, ?)').run('half', '2026-01-01T00:00:00.000Z', found)
    for (const { sha256 } of [first!, second!])
      raw.prepare("insert into file_check values (?, '2026-01-02T00:00:00.000Z', 'whole')").run(sha256)
  })
  return service
}

test('a look through that was cut short goes on by itself where it stopped, and looks at nothing twice', async () => {
  const { open, report, look, context, ended } = await halfDone(false)
  await open()
  await expect.poll(() => context.jobs.list().filter(({ kind }) => kind === 'check').length).toBe(1)
  const [job] = context.jobs.list().filter(({ kind }) => kind === 'check')
  expect((await ended(job!.id)).outcome).toBeUndefined()
  // what was noted as whole was not read again
  expect(await report()).toMatchObject({ isWhole: true, underWay: null })
  expect((await look()).headline).toBe('1 original is missing')
})

test('one that somebody stopped waits until it is asked for, and goes on where it stopped', async () => {
  const { open, report, call, ended, context } = await halfDone(true)
  await open()
  expect(await report()).toMatchObject({ underWay: { jobId: null, done: 2, total: 3 }, checkedAt: null })
  expect(context.jobs.list().filter(({ kind }) => kind === 'check')).toEqual([])
  const jobId = (await call('check.start', {})).jobId
  expect((await call('check.start', {})).jobId).toBe(jobId)
  expect((await ended(jobId)).state).toBe('done')
  expect(await report()).toMatchObject({ isWhole: true, underWay: null })
  const stopped = (await call('check.start', {})).jobId
  await call('jobs.cancel', { jobId: stopped })
  expect((await ended(stopped)).state).toBe('cancelled')
  const suspended = (await call('check.start', {})).jobId
  await call('rack.close', {})
  expect((await ended(suspended)).state).toBe('cancelled')
})

test('originals of discarded photos are listed, moved to the trash when asked, and found there again', async () => {
  const { open, look, report, call, originals, refusal, rackFolder } = await opened()
  const [{ id, path, sha256, byte_count }] = originals as [(typeof originals)[0]]
  const bytes = readFileSync(path)
  await open()
  await call('photos.discard', { photoId: id })
  expect((await report()).unneeded).toEqual({ count: 1, byteCount: byte_count })
  expect((await call('check.listUnneeded', {})).photos.map(({ photoId }) => photoId)).toEqual([id])
  expect(await call('check.clearUnneeded', { photoIds: [id, 'x'] })).toEqual({ count: 1, byteCount: byte_count })
  expect(existsSync(path)).toBe(false)
  expect(existsSync(join(rackFolder, 'trash', 'photos', `${sha256}.jpg`))).toBe(true)
  const cleared = await look()
  expect(cleared).toMatchObject({ isWhole: true, findings: [], trash: { count: 1 }, unneeded: { count: 0 } })
  await call('history.undo', {})
  expect((await report()).headline).toBe('1 original is missing')
  expect((await refusal('check.relink', { paths: ['/nowhere/at/all'] })).code).toBe('check/no-such-place')
  // a look through finds it in the rack's own trash
  expect((await look()).isWhole).toBe(true)
  expect(readFileSync(path).equals(bytes)).toBe(true)
  expect(await call('check.emptyTrash', {})).toMatchObject({ count: 1 })
  expect(existsSync(path)).toBe(true)
})

test('small pictures are made anew, and those that nothing could make again stay', async () => {
  const { open, look, call, ended, originals, rackFolder } = await opened()
  const thumb = (sha256: string) => join(rackFolder, 'renditions', sha256.slice(0, 2), `${sha256}-thumb.webp`)
  const [first, second] = originals
  rmSync(thumb(first!.sha256))
  rmSync(second!.path)
  await open()
  expect((await look()).pictures).toMatchObject({ missing: 1 })
  const job = await ended((await call('check.rebuildRenditions', { which: 'missing' })).jobId)
  expect(job.outcome).toBe('Small pictures of 1 photo were made anew.')
  expect(existsSync(thumb(first!.sha256))).toBe(true)
  const all = await ended((await call('check.rebuildRenditions', { which: 'all' })).jobId)
  expect(all.items.map(({ name, why }) => [name, why?.code])).toEqual([[second!.name, 'photo/original-missing']])
  expect(existsSync(thumb(second!.sha256))).toBe(true)
})

test('a week after the last one it is due again, and also where the clock was put back', async () => {
  const { open, look, context } = await opened()
  await open()
  const rack = context.rack()
  expect(await isDue(rack)).toBe(true)
  const { checkedAt } = await look()
  const at = Date.parse(checkedAt!)
  const day = 24 * 60 * 60 * 1000
  expect(await isDue(rack, at + 6.9 * day)).toBe(false)
  expect(await isDue(rack, at + 7 * day)).toBe(true)
  expect(await isDue(rack, at - 400 * day)).toBe(true)
})

/** What the open rack is said to be by its cautions, once the look after opening or a job has come to `code`. */
const cautionsWith = async (call: Awaited<ReturnType<typeof opened>>['call'], code: string) => {
  const all = async () => (await call('rack.describe', {})).rack?.cautions ?? []
  await vi.waitFor(async () => expect((await all()).map((one) => one.code)).toContain(code), { timeout: 20_000 })
  return all()
}
const goneFrom = (call: Awaited<ReturnType<typeof opened>>['call'], code: string) =>
  vi.waitFor(
    async () => {
      const { rack } = await call('rack.describe', {})
      expect(rack?.cautions.map((one) => one.code)).not.toContain(code)
    },
    { timeout: 20_000 },
  )

test('originals that are gone as a rack is opened are a caution, and what a look through finds of them stays one', async () => {
  const { open, look, finding, originals, rackFolder, call, ended } = await opened()
  for (const { path } of originals) rmSync(path)
  rmSync(join(rackFolder, 'renditions'), { recursive: true, force: true })
  await open()
  const cautions = await cautionsWith(call, 'rack/originals-missing')
  expect(cautions.find(({ code }) => code === 'rack/originals-missing')?.message).toContain(
    '3 of 3 originals are not there',
  )
  const told = finding(await look(), 'original-missing')
  expect(told).toMatchObject({ count: 3, title: '3 originals are missing' })
  // no small picture is left that could go on being shown
  expect(told?.safe).not.toContain('go on being shown')
  expect(told?.safe).toContain('Small pictures of 3 photos are not there either')
  // told once
  const after = await cautionsWith(call, 'check/original-missing')
  expect(after.map(({ code }) => code)).not.toContain('rack/originals-missing')
  await ended((await call('check.relink', { paths: originals.map(({ source }) => source) })).jobId)
  await goneFrom(call, 'check/original-missing')
})

test('what comes back from the second place by itself is told until the next look through', async () => {
  const { open, look, finding, codes, originals, call, ended, folder } = await opened()
  await open()
  const disk = join(folder, 'disk')
  mkdirSync(disk)
  await call('secondPlace.choose', { folder: disk })
  await ended((await call('backups.make', {})).jobId)
  const [first, second] = originals
  rmSync(first!.path)
  writeFileSync(second!.path, readFileSync(second!.path).fill(0, 300, 400))
  const report = await look()
  expect(report).toMatchObject({ isWhole: true, headline: expect.stringContaining('the drive is failing') })
  expect(finding(report, 'original-brought-back')).toMatchObject({
    weight: 'mended',
    title: '2 originals were damaged or missing and were brought back from the second place',
    items: expect.arrayContaining([expect.objectContaining({ name: second!.name, detail: 'was damaged' })]),
  })
  expect(readFileSync(second!.path)).toEqual(readFileSync(second!.source))
  await cautionsWith(call, 'check/original-brought-back')
  expect(codes(await look())).not.toContain('original-brought-back')
  await goneFrom(call, 'check/original-brought-back')
})
