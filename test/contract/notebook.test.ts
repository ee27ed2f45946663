import { createHash } from 'node:crypto'
import { writeFileSync } from 'node:fs'
import { readFile, truncate } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { Input } from '../../shared-core/contract/calls.ts'
import { writeTable } from '../../shared-core/exchange/panels-csv/write-table.ts'
import { noNotebookAnswers, usualNotebookChoices } from '../../shared-core/records/notebook.ts'
import { draft, dump } from '../rack/fresh.ts'
import { type BenchService, benchService } from './bench-service.ts'

type Wish = Partial<Input<'panelsCsv.preview'>>

async function shop(): Promise<{ service: BenchService; file: (text: string | Buffer, name?: string) => string }> {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Test rack' })
  const file = (text: string | Buffer, name = 'notebook.csv') => {
    const path = join(service.folder, name)
    writeFileSync(path, text)
    return path
  }
  return { service, file }
}
const asked = (path: string, wish: Wish = {}): Input<'panelsCsv.preview'> => ({
  path,
  name: 'notebook.csv',
  columns: null,
  answers: noNotebookAnswers,
  choices: usualNotebookChoices,
  ...wish,
})

/** Looks at a table and takes it in as it was proposed. */
async function take(service: BenchService, path: string, wish: Wish = {}) {
  const seen = await service.call('panelsCsv.preview', asked(path, wish))
  const { jobId } = await service.call('panelsCsv.import', {
    ...asked(path, wish),
    columns: seen.columns.map(({ use }) => use),
    answers: seen.answers,
    digest: seen.digest,
  })
  return { seen, job: await service.ended(jobId) }
}

const notebook = [
  'Code;Title;Ground;Formula;Coats;Cleared;Clear;Date;By;Gun;Tip mm;Pressure (bar);Tags;L;a;b;Notes',
  'A-1;Dusk;bright silver;4 Damson : 1 Bracken in 6:1 carrier, by volume;4;y;gloss clear;17.5.2024;Wren;HL-3;1,3;1,1;plum, show;30,5;20;-12,5;fine',
  'A-2;Peat;fine gold;Bracken in 6:1 carrier, by volume;2-4;n;;18.5.2024;Ida;HL-3;1,3;1,1;;;;;',
  ';Nameless;fine gold;3 Damson : 2 Saffron in 5:1 carrier, by volume;2x;;;;;;;;;;;;',
  'A-2;again;gold;Bracken, by volume;4;;;;;;;;;;;;',
  'A-9;odd;gold;blobs of red & a bit;4;;;;;;;;;;;;',
].join('\r\n')
const colour = { illuminant: 'D65', observer: '10', geometry: 'd:8-included' } as const
const answers = { ...noNotebookAnswers, ...colour }

test('nothing is imported until it is confirmed; then every panel, with one undo that leaves no trace', async () => {
  const { service, file } = await shop()
  await service.call('panels.save', { draft: draft({ code: 'P-0001' }) })
  const rack = service.context.rack()
  const before = await dump(rack)
  const path = file(notebook)
  const seen = await service.call('panelsCsv.preview', asked(path, { answers }))
  expect(seen).toMatchObject({ encoding: 'UTF-8', separator: 'semicolon', headings: true, asLastTime: false })
  expect(seen.counts).toEqual({ rows: 5, panels: 3, readings: 1, refused: 2, duplicates: 1, warned: 0, waiting: 0 })
  expect(seen.problems.map(({ rows, refused }) => [rows, refused])).toEqual([
    [[5], true],
    [[6], true],
  ])
  expect(seen.materials.map(({ name, kind, count }) => [name, kind, count])).toContainEqual([
    'Saffron',
    'concentrate',
    1,
  ])
  expect(await dump(rack)).toBe(before)

  const { job } = await take(service, path, { answers })
  expect(job).toMatchObject({ state: 'done', kind: 'notebook', done: 3, total: 3, error: null })
  const { panels } = await service.call('panels.list', {
    filter: { words: '', grounds: [], candies: [], tags: [], cleared: null, status: null },
    sort: 'code',
  })
  expect(panels.map(({ code, title }) => [code, title])).toEqual([
    ['A-1', 'Dusk'],
    ['A-2', 'Peat'],
    ['P-0001', 'Teal over gold'],
    ['P-0002', 'Nameless'],
  ])
  const { panel, readings } = await service.call('panels.get', { key: 'A-1' })
  expect(panel).toMatchObject({ sprayedOn: '2024-05-17', sprayedBy: 'Wren', tags: ['plum', 'show'], notes: 'fine' })
  expect(panel.layers.map(({ kind, name }) => [kind, name])).toEqual([
    ['ground', 'bright silver'],
    ['candy', ''],
    ['clear', 'gloss clear'],
  ])
  expect(panel.layers[1]).toMatchObject({ coats: 4, gunSetup: { gun: 'HL-3', tipMm: 1.3, inletKpa: 110 } })
  // a colour for another light and observer is kept as it was given
  expect(readings).toMatchObject([{ ...colour, lab: { l: 30.5, a: 20, b: -12.5 }, level: 'typed', stage: 'cleared' }])
  expect(
    (
      await service.call('panels.list', {
        filter: { words: 'nameless', grounds: [], candies: [], tags: [], cleared: null, status: null },
        sort: 'code',
      })
    ).panels,
  ).toHaveLength(1)

  const undone = await service.call('history.undo', {})
  expect(undone.label).toBe('take in 3 panels of a notebook')
  expect(await dump(rack)).toBe(before)
  // a code that was given is not given again
  expect((await service.call('panels.nextCode', {})).code).toBe('P-0003')
  await service.call('history.redo', {})
  expect((await service.call('panels.get', { key: 'A-2' })).panel.steps.map(({ coats }) => coats)).toEqual([2, 3, 4])
})

test('what one panel of the form and one row of a table become is the same', async () => {
  const { service, file } = await shop()
  await take(
    service,
    file('Code;Ground;Formula;Coats\nA-1;bright gold;4 Damson : 1 Bracken in 6:1 carrier, by volume;2;\n'),
  )
  const { panel } = await service.call('panels.get', { key: 'A-1' })
  const { panel: saved } = await service.call('panels.save', { draft: { ...panel, id: null, code: 'B-1' } })
  const bare = (said: unknown) =>
    JSON.parse(JSON.stringify(said, (key, value) => (key === 'id' && typeof value === 'string' ? 'id' : value)))
  expect(bare({ ...saved, code: '' })).toEqual(bare({ ...panel, code: '' }))
})

test('a table that changed since it was looked at is refused', async () => {
  const { service, file } = await shop()
  const path = file(notebook)
  const seen = await service.call('panelsCsv.preview', asked(path, { answers }))
  file(`${notebook}\r\n`)
  const input = { ...asked(path, { answers }), columns: seen.columns.map(({ use }) => use), digest: seen.digest }
  expect(await service.refusal('panelsCsv.import', input)).toMatchObject({ code: 'notebook/changed' })
})

test('what waits for an answer is not taken, and what has no panel neither', async () => {
  const { service, file } = await shop()
  const waiting = file('Code,Date\nA-1,03/04/2024\n')
  const seen = await service.call('panelsCsv.preview', asked(waiting))
  expect(seen.questions).toEqual([{ ask: 'dates', count: 1, example: '03/04/2024', answered: false, required: true }])
  const input = { ...asked(waiting), columns: seen.columns.map(({ use }) => use), digest: seen.digest }
  expect(await service.refusal('panelsCsv.import', input)).toMatchObject({ code: 'notebook/unanswered' })
  await take(service, waiting, { answers: { ...noNotebookAnswers, dates: 'day-first' } })
  expect((await service.call('panels.get', { key: 'A-1' })).panel.sprayedOn).toBe('2024-04-03')

  expect(
    await service.refusal('panelsCsv.import', { ...input, answers: { ...noNotebookAnswers, dates: 'day-first' } }),
  ).toMatchObject({
    code: 'notebook/nothing-to-take',
  })
  expect(await service.refusal('panelsCsv.import', { ...input, columns: ['code'] })).toMatchObject({
    code: 'notebook/columns',
  })
})

test('columns and answers are known again by the headings', async () => {
  const { service, file } = await shop()
  const answered = { ...noNotebookAnswers, dates: 'month-first' as const }
  const first = file('Code,Date,Where\nA-1,03/04/2024,shed\n')
  const seen = await service.call('panelsCsv.preview', asked(first, { answers: answered }))
  await take(service, first, { answers: answered, columns: ['code', 'sprayed-on', 'substrate'] })
  expect(seen.columns[2]?.use).toBe('notes')
  const again = await service.call('panelsCsv.preview', asked(file('Code,Date,Where\nA-2,05/06/2024,barn\n')))
  expect(again).toMatchObject({
    asLastTime: true,
    answers: { dates: 'month-first' },
    counts: { panels: 1, waiting: 0 },
  })
  expect(again.columns.map(({ use }) => use)).toEqual(['code', 'sprayed-on', 'substrate'])
})

test('a stop in the middle, like a crash, leaves nothing', async () => {
  const { service, file } = await shop()
  const rack = service.context.rack()
  const before = await dump(rack)
  const rows = Array.from({ length: 900 }, (_, i) => [`N-${i}`, 'gold', '4 Damson : 1 Bracken, by volume', '4'])
  const path = file(writeTable([['Code', 'Ground', 'Formula', 'Coats'], ...rows], ','))
  const seen = await service.call('panelsCsv.preview', asked(path))
  const input = { ...asked(path), columns: seen.columns.map(({ use }) => use), digest: seen.digest }
  const { jobId } = await service.call('panelsCsv.import', input)
  for (;;) {
    const done = service.context.jobs.list().find(({ id }) => id === jobId)?.done ?? 0
    if (done > 0) break
    await new Promise((resolve) => setImmediate(resolve))
  }
  await service.call('jobs.cancel', { jobId })
  const job = await service.ended(jobId)
  expect(job.state).toBe('cancelled')
  expect(job.done).toBeLessThan(900)
  expect(await dump(rack)).toBe(before)
  expect((await service.call('rack.describe', {})).rack?.undo).toBeNull()
})

test('ten thousand rows go in and come out whole', { timeout: 180_000 }, async () => {
  const { service, file } = await shop()
  const rack = service.context.rack()
  const before = await dump(rack)
  const rows = Array.from({ length: 10_000 }, (_, i) => [
    `N-${i}`,
    ['gold', 'silver'][i % 2] ?? '',
    `${1 + (i % 5)} Damson : 1 Bracken, by volume`,
    '4',
    'y',
  ])
  const path = file(writeTable([['Code', 'Ground', 'Formula', 'Coats', 'Cleared'], ...rows], ';'))
  const { job, seen } = await take(service, path)
  expect(seen.panels.length).toBeLessThan(30)
  expect(job).toMatchObject({ state: 'done', done: 10_000 })
  expect((await service.call('rack.describe', {})).rack?.panelCount).toBe(10_000)
  // the ledger tells of every table what it was before
  await service.call('history.undo', {})
  expect(await dump(rack)).toBe(before)
})

test('files that are no table are refused in words', async () => {
  const { service, file } = await shop()
  const refusalOf = async (path: string) => service.refusal('panelsCsv.preview', asked(path))
  const picture = Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')
  expect(await refusalOf(file(picture))).toMatchObject({
    code: 'notebook/not-a-table',
    message: 'This is no text file: it cannot be read as a table.',
  })
  expect(await refusalOf(file('x'.repeat(3_000_000)))).toMatchObject({ code: 'notebook/not-a-table' })
  expect(await refusalOf(file('Code,Ground,Coats\n'))).toMatchObject({ code: 'notebook/no-rows' })
  expect(await refusalOf(join(service.folder, 'absent.csv'))).toMatchObject({ code: 'notebook/unreadable' })
  expect(await refusalOf(service.folder)).toMatchObject({ code: 'notebook/unreadable' })
  // 200 MB, of which nothing is read
  const large = join(service.folder, 'large.csv')
  writeFileSync(large, '')
  await truncate(large, 200 * 1024 ** 2)
  const refused = await refusalOf(large)
  expect(refused).toMatchObject({ code: 'notebook/too-large' })
  expect(refused.message).toMatch(/20 MB/)
})

test('encodings are told apart, and said', async () => {
  const { service, file } = await shop()
  const text = 'Code;Title\r\nA-1;Café crème\r\n'
  const utf16 = Buffer.from(`\uFEFF${text}`, 'utf16le')
  for (const [bytes, encoding] of [
    [Buffer.from(text, 'utf8'), 'UTF-8'],
    [Buffer.from(text, 'latin1'), 'Windows-1252'],
    [utf16, 'UTF-16'],
    [utf16.swap16(), 'UTF-16'],
  ] as const) {
    const seen = await service.call('panelsCsv.preview', asked(file(Buffer.from(bytes))))
    expect(seen.encoding).toBe(encoding)
    expect(seen.panels[0]?.draft.title).toBe('Café crème')
    expect(seen.digest).toBe(createHash('sha256').update(bytes).digest('hex'))
  }
})

test('the model file can be taken in as it is', async () => {
  const { service } = await shop()
  for (const decimal of ['comma', 'point'] as const) {
    const { documentId, fileName } = await service.call('panelsCsv.writeModel', { decimal })
    expect(fileName).toBe('panels-model.csv')
    const { path } = service.context.documents.locate(documentId)
    expect((await readFile(path, 'utf8')).startsWith('\uFEFFCode')).toBe(true)
    const { seen, job } = await take(service, path)
    expect(seen.problems).toEqual([])
    expect(job.state).toBe('done')
    await service.call('history.undo', {})
  }
})
