/** Files of instruments through the service: looked at, answered, taken in one change, and written out again. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { stagingFolder, stagingPath } from '../../electron/service/link/app-folder.ts'
import type { InstrumentAnswers } from '../../shared-core/contract/exchange-calls.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { draft } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'

const unanswered: InstrumentAnswers = { illuminant: null, observer: null, geometry: null, scale: null, view: null }
const bands = Array.from({ length: 31 }, (_, i) => 400 + 10 * i)
const flat = (value: number) => bands.map(() => value).join('\t')

const spectra = `CGATS.17
INSTRUMENTATION "Bench spectro 7"
CREATED "2031-05-21T09:30:00Z"
BEGIN_DATA_FORMAT
SAMPLE_NAME ${bands.map((nm) => `SPECTRAL_NM${nm}`).join(' ')}
END_DATA_FORMAT
BEGIN_DATA
"two coats"\t${flat(40)}
"four coats"\t${flat(20)}
END_DATA
`

async function bench() {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Bench' })
  const { panel } = await service.call('panels.save', { draft: draft() })
  const file = (name: string, content: string | Buffer) => {
    const path = join(service.folder, name)
    writeFileSync(path, content)
    return { path, name }
  }
  const readings = async () => (await service.call('panels.get', { key: panel.id })).readings
  return { ...service, panel, stepIds: panel.steps.map((step) => step.id ?? ''), file, readings }
}

test('a file is looked at, asked about, taken in one change, and undone', async () => {
  const { call, refusal, panel, stepIds, file, readings } = await bench()
  const chosen = file('day.txt', spectra)
  const seen = await call('exchange.inspect', { ...chosen, answers: unanswered })
  expect(seen).toMatchObject({
    format: 'cgats',
    instrument: 'Bench spectro 7',
    questions: [{ ask: 'geometry', count: 2, answered: false }],
  })
  const answers = { ...unanswered, geometry: '45:0' as const }
  const mapping = seen.samples.map(({ id }, i) => ({
    sampleId: id,
    to: { kind: 'step' as const, stepId: stepIds[i] ?? '' },
  }))
  const take = { ...chosen, digest: seen.digest, answers, stage: 'cleared' as const, bound90: null, mapping }
  expect(await refusal('exchange.take', { ...take, answers: unanswered })).toMatchObject({
    code: 'exchange/unanswered',
  })
  expect(await readings()).toEqual([])

  const taken = await call('exchange.take', take)
  const kept = await readings()
  expect(kept).toEqual(
    taken.readings.toSorted((a, b) => stepIds.indexOf(a.stepId ?? '') - stepIds.indexOf(b.stepId ?? '')),
  )
  expect(kept[0]).toMatchObject({
    stepId: stepIds[0],
    level: 'instrument',
    geometry: '45:0',
    illuminant: 'D50',
    observer: '2',
    view: 'face',
    stage: 'cleared',
    instrument: 'Bench spectro 7',
    takenAt: '2031-05-21T09:30:00.000Z',
    spectrum: { startNm: 400, stepNm: 10 },
  })
  expect(kept[0]?.spectrum?.values).toEqual(bands.map(() => 0.4))
  // a flat 40 % is L* 69.47 in any light (116 · cbrt(0.4) − 16)
  expect(kept[0]?.lab.l).toBeCloseTo(116 * Math.cbrt(0.4) - 16, 9)
  expect(kept[0]?.parts[0]?.words).toContain('usual')
  const { entries } = await call('history.list', { panelId: panel.id, limit: 1 })
  expect(entries[0]?.label).toBe('take 2 readings from day.txt')
  await call('history.undo', {})
  expect(await readings()).toEqual([])
  await call('history.redo', {})
  expect(await readings()).toEqual(kept)
})

test('nothing is half taken', async () => {
  const { call, refusal, stepIds, file, readings } = await bench()
  const chosen = file(
    'day.csv',
    'Name,Geometry,Illuminant,Observer,L,a,b\none,45:0,D50,2,50,1,2\ntwo,45:0,D75,2,50,1,2\n',
  )
  const seen = await call('exchange.inspect', { ...chosen, answers: unanswered })
  expect(seen.samples[1]?.measures[0]?.notTaken?.message).toContain('D75')
  const step = { kind: 'step' as const, stepId: stepIds[0] ?? '' }
  const base = { ...chosen, digest: seen.digest, answers: unanswered, stage: 'dry' as const, bound90: 0.4 }
  const both = [
    { sampleId: '0', to: step },
    { sampleId: '1', to: step },
  ]
  const wrong = [
    [{ ...base, mapping: both }, 'exchange/not-taken'],
    [{ ...base, mapping: [both[0], { sampleId: '0', to: { kind: 'step', stepId: 'gone' } }] }, 'step/absent'],
    [{ ...base, mapping: [both[0], { sampleId: '7', to: step }] }, 'exchange/sample-absent'],
    [{ ...base, digest: 'other', mapping: [both[0]] }, 'exchange/changed'],
  ] as const
  for (const [input, code] of wrong) {
    expect(await refusal('exchange.take', input)).toMatchObject({ code })
    expect(await readings()).toEqual([])
  }
  const { readings: taken } = await call('exchange.take', { ...base, mapping: [{ sampleId: '0', to: step }] })
  expect(taken[0]).toMatchObject({ bound90: 0.4, spectrum: null, parts: [{ cause: 'instrument', de00: 0.4 }] })
})

test('a chip of several angles becomes one new reference', async () => {
  const { call, file } = await bench()
  const chosen = file('chip.csv', 'Name;Angle;L;a;b\nchip;15;60,5;1;2\nchip;25;50;1;2\nchip;110;20;3;4\n')
  const answers = { ...unanswered, illuminant: 'D65' as const, observer: '10' as const }
  const { digest, samples, questions } = await call('exchange.inspect', { ...chosen, answers })
  expect(questions.every(({ answered }) => answered)).toBe(true)
  const mapping = [{ sampleId: samples[0]?.id ?? '', to: { kind: 'reference' as const, name: 'Customer’s chip' } }]
  const { references } = await call('exchange.take', {
    ...chosen,
    digest,
    answers,
    stage: 'cured',
    bound90: null,
    mapping,
  })
  expect(references).toHaveLength(1)
  const found = references[0]?.readings.map(({ view, lab, illuminant, observer, geometry }) => ({
    view,
    l: lab.l,
    illuminant,
    observer,
    geometry,
  }))
  const shared = { illuminant: 'D65', observer: '10', geometry: 'multi-angle' }
  expect(found?.toSorted((a, b) => b.l - a.l)).toEqual([
    { view: 'near-glare', l: 60.5, ...shared },
    { view: 'flop', l: 20, ...shared },
  ])
})

test('a file that came as bytes is gone once it is taken, and stays while it is only looked at', async () => {
  const { call, context, stepIds } = await bench()
  const path = await stagingPath(stagingFolder(context.appFiles.folder), 'day.txt')
  writeFileSync(path, spectra)
  const answers = { ...unanswered, geometry: 'd:8-included' as const }
  const { digest } = await call('exchange.inspect', { path, name: 'day.txt', answers })
  expect(existsSync(path)).toBe(true)
  const mapping = [{ sampleId: '1', to: { kind: 'step' as const, stepId: stepIds[1] ?? '' } }]
  await call('exchange.take', { path, name: 'day.txt', digest, answers, stage: 'dry', bound90: null, mapping })
  expect(existsSync(dirname(path))).toBe(false)
})

describe('what is not read', () => {
  test('what is not there, is a folder, or is too large', async () => {
    const { refusal, folder, file } = await bench()
    const look = (path: string) => refusal('exchange.inspect', { path, name: 'x', answers: unanswered })
    expect(await look(join(folder, 'nothing.txt'))).toMatchObject({ code: 'exchange/unreadable' })
    mkdirSync(join(folder, 'folder.txt'))
    expect(await look(join(folder, 'folder.txt'))).toMatchObject({ code: 'exchange/unreadable' })
    const large = file('large.txt', Buffer.alloc(20 * 1024 ** 2 + 1, 'x'))
    expect(await look(large.path)).toMatchObject({ code: 'exchange/too-large' })
    expect(await look(file('empty.txt', '').path)).toMatchObject({ code: 'exchange/unknown-format' })
  })

  test('letters of other alphabets are: UTF-16, UTF-8 and older ones', async () => {
    const { call, file } = await bench()
    const text = 'Name;L;a;b\nGrün;50;1;2\n'
    const kinds = [
      Buffer.from(text),
      Buffer.from(`\uFEFF${text}`),
      Buffer.from(`\uFEFF${text}`, 'utf16le'),
      Buffer.from(text, 'latin1'),
    ]
    for (const [i, content] of kinds.entries()) {
      const { samples } = await call('exchange.inspect', { ...file(`${i}.csv`, content), answers: unanswered })
      expect(samples.map(({ name }) => name)).toEqual(['Grün'])
    }
  })
})

test.each(['cgats', 'cxf', 'csv'] as const)('readings go out as %s and come back in', async (format) => {
  const { call, refusal, panel, stepIds, file, readings } = await bench()
  const of = { kind: 'panels' as const, panelIds: [panel.id] }
  const ask = { of, instrumentOnly: false, format, decimal: 'comma' as const }
  expect(await refusal('exchange.export', ask)).toMatchObject({ code: 'exchange/no-readings' })
  expect(await refusal('exchange.export', { ...ask, of: { kind: 'panels', panelIds: ['gone'] } })).toMatchObject({
    code: 'panel/absent',
  })
  const answers = { ...unanswered, geometry: '45:0' as const }
  const chosen = file('day.txt', spectra)
  const { digest } = await call('exchange.inspect', { ...chosen, answers })
  const mapping = stepIds.map((stepId, i) => ({ sampleId: String(i), to: { kind: 'step' as const, stepId } }))
  await call('exchange.take', { ...chosen, digest, answers, stage: 'cleared', bound90: null, mapping })
  await call('readings.addTyped', {
    stepId: stepIds[0] ?? '',
    lab: { l: 44.4, a: -3, b: 2 },
    illuminant: 'D65',
    observer: '10',
    geometry: 'd:8-excluded',
    bound90: null,
    view: 'face',
    stage: 'dry',
    lightId: null,
  })
  const whole = await call('exchange.export', { ...ask, of: { kind: 'filter', filter: noFilter } })
  expect(whole).toMatchObject({ readingCount: 3, panelCount: 1 })
  expect(await call('exchange.export', { ...ask, instrumentOnly: true })).toMatchObject({ readingCount: 2 })
  const located = await call('documents.locate', { documentId: whole.documentId })
  expect(located.fileName).toBe(`readings ${panel.code}.${{ cgats: 'txt', cxf: 'cxf', csv: 'csv' }[format]}`)
  expect(located.path.startsWith(located.inside)).toBe(true)
  const back = await call('exchange.inspect', {
    ...file(`back.${format}`, readFileSync(located.path)),
    answers: unanswered,
  })
  expect(back.questions).toEqual([])
  const colours = back.samples.flatMap(({ measures }) => measures.map(({ colour }) => colour))
  const kept = await readings()
  expect(colours).toHaveLength(kept.length)
  for (const reading of kept) {
    const same = colours.find((colour) => Math.abs((colour?.lab.l ?? 0) - reading.lab.l) < 1e-3)
    expect(same).toMatchObject({
      illuminant: reading.illuminant,
      observer: reading.observer,
      geometry: reading.geometry,
      fromSpectrum: reading.spectrum !== null,
    })
  }
})
