import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { NotebookDialog } from '../../renderer/screens/notebook/notebook-dialog.tsx'
import { NotebookDrop } from '../../renderer/screens/notebook/notebook-drop.tsx'
import { openNotebook, useNotebook } from '../../renderer/screens/notebook/notebook-state.ts'
import { rowsInWords } from '../../renderer/screens/notebook/notebook-words.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Input, Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Job } from '../../shared-core/records/job.ts'
import { namedMaterial } from '../../shared-core/records/mixture.ts'
import { noNotebookAnswers } from '../../shared-core/records/notebook.ts'
import type { PanelDraft } from '../../shared-core/records/panel.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown } from './mounting.ts'
import { changeEntry } from './sample-rack.ts'

type Seen = Output<'panelsCsv.preview'>

const dusk: PanelDraft = {
  id: null,
  code: 'A-1',
  title: 'Dusk plum',
  status: 'sprayed',
  sprayedOn: null,
  sprayedBy: 'Wren',
  substrate: '',
  notes: '',
  tags: [],
  layers: [
    { id: null, kind: 'ground', name: 'bright gold', coats: 2, mixture: null, gunSetup: null, booth: null, notes: '' },
  ],
  steps: [{ id: null, coats: 4, notes: '' }],
}

/** What the service makes of a table whose dates are open until an answer is given. */
function seenFor({ answers, columns, choices }: Input<'panelsCsv.preview'>): Seen {
  const answered = answers.dates !== null
  const takesAll = choices.duplicates === 'new-code'
  return {
    digest: 'digest',
    encoding: 'Windows-1252',
    separator: answers.separator ?? 'semicolon',
    headings: answers.headings ?? true,
    asLastTime: false,
    columns: [
      { heading: 'No.', samples: ['A-1', 'A-2'], use: columns?.[0] ?? 'code' },
      { heading: 'Date', samples: ['3/4/2024'], use: columns?.[1] ?? 'sprayed-on' },
    ],
    answers,
    questions: [{ ask: 'dates', count: 1, example: '3/4/2024', answered, required: true }],
    counts: {
      rows: 3,
      panels: takesAll ? 3 : 2,
      readings: 0,
      refused: takesAll ? 0 : 1,
      duplicates: 1,
      warned: 0,
      waiting: answered ? 0 : 1,
    },
    problems: [
      {
        refused: !takesAll,
        heading: 'No.',
        cell: 'A-1',
        message: 'This code stands in an earlier row too.',
        remedy: 'Say if it is to get a new one.',
        count: 1,
        rows: [4],
      },
    ],
    moreProblems: 0,
    materials: [
      { name: 'Damsen', kind: 'concentrate', count: 2, materialId: null, near: { id: 'm1', name: 'Damson' } },
    ],
    panels: [
      {
        row: 2,
        draft: dusk,
        colours: [{ coats: 4, lab: { l: 40, a: 10, b: -5 } }],
        waiting: !answered,
      },
    ],
  }
}
const table: Answers = {
  'panelsCsv.preview': seenFor,
  'panelsCsv.import': () => ({ jobId: 'job' }),
  'panelsCsv.writeModel': () => ({ documentId: 'd', fileName: 'panels-model.csv' }),
  'materials.list': () => ({ materials: [] }),
  'history.undo': () => ({ label: 'take in 2 panels of a notebook' }),
  'rack.describe': () => ({ rack: null }),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
})
afterEach(async () => {
  await takeDown()
  useNotebook.setState({ open: false, dropped: null, taking: null })
})

async function opened(file = new File(['x'], 'notes.csv')): Promise<HTMLElement> {
  const host = await show(<NotebookDialog />)
  await act(async () => openNotebook(file))
  await settle()
  await settle()
  return host
}
async function choose(field: Element | null | undefined, value: string): Promise<void> {
  if (!(field instanceof HTMLSelectElement)) throw new Error('nothing to choose from')
  await act(async () => {
    field.value = value
    field.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}
const labelled = (host: ParentNode, label: string) => host.querySelector(`[aria-label="${label}"]`)
const field = (host: ParentNode, words: string) =>
  [...host.querySelectorAll('label')].find((label) => label.textContent?.startsWith(words))?.querySelector('select')
const main = (host: ParentNode) => host.querySelector<HTMLButtonElement>('.notebook-acts .btn.main')
const job = (state: Job['state'], done: number): Job => ({
  id: 'job',
  kind: 'notebook',
  label: 'Taking in the notebook',
  stage: 'Writing panels',
  done,
  total: 2,
  state,
  items: [],
  error: null,
})
const told = async (state: Job['state'], done = 0, changeId: string | null = null) => {
  await act(async () => useStore.getState().setJob({ ...job(state, done), changeId }))
  await settle()
}

describe('a notebook typed up as a table', () => {
  it('is looked at first, and takes nothing in before every question is answered', async () => {
    const host = await opened()
    expect(client.askedOf('panelsCsv.preview')[0]).toEqual({
      path: '/staged/notes.csv',
      name: 'notes.csv',
      columns: null,
      answers: noNotebookAnswers,
      choices: { duplicates: 'leave-out', unread: 'leave-out', materials: [], bound90: null },
    })
    expect(host.textContent).toContain('Windows-1252')
    expect(host.textContent).toContain('1 row is left out.')
    expect(host.textContent).toContain('This code stands in an earlier row too.')
    expect(host.textContent).toContain('over bright gold')
    expect(main(host)?.textContent).toBe('Take in 2 panels')
    expect(main(host)?.getAttribute('aria-disabled')).toBe('true')
    await click(main(host))
    expect(client.askedOf('panelsCsv.import')).toEqual([])

    await choose(field(host, 'Which comes first in dates like “3/4/2024”?'), 'day-first')
    await click(buttonSaying(host, 'take with a new code'))
    expect(main(host)?.textContent).toBe('Take in 3 panels')
    await click(main(host))
    expect(client.askedOf('panelsCsv.import')).toEqual([
      {
        path: '/staged/notes.csv',
        name: 'notes.csv',
        digest: 'digest',
        columns: ['code', 'sprayed-on'],
        answers: { ...noNotebookAnswers, dates: 'day-first' },
        choices: { duplicates: 'new-code', unread: 'leave-out', materials: [], bound90: null },
      },
    ])
  })

  it('asks anew with every column set, and a separator said otherwise is proposed for anew', async () => {
    const host = await opened()
    await choose(labelled(host, 'What “Date” is'), 'notes')
    expect(client.askedOf('panelsCsv.preview').at(-1)?.columns).toEqual(['code', 'notes'])
    await choose(field(host, 'Columns kept apart by'), 'comma')
    expect(client.askedOf('panelsCsv.preview').at(-1)).toMatchObject({ columns: null, answers: { separator: 'comma' } })
  })

  it('lets a material be another kind, or one of the shelf', async () => {
    client.answer({
      'materials.list': () => ({ materials: [namedMaterial('m1', 'Damson', 'concentrate')] }),
    })
    const host = await opened()
    expect(host.textContent).toContain('written much like Damson')
    await choose(labelled(host, 'What Damsen is'), 'new:pearl')
    expect(client.askedOf('panelsCsv.preview').at(-1)?.choices.materials).toEqual([
      { name: 'Damsen', kind: 'pearl', materialId: null },
    ])
    await choose(labelled(host, 'What Damsen is'), 'is:m1')
    expect(client.askedOf('panelsCsv.preview').at(-1)?.choices.materials).toEqual([
      { name: 'Damsen', kind: 'concentrate', materialId: 'm1' },
    ])
  })

  it('shows how far it is, can be stopped, and names its undo', async () => {
    const host = await opened()
    await choose(field(host, 'Which comes first'), 'day-first')
    await click(main(host))
    await told('running', 1)
    expect(host.textContent).toContain('1 of 2')
    client.answer({ 'jobs.cancel': () => ({}) })
    await click(buttonSaying(host, 'Stop'))
    expect(client.askedOf('jobs.cancel')).toEqual([{ jobId: 'job' }])
    await told('cancelled')
    expect(host.textContent).toContain('Stopped: nothing was taken in.')
    await click(buttonSaying(host, 'Back to the table'))
    expect(main(host)?.textContent).toBe('Take in 2 panels')

    await click(main(host))
    await act(async () => {
      const { rack } = useStore.getState()
      if (rack) useStore.setState({ rack: { ...rack, undo: 'take in 2 panels of a notebook' } })
    })
    client.answer({ 'history.list': () => ({ entries: [changeEntry('c')], next: null }) })
    await told('done', 2, 'c')
    expect(host.textContent).toContain('2 panels hang on the rack.')
    expect(host.textContent).toContain('1 row was left out.')
    await click(buttonSaying(host, 'Undo take in 2 panels of a notebook'))
    expect(client.askedOf('history.undo')).toHaveLength(1)
    expect(useNotebook.getState().open).toBe(false)
  })

  it('says outside of the sheet what came of it, when the sheet was put away', async () => {
    const host = await opened()
    await choose(field(host, 'Which comes first'), 'day-first')
    await click(main(host))
    await act(async () => useNotebook.setState({ open: false }))
    await told('done', 2)
    expect(useStore.getState().notices.at(-1)?.message).toBe('2 panels of the notebook hang on the rack.')
  })

  it('says what is wrong with a file that is no table, and refuses a huge one before it is handed over', async () => {
    client.answer({
      'panelsCsv.preview': () => {
        throw new Refusal('notebook/not-a-table', 'This is no text file.', 'Save it as CSV.')
      },
    })
    const host = await opened()
    expect(host.textContent).toContain('This is no text file. Save it as CSV.')
    expect(main(host)).toBeNull()
    const asked = client.asked.length
    const huge = new File(['x'], 'huge.csv')
    Object.defineProperty(huge, 'size', { value: 200 * 1024 ** 2 })
    await act(async () => openNotebook(huge))
    await settle()
    expect(host.textContent).toContain('huge.csv is larger than 20 MB')
    expect(client.asked.length).toBe(asked)
  })

  it('gives a model file', async () => {
    const host = await show(<NotebookDialog />)
    await act(async () => openNotebook(null))
    await click(buttonSaying(host, 'Save a model file'))
    expect(client.askedOf('panelsCsv.writeModel')).toHaveLength(1)
  })
})

describe('a table dropped on the window', () => {
  const dropped = async (...names: string[]) => {
    const event = new Event('drop', { bubbles: true, cancelable: true })
    Object.assign(event, { dataTransfer: { types: ['Files'], files: names.map((name) => new File(['x'], name)) } })
    await act(async () => void document.body.dispatchEvent(event))
    return event
  }
  it('opens the sheet; photos, several files, and files for an open sheet are left alone', async () => {
    await show(<NotebookDrop />)
    await dropped('IMG_1.jpg')
    await dropped('a.csv', 'b.csv')
    expect(useNotebook.getState().open).toBe(false)
    const event = await dropped('Notes.CSV')
    expect(event.defaultPrevented).toBe(true)
    expect(useNotebook.getState()).toMatchObject({ open: true, dropped: { name: 'Notes.CSV' } })
    useNotebook.setState({ open: false, dropped: null })
    const sheet = document.createElement('dialog')
    sheet.setAttribute('open', '')
    document.body.append(sheet)
    await dropped('readings.csv')
    expect(useNotebook.getState().open).toBe(false)
  })
})

it('names the rows that something concerns', () => {
  expect(rowsInWords([4], 1)).toBe('Row 4')
  expect(rowsInWords([4, 7], 2)).toBe('Rows 4, 7')
  expect(rowsInWords([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13], 5000)).toBe('Rows 2, 3, 4, 5, 6, 7 and 4,994 more')
})
