import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { JobOutcomes } from '../../renderer/frame/job-outcomes.tsx'
import { CheckPage } from '../../renderer/screens/care/check/check-page.tsx'
import { useCheck } from '../../renderer/screens/care/check/check-state.ts'
import { RepairDialog } from '../../renderer/screens/care/check/repair-dialog.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { CheckReport, Finding, RepairPlan } from '../../shared-core/records/check.ts'
import type { Job } from '../../shared-core/records/job.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown, type } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

const finding = (more: Partial<Finding>): Finding => ({
  code: 'original-missing',
  weight: 'lost',
  title: '2 originals are missing',
  means: 'The files are gone.',
  safe: 'Readings are safe.',
  todo: 'Give the card.',
  count: 2,
  items: [],
  actions: ['relink'],
  ...more,
})
const stray = (name: string) => ({ name, detail: '', path: `photos/${name}`, photoId: null, panelCode: null })
const report = (more: Partial<CheckReport> = {}): CheckReport => ({
  headline: 'Everything was whole: 61 panels, 124 photos',
  isWhole: true,
  checkedAt: '2026-05-03T10:00:00.000Z',
  underWay: null,
  findings: [],
  kept: { panels: 61, photos: { count: 124, byteCount: 1 }, dataSheets: { count: 0, byteCount: 0 } },
  pictures: { known: { count: 248, byteCount: 5_000_000 }, unknown: { count: 0, byteCount: 0 }, missing: 0 },
  unneeded: { count: 0, byteCount: 0 },
  trash: { count: 0, byteCount: 0 },
  ...more,
})
const table: Answers = {
  'check.report': () => ({ report: report() }),
  'check.start': () => ({ jobId: 'j1' }),
  'check.relink': () => ({ jobId: 'j2' }),
  'check.setAside': () => ({ count: 1, byteCount: 1 }),
  'check.repair': () => ({ jobId: 'r1' }),
  'check.repairPlan': () => ({ plan: null }),
  'jobs.cancel': () => ({}),
  'rack.describe': () => ({ rack: rackInfo }),
  'lights.list': () => ({ lights: [] }),
}
let client: FakeClient
beforeEach(() => {
  useCheck.setState({ folder: null, report: null })
  client = prepare(table)
})
afterEach(takeDown)

const job = (more: Partial<Job>): Job => ({
  id: 'r1',
  kind: 'repair',
  rackFolder: rackInfo.folder,
  label: 'Repairing the rack',
  stage: '',
  done: 0,
  total: 6,
  state: 'running',
  items: [],
  error: null,
  ...more,
})
async function tell(told: Job) {
  await act(async () => useStore.getState().setJob(told))
  await settle()
}

describe('check and repair', () => {
  it('says in one sentence that everything is whole, and looks again when asked', async () => {
    const host = await show(<CheckPage />)
    expect(host.querySelector('.say')?.textContent).toContain(
      'Everything was whole: 61 panels, 124 photos, when it was looked through',
    )
    await click(buttonSaying(host, 'Look through everything'))
    expect(client.askedOf('check.start')).toEqual([{}])
  })

  it('shows how far it is, stops it, and offers to go on', async () => {
    const underWay = { jobId: 'j1', startedAt: '2026-05-03T10:00:00.000Z', done: 3, total: 126 }
    client.answer({ 'check.report': () => ({ report: report({ underWay }) }) })
    const host = await show(<CheckPage />)
    expect(host.textContent).toContain('3 of 126')
    await click(buttonSaying(host, 'Stop'))
    expect(client.askedOf('jobs.cancel')).toEqual([{ jobId: 'j1' }])
    client.answer({ 'check.report': () => ({ report: report({ underWay: { ...underWay, jobId: null } }) }) })
    await tell(job({ id: 'j1', kind: 'check', state: 'running' }))
    expect(buttonSaying(host, 'Go on looking through')).toBeTruthy()
  })

  it('looks for lost originals where the user says, and says what is wrong with the place', async () => {
    client.answer({
      'check.report': () => ({ report: report({ isWhole: false, findings: [finding({})] }) }),
      'check.relink': () => {
        throw new Refusal('check/no-such-place', 'There is nothing at /card.', 'Check that it is connected.')
      },
    })
    const host = await show(<CheckPage />)
    await type(host.querySelector('.check-relink input.input'), '/card')
    await click(buttonSaying(host, 'Look there'))
    expect(client.askedOf('check.relink')).toEqual([{ paths: ['/card'] }])
    expect(host.querySelector('[role=alert]')?.textContent).toContain('There is nothing at /card.')
  })

  it('acts on the unknown files that are chosen', async () => {
    const findings = [
      finding({
        code: 'unknown-photos',
        weight: 'note',
        items: [stray('a.jpg'), stray('b.jpg')],
        actions: ['take-in', 'set-aside', 'leave'],
      }),
    ]
    client.answer({ 'check.report': () => ({ report: report({ findings }) }) })
    const host = await show(<CheckPage />)
    await click(host.querySelector('.check-items input'))
    await click(buttonSaying(host, 'Move to “unknown”'))
    expect(client.askedOf('check.setAside')).toEqual([{ paths: ['photos/b.jpg'] }])
  })
})

describe('repairing a rack that cannot be opened', () => {
  const way = {
    madeAt: null,
    latestAt: '2026-05-02T10:00:00.000Z',
    panels: 60,
    photos: 100,
    readings: 300,
    says: 'x',
    certain: true,
  }
  const plan: RepairPlan = {
    folder: '/racks/north',
    madeAt: '2026-05-03T10:00:00.000Z',
    damage: 'The file cannot be read.',
    ways: [
      { from: 'backup', ...way },
      { from: 'salvage', ...way, panels: 61, latestAt: '2026-05-03T09:00:00.000Z', certain: false },
    ],
    best: 'backup',
    choice: 'The backup is whole, but ends earlier.',
    setAside: [],
  }

  it('takes the best way without a word where nothing speaks against it', async () => {
    const onClose = vi.fn<() => void>()
    const host = await show(<RepairDialog folder="/racks/north" onClose={onClose} />)
    await click(buttonSaying(host, 'Repair it'))
    expect(client.askedOf('check.repair')).toEqual([{ folder: '/racks/north', from: null }])
    await tell(job({ stage: 'Looking through the backups', done: 1 }))
    expect(host.textContent).toContain('1 of 6')
    await tell(job({ state: 'done', done: 6, outcome: 'The rack is open again.' }))
    expect(onClose).toHaveBeenCalledOnce()
    // the frame tells it, over the rack that is open now
    expect(useStore.getState().seenJobs).toEqual([])
    const frame = await show(<JobOutcomes />)
    expect(frame.textContent).toContain('The rack is open again.')
  })

  it('lets the user choose between a whole backup and what is newer and doubtful; the backup is proposed', async () => {
    const host = await show(<RepairDialog folder="/racks/north" onClose={() => undefined} />)
    await click(buttonSaying(host, 'Repair it'))
    client.answer({ 'check.repairPlan': () => ({ plan }) })
    await tell(job({ state: 'done', outcome: 'Nothing was replaced yet.' }))
    expect(host.textContent).toContain('Choose which is to be taken.')
    const radios = [...host.querySelectorAll<HTMLInputElement>('input[type=radio]')]
    expect(radios.map(({ value, checked }) => [value, checked])).toEqual([
      ['backup', true],
      ['salvage', false],
    ])
    await click(radios[1])
    await click(buttonSaying(host, 'Take what can still be read'))
    expect(client.askedOf('check.repair').at(-1)).toEqual({ folder: '/racks/north', from: 'salvage' })
  })
})
