/** What stands where a file should be and is none, through a real service: refused in words, and the next file is taken. */
import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { namedMaterial } from '../../../shared-core/records/mixture.ts'
import { noNotebookAnswers, usualNotebookChoices } from '../../../shared-core/records/notebook.ts'
import { photoFile } from '../../rack/fresh.ts'
import { startWatched, type WatchedService } from './service.ts'

const patienceMs = 20_000
const folder = mkdtempSync(join(tmpdir(), 'overground-hostile-'))
const at = (name: string) => join(folder, name)
let service: WatchedService

beforeAll(async () => {
  service = await startWatched(at('service'), patienceMs)
  await service.call('rack.create', { folder: service.rack, name: 'Hostile' })
  mkdirSync(at('folder.jpg'))
  writeFileSync(at('empty.jpg'), '')
  await photoFile(at('cut.jpg'), 1)
  truncateSync(at('cut.jpg'), 900)
  await photoFile(at('sparse.jpg'), 2)
  truncateSync(at('sparse.jpg'), 4_000_000_000)
  symlinkSync(at('loop-b.jpg'), at('loop-a.jpg'))
  symlinkSync(at('loop-a.jpg'), at('loop-b.jpg'))
  symlinkSync(at('nowhere'), at('dangling.jpg'))
  if (process.platform !== 'win32') execFileSync('mkfifo', [at('pipe.jpg')])
})
afterAll(async () => {
  await service?.leave()
  rmSync(folder, { recursive: true, force: true })
})

const takeIn = async (path: string): Promise<string | null> => {
  service.begin()
  const answer = await service.call('photos.takeIn', { files: [{ path, name: 'photo.jpg' }] })
  if (!answer.ok) return answer.code
  const { items } = await service.ended((answer.value as { jobId: string }).jobId)
  return items[0]?.fate === 'taken' ? 'taken' : (items[0]?.code ?? null)
}
const answers = { illuminant: null, observer: null, geometry: null, scale: null, view: null }
const codeOf = async (name: string, input: unknown): Promise<string> => {
  service.begin()
  const answer = await service.call(name, input)
  return answer.ok ? 'taken' : answer.code
}

const ways: [what: string, path: () => string, code: string][] = [
  ['a folder', () => at('folder.jpg'), 'photo/unreadable'],
  ['nothing', () => at('not-there.jpg'), 'photo/unreadable'],
  ['an empty file', () => at('empty.jpg'), 'photo/empty'],
  ['a file cut short', () => at('cut.jpg'), 'photo/damaged'],
  ['4 GB of nothing behind a photo', () => at('sparse.jpg'), 'photo/too-large'],
  ['a link to nothing', () => at('dangling.jpg'), 'photo/unreadable'],
  ['links in a ring', () => at('loop-a.jpg'), 'photo/unreadable'],
  ['a name with a zero in it', () => at('zero\0.jpg'), 'photo/unreadable'],
  ['a name longer than a name may be', () => at(`${'n'.repeat(300)}.jpg`), 'photo/unreadable'],
]
const onlyUnix: typeof ways = [
  ['a pipe that nobody writes to', () => at('pipe.jpg'), 'photo/unreadable'],
  ['a device without end', () => '/dev/zero', 'photo/unreadable'],
]

describe('in the place of a photo', () => {
  it.each([...ways, ...(process.platform === 'win32' ? [] : onlyUnix)])('%s', async (_, path, code) => {
    expect(await takeIn(path())).toBe(code)
  })

  it('the same service takes the next photo', async () => {
    expect(await takeIn(await photoFile(at('good.jpg'), 3))).toBe('taken')
    symlinkSync(await photoFile(at('linked.jpg'), 4), at('link.jpg'))
    expect(await takeIn(at('link.jpg'))).toBe('taken')
  })

  it('a photo that vanishes between the drop and its turn', async () => {
    const files = await Promise.all([5, 6, 7, 8, 9, 10].map((i) => photoFile(at(`v${i}.jpg`), i)))
    service.begin()
    const answer = await service.call('photos.takeIn', { files: files.map((path) => ({ path, name: 'v.jpg' })) })
    for (const path of files) rmSync(path, { force: true })
    expect(answer.ok).toBe(true)
    const job = await service.ended((answer as { value: { jobId: string } }).value.jobId)
    expect(job.state).toBe('done')
    expect(job.items).toHaveLength(6)
    for (const { fate, code } of job.items)
      expect(fate === 'taken' ? fate : code).toMatch(/^(taken|photo\/unreadable)$/)
  })
})

describe.skipIf(process.platform === 'win32')('a pipe or a device in the place of', () => {
  const notebook = { name: 'n', columns: null, answers: noNotebookAnswers, choices: usualNotebookChoices }
  it.each(['pipe.jpg', '/dev/zero'])('a table, an instrument’s file, a data sheet: %s', async (name) => {
    const path = name.startsWith('/') ? name : at(name)
    expect(await codeOf('exchange.inspect', { path, name, answers })).toBe('exchange/unreadable')
    expect(await codeOf('panelsCsv.preview', { ...notebook, path })).toBe('notebook/unreadable')
    service.begin()
    const {
      onHand: _,
      dataSheetFile: __,
      replacedById: ___,
      ...plain
    } = namedMaterial('', `Damson ${name}`, 'concentrate')
    const made = await service.call('shelf.save', { material: { ...plain, id: null } })
    expect(made).toMatchObject({ ok: true })
    const { material } = (made as { value: { material: { id: string } } }).value
    expect(await codeOf('shelf.attachDataSheet', { materialId: material.id, path })).toBe('file/unreadable')
  })
})
