import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { ArchivePage } from '../../renderer/screens/care/archive/archive-page.tsx'
import { changeTaking, useTaking } from '../../renderer/screens/care/archive/archive-state.ts'
import { OpenArchive } from '../../renderer/screens/care/archive/open-archive.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import {
  type ArchiveFacts,
  allParts,
  type ComparedPanel,
  type Comparison,
  usualRules,
} from '../../shared-core/records/archive.ts'
import type { FactGroup, HistoryEntry } from '../../shared-core/records/history.ts'
import type { Job } from '../../shared-core/records/job.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, rest, settle, show, takeDown, type } from './mounting.ts'
import { changeEntry, rackInfo } from './sample-rack.ts'

const facts: ArchiveFacts = {
  path: '/archives/north.overground.zip',
  byteCount: 13_900_000,
  name: 'North wall',
  rackId: 'r',
  madeAt: '2031-05-03T10:00:00.000Z',
  madeBy: '0.1.0',
  form: 1,
  schema: 6,
  history: true,
  panels: 76,
  photos: 78,
  dataSheets: 0,
  unpackedBytes: 20_000_000,
  missing: 0,
  damaged: 0,
  ofThisRack: false,
}
const panel = (id: string, more: Partial<ComparedPanel>): ComparedPanel => ({
  id,
  code: `P-${id}`,
  title: `Panel ${id}`,
  fate: 'new',
  ours: null,
  newCode: null,
  what: ['2 readings'],
  ...more,
})
const ours = { id: 'o', code: 'P-0002', title: 'Ours' }
const comparison: Comparison = {
  id: 'c1',
  path: '/archives/north.overground.zip',
  name: 'North wall',
  sameRack: false,
  panels: [
    panel('1', {}),
    panel('2', { newCode: 'P-0070' }),
    panel('3', { fate: 'changed-both', ours, what: ['title'] }),
    panel('4', { fate: 'probably-same', ours, what: ['notes', '1 photo'] }),
  ],
  same: 58,
  inTrashThere: 1,
  materials: 3,
  gunSetups: 0,
  setups: 0,
  lights: 1,
  references: 0,
  jobs: 0,
  cups: 0,
  searches: 0,
  trayPhotos: 2,
  photos: 4,
  photoBytes: 12_000_000,
  missingPhotos: 0,
  cautions: [],
}
const suggested = {
  folder: '/racks',
  fileName: 'North 2031-05-03.overground.zip',
  byteCount: 13_500_000,
  free: 70_000_000_000,
}
const answers = (more: Answers = {}): Answers => ({
  'archive.suggest': () => suggested,
  'archive.comparison': () => ({ comparison: null }),
  ...more,
})
const job = (id: string, more: Partial<Job>): Job => ({
  id,
  kind: 'import',
  label: 'Taking in “North wall”',
  stage: '',
  done: 1,
  total: 1,
  state: 'done',
  items: [],
  error: null,
  rackFolder: rackInfo.folder,
  ...more,
})

let client: FakeClient
const begin = (more: Answers = {}, folder: string | null = null) => {
  const table = answers(more)
  client = prepare(table, fakeClient(table, undefined, folder))
}
beforeEach(() =>
  useTaking.setState({
    path: '',
    history: true,
    comparison: null,
    rules: usualRules,
    choices: {},
    parts: allParts,
    lookJob: null,
    takeJob: null,
    last: null,
    codes: {},
  }),
)
afterEach(takeDown)

const compared = (more: Partial<Comparison> = {}) => ({
  'archive.comparison': () => ({ comparison: { ...comparison, ...more } }),
})

/** The page after a taking in that is change `c`. */
async function taken(entries: HistoryEntry[]): Promise<HTMLElement> {
  begin({ ...compared(), 'history.list': () => ({ entries, next: null }) })
  const page = await show(<ArchivePage />)
  await act(async () => {
    changeTaking({ takeJob: 't' })
    useStore.getState().setJob(job('t', { outcome: 'From “North wall”: 2 panels came in.', changeId: 'c' }))
  })
  await settle()
  return page
}

describe('making an archive', () => {
  it('asks where it is to lie, and says what comes with it', async () => {
    begin({ 'archive.make': () => ({ jobId: 'm' }) }, '/stick')
    const page = await show(<ArchivePage />)
    expect(page.textContent).toContain('13.5 MB')
    await click(buttonSaying(page, 'Make an archive'))
    expect(client.askedOf('archive.make')).toEqual([
      { target: '/stick/North 2031-05-03.overground.zip', replace: true, history: true },
    ])
  })

  it('makes nothing when the painter closed the dialog', async () => {
    begin({})
    const page = await show(<ArchivePage />)
    await click(buttonSaying(page, 'Make an archive'))
    expect(client.askedOf('archive.make')).toEqual([])
  })

  it('hands it over as a download in a browser, and leaves the history out when asked', async () => {
    const table = answers({ 'archive.make': () => ({ jobId: 'm' }) })
    client = prepare(
      table,
      fakeClient(table, { kind: 'browser', canPickFolder: false, canPrint: false, canOpenLogs: false }),
    )
    const page = await show(<ArchivePage />)
    await click(page.querySelector('input[type=checkbox]'))
    expect(page.textContent).toContain('nothing in it can be undone')
    await click(buttonSaying(page, 'Make an archive'))
    expect(client.askedOf('archive.make')).toEqual([{ target: null, replace: false, history: false }])
  })
})

describe('opening an archive', () => {
  it('shows what is inside before a folder is asked for', async () => {
    begin({
      'archive.inspect': () => ({ archive: facts }),
      'rack.suggestFolder': () => ({ folder: '/racks/North wall' }),
      'archive.unpack': () => ({ jobId: 'u' }),
    })
    const page = await show(<OpenArchive />)
    await type(page.querySelector('input.input'), '/archives/north.overground.zip')
    // a path alone begins nothing
    expect(client.askedOf('archive.inspect')).toEqual([])
    const look = buttonSaying(page, 'Look inside')
    await click(look)
    expect(page.textContent).toContain('76 panels, 78 photos, 13.9 MB, with the history of changes')
    // the same button again, as one who presses twice, only looks again
    expect(buttonSaying(page, 'Look inside')).toBe(look)
    await click(look)
    expect(client.askedOf('archive.unpack')).toEqual([])
    await click(buttonSaying(page, 'Unpack and open'))
    expect(client.askedOf('archive.unpack')).toEqual([{ path: facts.path, folder: '/racks/North wall' }])
    await act(async () => useStore.getState().setJob(job('u', { kind: 'archive' })))
    await settle()
    expect(page.querySelector<HTMLInputElement>('input.input')?.value).toBe('')
    expect(buttonSaying(page, 'Unpack and open')).toBeUndefined()
  })

  it('says beside the field why one is refused', async () => {
    begin({
      'archive.inspect': () => {
        throw new Refusal('archive/suspicious', 'It holds a path that leads out of its folder.', 'Do not open it.')
      },
    })
    const page = await show(<OpenArchive />)
    await type(page.querySelector('input.input'), '/archives/evil.zip')
    await click(buttonSaying(page, 'Look inside'))
    expect(page.querySelector('[role=alert]')?.textContent).toContain('leads out of its folder')
    expect(page.querySelector('input.input')?.getAttribute('aria-invalid')).toBe('true')
  })
})

describe('taking in', () => {
  it('looks first', async () => {
    begin({ 'archive.compare': () => ({ jobId: 'l' }) })
    const page = await show(<ArchivePage />)
    await act(async () => changeTaking({ path: ' /racks/other ' }))
    await click(buttonSaying(page, 'Look what it has'))
    expect(client.askedOf('archive.compare')).toEqual([{ path: '/racks/other' }])
  })

  it('says what is new, what differs and what becomes of each', async () => {
    begin(compared())
    const page = await show(<ArchivePage />)
    const text = page.textContent
    expect(text).toContain('“North wall” has 2 panels that are not here and 2 panels that differ.')
    expect(text).toContain('58 panels hang in both and are the same.')
    expect(text).toContain('comes in as P-0070: P-2 is taken')
    expect(text).toContain('P-0002 stays as it is here')
    expect(text).toContain('3 materials, 1 light')
    expect(buttonSaying(page, 'Take in 2 panels')).toBeTruthy()
  })

  it('goes by the rule for all of a kind, and by the painter for one', async () => {
    begin({ ...compared(), 'archive.mergeIn': () => ({ jobId: 't' }) })
    const page = await show(<ArchivePage />)
    const rule = [...page.querySelectorAll('.archive-rule')].find((one) => one.textContent.includes('changed in both'))
    await click([...(rule?.querySelectorAll('button') ?? [])].find((one) => one.textContent === 'Take theirs'))
    const choice = page.querySelector<HTMLSelectElement>('select[aria-label^="What becomes of P-4"]')
    await act(async () => {
      if (!choice) throw new Error('no choice')
      choice.value = 'both'
      choice.dispatchEvent(new Event('change', { bubbles: true }))
    })
    await click(buttonSaying(page, 'Take in 4 panels'))
    expect(client.askedOf('archive.mergeIn')).toEqual([
      {
        comparisonId: 'c1',
        rules: { ...usualRules, 'changed-both': 'theirs' },
        choices: { 4: 'both' },
        parts: allParts,
      },
    ])
  })

  it('says what came of it once, here, and offers to take it back', async () => {
    const page = await taken([changeEntry('c')])
    expect(page.textContent).toContain('2 panels came in')
    expect(useStore.getState().seenJobs).toContain('t')
    expect(buttonSaying(page, 'Show the rack')).toBeTruthy()
    client.answer({ 'history.undo': () => ({ label: 'take in' }), 'rack.describe': () => ({ rack: null }) })
    await click(buttonSaying(page, 'Undo Rename panel'))
    expect(client.askedOf('history.undo')).toEqual([{}])
  })

  it('offers no Undo that would take something else back', async () => {
    const page = await taken([changeEntry('later'), changeEntry('c')])
    expect(page.textContent).toContain('2 panels came in')
    expect(buttonSaying(page, 'Undo Rename panel')).toBeUndefined()
  })

  it('undone elsewhere is told, and one can look once more', async () => {
    const page = await taken([changeEntry('c')])
    client.answer({
      'history.list': () => ({ entries: [changeEntry('c', { undone: true }), changeEntry('before')], next: null }),
      'archive.comparison': () => ({ comparison: null }),
    })
    await act(async () => useStore.setState({ rack: { ...rackInfo, revision: rackInfo.revision + 1 } }))
    await settle()
    await settle()
    expect(page.textContent).toContain('Taking in “North wall” was undone.')
    expect(page.textContent).not.toContain('“North wall” is taken in')
    expect(buttonSaying(page, 'Look what it has')).toBeTruthy()
    client.answer({ 'history.list': () => ({ entries: [changeEntry('c')], next: null }) })
    await act(async () => useStore.setState({ rack: { ...rackInfo, revision: rackInfo.revision + 2 } }))
    await settle()
    expect(page.textContent).not.toContain('was undone')
  })

  it('shows mine beside theirs before one chooses, and says which code both would come to', async () => {
    const lab = { l: 40, a: 30, b: 10 }
    const colour = { kind: 'colour', lab, bound90: 1, illuminant: 'D50', observer: '2' } as const
    const groups: FactGroup[] = [
      {
        name: 'Panel',
        did: 'changed',
        facts: [{ name: 'Title', before: { kind: 'text', text: 'Ours' }, after: { kind: 'text', text: 'Panel 3' } }],
      },
      {
        name: 'Step 1, 2 coats',
        did: 'changed',
        facts: [{ name: 'Reading, face, dry', before: colour, after: { ...colour, lab: { ...lab, l: 44 } } }],
      },
    ]
    begin({
      ...compared(),
      'archive.compareOne': () => ({ groups }),
      'archive.foreseeCodes': () => ({ codes: { 1: 'P-1', 2: 'P-0070', 3: 'P-0071' } }),
    })
    const page = await show(<ArchivePage />)
    await click(page.querySelector('[aria-label="Mine beside theirs: P-3 Panel 3"]'))
    expect(client.askedOf('archive.compareOne')).toEqual([{ comparisonId: 'c1', panelId: '3' }])
    const sheet = page.querySelector('dialog')
    expect([...(sheet?.querySelectorAll('thead th') ?? [])].map((th) => th.textContent).slice(1, 3)).toEqual([
      'Mine',
      'Theirs',
    ])
    expect(sheet?.textContent).toContain('Ours')
    expect(sheet?.querySelectorAll('.history-colour')).toHaveLength(2)
    const choice = sheet?.querySelector('select')
    await act(async () => {
      if (!choice) throw new Error('no choice')
      choice.value = 'both'
      choice.dispatchEvent(new Event('change', { bubbles: true }))
    })
    await rest()
    expect(sheet?.textContent).toContain('both hang: theirs as P-0071')
    await click(buttonSaying(sheet ?? page, 'Next'))
    expect(client.askedOf('archive.compareOne').at(-1)).toEqual({ comparisonId: 'c1', panelId: '4' })
  })

  it('with nothing to take says so', async () => {
    begin(compared({ panels: [], materials: 0, lights: 0, trayPhotos: 0, photos: 0 }))
    const page = await show(<ArchivePage />)
    expect(page.textContent).toContain('Every panel of “North wall” hangs here, as it hangs there.')
  })

  it('draws only what is in sight of thousands', async () => {
    begin(compared({ panels: Array.from({ length: 5000 }, (_, i) => panel(String(i), {})) }))
    const page = await show(<ArchivePage />)
    expect(page.querySelectorAll('[role=row]').length).toBeLessThan(60)
    expect(page.querySelector('[role=table]')?.getAttribute('aria-rowcount')).toBe('5000')
  })

  it('is not offered for a rack that is only looked at', async () => {
    begin()
    useStore.setState({ rack: { ...rackInfo, access: { mode: 'reading', why: 'network', asOf: null } } })
    const page = await show(<ArchivePage />)
    expect(page.textContent).not.toContain('Look what it has')
    expect(page.textContent).toContain('nothing can be taken into it here')
  })
})
