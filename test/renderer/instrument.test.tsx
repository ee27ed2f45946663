import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { readInstrument } from '../../renderer/commands/panel/read-instrument.ts'
import { exportReadings } from '../../renderer/commands/rack/export-readings.ts'
import { ExportDialog } from '../../renderer/screens/instrument/export-dialog.tsx'
import { InstrumentDialog } from '../../renderer/screens/instrument/instrument-dialog.tsx'
import { useInstrument } from '../../renderer/screens/instrument/instrument-state.ts'
import { proposedNames, proposedSteps } from '../../renderer/screens/instrument/mapping.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import type { InstrumentMeasure, InstrumentSample } from '../../shared-core/contract/exchange-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown } from './mounting.ts'
import { panel, readings, shown } from './sample-rack.ts'

const colour = (l: number): NonNullable<InstrumentMeasure['colour']> => ({
  lab: { l, a: -20, b: 10 },
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  view: 'face',
  fromSpectrum: true,
  cautions: [],
})
const sample = (id: string, name: string, measures: InstrumentMeasure[]): InstrumentSample => ({ id, name, measures })
const plain = (id: string, name: string, l = 50) =>
  sample(id, name, [{ aspecularDeg: null, colour: colour(l), notTaken: null }])
const waiting: InstrumentMeasure = { aspecularDeg: null, colour: null, notTaken: null }
const refused: InstrumentMeasure = {
  aspecularDeg: 25,
  colour: null,
  notTaken: { code: 'exchange/not-taken', message: '25° is none of the three views.', remedy: 'Near glare is 15°.' },
}

const inspected = (samples: InstrumentSample[], geometry: string | null): Output<'exchange.inspect'> => ({
  digest: 'digest',
  format: 'cgats',
  instrument: 'Bench spectro 7',
  samples,
  questions: geometry === 'stated' ? [] : [{ ask: 'geometry', count: samples.length, answered: geometry !== null }],
  saidAs: [],
})
const [step] = panel.steps
const table: Answers = {
  'panels.get': () => shown,
  'exchange.inspect': ({ answers }) =>
    inspected(
      answers.geometry === null
        ? [sample('0', 'teal, new', [waiting]), sample('1', 'odd', [refused])]
        : [plain('0', 'teal, new'), sample('1', 'odd', [refused])],
      answers.geometry,
    ),
  'exchange.take': () => ({ readings: [readings[0]!], references: [] }),
  'exchange.export': () => ({ documentId: 'd', fileName: 'readings.csv', readingCount: 3, panelCount: 1 }),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  useStore.setState({ route: { at: 'panel', key: panel.code } })
})
afterEach(async () => {
  await takeDown()
  useInstrument.setState({ takingFor: null, exporting: null })
})

async function hand(host: ParentNode, name = 'day.txt'): Promise<void> {
  const input = host.querySelector<HTMLInputElement>('[data-testid=instrument-file]')!
  await act(async () => {
    Object.defineProperty(input, 'files', { value: [new File(['x'], name)], configurable: true })
    input.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}
async function choose(field: Element | null | undefined, value: string): Promise<void> {
  if (!(field instanceof HTMLSelectElement)) throw new Error('nothing to choose from')
  await act(async () => {
    field.value = value
    field.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}
const fieldSaying = (host: ParentNode, words: string) =>
  [...host.querySelectorAll('label')]
    .find((label) => label.textContent?.startsWith(words))
    ?.querySelector('select, input')

describe('readings from an instrument', () => {
  it('asks what the file does not say, and takes what was chosen, each to its step', async () => {
    useInstrument.setState({ takingFor: { kind: 'panel', key: panel.id } })
    const host = await show(<InstrumentDialog />)
    await hand(host)
    expect(client.askedOf('exchange.inspect')[0]).toMatchObject({ path: '/staged/day.txt', name: 'day.txt' })
    expect(host.textContent).toContain('Bench spectro 7')
    expect(host.textContent).toContain('The file does not say everything')
    expect(host.textContent).toContain('25° is none of the three views')
    await choose(fieldSaying(host, 'Where teal, new'), step?.id ?? '')
    const button = () => host.querySelector('.btn.main')
    expect(button()?.getAttribute('aria-disabled')).toBe('true')
    expect(host.textContent).toContain('Answer what the file does not say first')
    await click(button())
    expect(client.askedOf('exchange.take')).toEqual([])

    await choose(fieldSaying(host, 'How does the instrument'), '45:0')
    expect(client.askedOf('exchange.inspect').at(-1)?.answers.geometry).toBe('45:0')
    expect(host.textContent).toContain('from its spectrum')
    expect(button()?.getAttribute('aria-disabled')).toBe('true')
    await choose(fieldSaying(host, 'It was measured'), 'cleared')
    expect(button()?.textContent).toBe(`Take 1 reading to ${panel.code}`)
    await click(button())
    expect(client.askedOf('exchange.take')).toEqual([
      {
        path: '/staged/day.txt',
        name: 'day.txt',
        digest: 'digest',
        answers: { illuminant: null, observer: null, geometry: '45:0', scale: null, view: null },
        stage: 'cleared',
        bound90: null,
        mapping: [{ sampleId: '0', to: { kind: 'step', stepId: step?.id } }],
      },
    ])
    expect(useInstrument.getState().takingFor).toBeNull()
    expect(useStore.getState().notices.at(-1)).toMatchObject({ message: 'Took 1 reading from day.txt.' })
  })

  it('says what is wrong with a file, and stays', async () => {
    client.answer({
      'exchange.inspect': () => {
        throw new Refusal(
          'exchange/bad-file',
          'Line 3: “x1” is not a number. Nothing was taken.',
          'Put that line right.',
        )
      },
    })
    useInstrument.setState({ takingFor: { kind: 'reference' } })
    const host = await show(<InstrumentDialog />)
    await hand(host)
    expect(host.querySelector('[role=alert]')?.textContent).toContain('Line 3')
    expect(buttonSaying(host, 'Choose a file')).toBeDefined()
  })

  it('makes references under their own names, and shows the one made', async () => {
    client.answer({
      'exchange.inspect': () => inspected([plain('0', 'chip'), plain('1', 'other')], 'stated'),
      'exchange.take': () => ({
        readings: [readings[0]!],
        references: [{ id: 'ref-1', name: 'chip', notes: '', createdAt: '2031-05-21T09:30:00Z', readings: [] }],
      }),
    })
    useInstrument.setState({ takingFor: { kind: 'reference' } })
    const host = await show(<InstrumentDialog />)
    await hand(host)
    expect(host.textContent).not.toContain('does not say')
    await click(host.querySelector('[aria-label="Take other"]'))
    await choose(fieldSaying(host, 'It was measured'), 'cured')
    await click(buttonSaying(host, 'Add the reference'))
    expect(client.askedOf('exchange.take')[0]?.mapping).toEqual([
      { sampleId: '0', to: { kind: 'reference', name: 'chip' } },
    ])
    expect(useStore.getState().route).toEqual({ at: 'match', referenceId: 'ref-1' })
  })

  it('is offered where a panel is shown', async () => {
    useStore.setState({
      answers: { [`panels.get ${JSON.stringify({ key: panel.code })}`]: { value: shown, error: null, revision: 0 } },
    })
    const state = useStore.getState()
    expect(readInstrument.missing(state)).toBeNull()
    await readInstrument.run(state)
    expect(useInstrument.getState().takingFor).toEqual({ kind: 'panel', key: panel.id })
  })
})

describe('what is proposed', () => {
  const steps = [0, 2, 4].map((coats) => ({ id: `s${coats}`, coats, notes: '' }))
  const three = { ...panel, steps }
  it('only what the name itself says', () => {
    const named = [
      plain('0', `${panel.code} Kestrel, 4 coats`),
      plain('1', `${panel.code}, 2 coats`),
      plain('2', `${panel.code}, 3 coats`),
      plain('3', 'P-9999, 4 coats'),
      plain('4', 'four coats'),
    ]
    expect(proposedSteps(named, three)).toEqual({ '0': 's4', '1': 's2' })
  })
  it('the only sample for the only step', () => {
    const one = [plain('0', 'x'), sample('1', 'odd', [refused])]
    expect(proposedSteps(one, { ...panel, steps: steps.slice(0, 1) })).toEqual({ '0': 's0' })
    expect(proposedSteps(one, three)).toEqual({})
  })
  it('no references from a whole fan of colours', () => {
    expect(proposedNames([plain('0', 'chip')])).toEqual({ '0': 'chip' })
    expect(proposedNames(Array.from({ length: 30 }, (_, i) => plain(String(i), `fan ${i}`)))).toEqual({})
  })
})

describe('readings into a file', () => {
  it('of the panels chosen, or of those the filter shows', async () => {
    const filter = { ...noFilter, words: 'teal' }
    await exportReadings.run({ ...useStore.getState(), filter, chosen: [] })
    expect(useInstrument.getState().exporting?.of).toEqual({ kind: 'filter', filter })
    await exportReadings.run({ ...useStore.getState(), chosen: ['p1', 'p2'] })
    expect(useInstrument.getState().exporting).toEqual({
      of: { kind: 'panels', panelIds: ['p1', 'p2'] },
      what: '2 panels',
    })
    const host = await show(<ExportDialog />)
    await click(buttonSaying(host, 'CxF3'))
    await click(buttonSaying(host, 'Save the file'))
    expect(client.askedOf('exchange.export')).toMatchObject([{ format: 'cxf', instrumentOnly: false }])
    expect(useInstrument.getState().exporting).toBeNull()
  })

  it('says when there is nothing to write', async () => {
    client.answer({
      'exchange.export': () => {
        throw new Refusal('exchange/no-readings', 'These panels have no reading yet.', 'Photograph them.')
      },
    })
    useInstrument.setState({ exporting: { of: { kind: 'filter', filter: noFilter }, what: 'the panels shown' } })
    const host = await show(<ExportDialog />)
    await click(buttonSaying(host, 'Save the file'))
    expect(host.querySelector('[role=alert]')?.textContent).toContain('no reading yet')
    expect(useInstrument.getState().exporting).not.toBeNull()
  })
})
