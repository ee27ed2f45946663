import { createHash } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { expect, test } from 'vitest'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addReading } from '../../electron/rack/queries/readings.ts'
import { trackedTables } from '../../electron/rack/tables.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import { allParts, usualRules } from '../../shared-core/records/archive.ts'
import { draft, dump, photoFile } from '../rack/fresh.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'
import { type BenchService, benchService } from './bench-service.ts'

/** A rack with panels, formulas, readings and photos that really lie in it. */
async function filled(service: BenchService, name = 'North wall', photos = 3): Promise<string> {
  const folder = join(service.folder, name)
  await service.call('rack.create', { folder, name })
  const rack = service.context.rack()
  for (let i = 0; i < 4; i++) {
    await rack.change({ label: `panel ${i}` }, async (change) => {
      const id = await savePanel(
        change,
        draft({
          title: `Teal ${i}`,
          layers: [
            layer('ground', 'bright gold'),
            layer('candy', '', { coats: 4, mixture: candyMixture('copper', `dye ${i}`) }),
          ],
        }),
      )
      for (const step of await change.db.selectFrom('step').select('id').where('panel_id', '=', id).execute())
        await addReading(change, typedReading(typed(i), { stepId: step.id }))
    })
  }
  const files = await Promise.all(
    Array.from({ length: photos }, (_, i) => photoFile(join(service.folder, `${name}-${i}.jpg`), 7 * i + name.length)),
  )
  if (files.length === 0) return folder
  const { jobId } = await service.call('photos.takeIn', {
    files: files.map((path, i) => ({ path, name: `${i}.jpg` })),
  })
  await service.ended(jobId)
  return folder
}

const typed = (i: number) => ({
  lab: { l: 40 + i, a: -20, b: -10 + i },
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: 1,
  view: 'face' as const,
  stage: 'dry' as const,
  lightId: null,
})

async function archived(service: BenchService, history = true): Promise<string> {
  const target = join(service.folder, 'kept.overground.zip')
  const { jobId } = await service.call('archive.make', { target, replace: true, history })
  const job = await service.ended(jobId)
  expect(job.error).toBeNull()
  return target
}

const sha256 = (path: string) => createHash('sha256').update(readFileSync(path)).digest('hex')

/** Every kept file of a rack with its hash. */
const keptFiles = (folder: string): string[] =>
  ['photos', 'data-sheets'].flatMap((kind) =>
    readdirSync(join(folder, kind), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .map((path) => `${relative(folder, path)} ${sha256(path)}`)
      .toSorted(),
  )

test('a rack goes through an archive: photos equal to the byte, tables equal to the row, history with it', async () => {
  const service = await benchService()
  const folder = await filled(service)
  const before = await dump(service.context.rack())
  const changes = await service.call('history.list', { panelId: null, who: null, before: null, limit: 50 })
  const archive = await archived(service)
  const { archive: facts } = await service.call('archive.inspect', { path: archive })
  expect(facts).toMatchObject({
    name: 'North wall',
    panels: 4,
    photos: 3,
    history: true,
    missing: 0,
    damaged: 0,
    ofThisRack: true,
  })
  await service.call('rack.close', {})

  const other = await benchService()
  const target = join(other.folder, 'deep', 'unpacked')
  mkdirSync(join(other.folder, 'deep'))
  const job = await other.ended((await other.call('archive.unpack', { path: archive, folder: target })).jobId)
  expect(job.error).toBeNull()
  expect(other.context.rack().folder).toBe(target)
  expect(await dump(other.context.rack())).toBe(before)
  expect(keptFiles(target)).toEqual(keptFiles(folder))
  expect(readdirSync(join(other.folder, 'deep'))).toEqual(['unpacked'])
  expect(await other.call('history.list', { panelId: null, who: null, before: null, limit: 50 })).toMatchObject({
    entries: expect.arrayContaining(
      (changes.entries as { label: string }[]).map(({ label }) => expect.objectContaining({ label })),
    ),
  })
  // the undo of before goes on
  await other.call('history.undo', {})
}, 30_000)

test('without its history an archive holds no earlier state and no undo', async () => {
  const service = await benchService()
  await filled(service, 'Quiet', 0)
  const archive = await archived(service, false)
  const target = join(service.folder, 'unpacked')
  await service.ended((await service.call('archive.unpack', { path: archive, folder: target })).jobId)
  const db = service.context.rack().db
  expect(await db.selectFrom('change').selectAll().execute()).toEqual([])
  expect(await db.selectFrom('change_row').selectAll().execute()).toEqual([])
  expect(await service.refusal('history.undo', {})).toMatchObject({ code: 'history/nothing' })
}, 30_000)

test('an archive is not made over a file that is there, nor into a folder that is not', async () => {
  const service = await benchService()
  await filled(service, 'Rack', 0)
  const there = join(service.folder, 'there.overground.zip')
  writeFileSync(there, 'mine')
  const ask = (target: string) => service.refusal('archive.make', { target, replace: false, history: true })
  expect(await ask(there)).toMatchObject({ code: 'archive/target-exists' })
  expect(await ask(join(service.folder, 'no', 'x.overground.zip'))).toMatchObject({ code: 'archive/bad-target' })
  expect(await ask('x.overground.zip')).toMatchObject({ code: 'archive/bad-target' })
  expect(await ask(join(service.folder, 'x.zip'))).toMatchObject({ code: 'archive/bad-target' })
  expect(readFileSync(there, 'utf8')).toBe('mine')
})

test('stopped, making an archive leaves no file', async () => {
  const service = await benchService()
  await filled(service, 'Rack', 1)
  const target = join(service.folder, 'out')
  mkdirSync(target)
  const path = join(target, 'x.overground.zip')
  const { jobId } = await service.call('archive.make', { target: path, replace: false, history: true })
  await service.call('jobs.cancel', { jobId })
  expect((await service.ended(jobId)).state).toBe('cancelled')
  expect(readdirSync(target)).toEqual([])
})

test('in a browser it is handed over as a document', async () => {
  const service = await benchService()
  await filled(service, 'North: wall', 1)
  const { jobId } = await service.call('archive.make', { target: null, replace: false, history: true })
  const job = await service.ended(jobId)
  expect(job.document?.fileName).toMatch(/^North wall \d{4}-\d\d-\d\d\.overground\.zip$/)
  const located = await service.call('documents.locate', { documentId: job.document?.documentId ?? '' })
  expect((await service.call('archive.inspect', { path: located.path })).archive.photos).toBe(1)
}, 30_000)

test('a photo that a disk altered, and one that is gone, are told, and the rest is kept', async () => {
  const service = await benchService()
  const folder = await filled(service, 'Rack', 3)
  const [first, second] = keptFiles(folder).map((line) => join(folder, line.split(' ')[0] ?? ''))
  if (!first || !second) throw new Error('no photos')
  const bytes = readFileSync(first)
  bytes[200] = (bytes[200] ?? 0) ^ 1
  rmSync(first)
  writeFileSync(first, bytes)
  rmSync(second)
  const { archive } = await service.call('archive.inspect', { path: await archived(service) })
  expect(archive).toMatchObject({ photos: 2, damaged: 1, missing: 1 })
}, 30_000)

test('taken in, panels, formulas and photos of another rack hang here, as one change that undo takes back', async () => {
  const service = await benchService()
  await filled(service, 'Far shop', 2)
  const archive = await archived(service)
  await filled(service, 'Here', 1)
  const rack = service.context.rack()
  const before = await dump(rack)
  await service.ended((await service.call('archive.compare', { path: archive })).jobId)
  const { comparison } = await service.call('archive.comparison', {})
  if (!comparison) throw new Error('nothing was compared')
  expect(comparison).toMatchObject({
    name: 'Far shop',
    sameRack: false,
    same: 0,
    photos: 2,
    trayPhotos: 2,
    missingPhotos: 0,
    cautions: [],
  })
  // the same titles, days, codes and formulas in both: the painter is asked
  expect(comparison.panels.map(({ fate }) => fate)).toEqual(Array.from({ length: 4 }, () => 'probably-same'))
  const wish = {
    comparisonId: comparison.id,
    rules: { ...usualRules, 'probably-same': 'both' as const },
    choices: {},
    parts: allParts,
  }
  // which codes they will get is known before
  const { codes: foreseen } = await service.call('archive.foreseeCodes', wish)
  const expected = ['P-0005', 'P-0006', 'P-0007', 'P-0008']
  expect(comparison.panels.map(({ id }) => foreseen[id])).toEqual(expected)
  const { jobId } = await service.call('archive.mergeIn', wish)
  const job = await service.ended(jobId)
  expect(job.error).toBeNull()
  expect((await service.call('history.list', { panelId: null, limit: 1 })).entries[0]?.id).toBe(job.changeId)
  expect(job.outcome).toContain('4 panels came in')
  const { rack: info } = await service.call('rack.describe', {})
  expect(info).toMatchObject({ panelCount: 8, trayCount: 3, undo: 'take in 4 panels from “Far shop”' })
  const codes = await rack.db.selectFrom('panel').select('code').orderBy('code').execute()
  expect(codes.map(({ code }) => code)).toEqual([
    'P-0001',
    'P-0002',
    'P-0003',
    'P-0004',
    'P-0005',
    'P-0006',
    'P-0007',
    'P-0008',
  ])
  for (const { sha256: hash, byte_count } of await rack.db.selectFrom('photo').selectAll().execute()) {
    const path = join(rack.folder, 'photos', hash.slice(0, 2), `${hash}.jpg`)
    expect([statSync(path).size, sha256(path)]).toEqual([byte_count, hash])
  }
  await service.call('history.undo', {})
  expect(await dump(rack)).toBe(before)
  await service.call('history.redo', {})
  expect((await service.call('rack.describe', {})).rack?.panelCount).toBe(8)
}, 30_000)

test('one panel is held against its own field by field, its colours beside each other, before anything is taken', async () => {
  const service = await benchService()
  await filled(service, 'Far shop', 0)
  const theirs = service.context.rack()
  const [one] = await theirs.db.selectFrom('panel').selectAll().orderBy('code').execute()
  if (!one) throw new Error('no panel')
  await theirs.change({ label: 'note' }, (change) => change.update('panel', one.id, { notes: 'Dries slowly' }))
  const archive = await archived(service)
  await filled(service, 'Here', 0)
  const before = await dump(service.context.rack())
  await service.ended((await service.call('archive.compare', { path: archive })).jobId)
  const { comparison } = await service.call('archive.comparison', {})
  const asked = { comparisonId: comparison?.id ?? '', panelId: one.id }
  const { groups } = await service.call('archive.compareOne', asked)
  const facts = groups.flatMap((group) => group.facts)
  expect(facts.filter(({ name }) => name === 'Notes')).toEqual([
    { name: 'Notes', before: null, after: { kind: 'text', text: 'Dries slowly' } },
  ])
  // both racks were filled alike: each reading of theirs stands beside ours of the same step
  const colours = facts.filter(({ after }) => after?.kind === 'colour')
  expect(colours.length).toBeGreaterThan(0)
  for (const { before: mine, after } of colours) expect(mine).toEqual(after)
  expect(facts.some(({ name }) => name === 'Title' || name === 'Mixture')).toBe(false)
  expect(await dump(service.context.rack())).toBe(before)
  await service.call('archive.forgetComparison', {})
  await expect(service.call('archive.compareOne', asked)).rejects.toThrow('has changed meanwhile')
}, 30_000)

test('a photo that was altered in an archive is named as the painter named it, once', async () => {
  const service = await benchService()
  const folder = await filled(service, 'Far shop', 1)
  const archive = await archived(service)
  const [kept] = keptFiles(folder).map((line) => readFileSync(join(folder, line.split(' ')[0] ?? '')))
  const bytes = readFileSync(archive)
  const at = bytes.indexOf(kept ?? Buffer.of())
  bytes[at + 100] = (bytes[at + 100] ?? 0) ^ 1
  writeFileSync(archive, bytes)
  const said = 'The archive is damaged: the photo “0.jpg” is not as it was packed. Nothing was unpacked.'
  const verified = await service.ended((await service.call('archive.verify', { path: archive })).jobId)
  expect(verified.error?.message).toBe(said)
  const target = join(service.folder, 'unpacked')
  const unpacked = await service.ended((await service.call('archive.unpack', { path: archive, folder: target })).jobId)
  expect(unpacked.error?.message).toBe(said)
  expect(readdirSync(service.folder)).not.toContain('unpacked')
}, 30_000)

test('originals that the other rack has lost do not come, are told, and need no room', async () => {
  const service = await benchService()
  const there = await filled(service, 'Far shop', 2)
  const [first] = keptFiles(there)
  rmSync(join(there, first?.split(' ')[0] ?? ''))
  // what its records say of a photo's size is nobody's measure
  await service.context.rack().db.updateTable('photo').set({ byte_count: 900_000_000_000_000 }).execute()
  await filled(service, 'Here', 0)
  await service.ended((await service.call('archive.compare', { path: there })).jobId)
  const { comparison } = await service.call('archive.comparison', {})
  expect(comparison).toMatchObject({ photos: 2, missingPhotos: 1, cautions: [{ code: 'archive/photos-missing' }] })
  expect(comparison?.photoBytes).toBeLessThan(1_000_000)
  const wish = { comparisonId: comparison?.id ?? '', rules: usualRules, choices: {}, parts: allParts }
  const job = await service.ended((await service.call('archive.mergeIn', wish)).jobId)
  expect(job.outcome).toContain('1 original could not be taken')
}, 30_000)

test('every table that is tracked is looked at when records come from elsewhere', async () => {
  const { rowForms } = await import('../../electron/rack/archive/proof/row-forms.ts')
  expect(Object.keys(rowForms).toSorted()).toEqual([...trackedTables].toSorted())
})
