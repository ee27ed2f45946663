import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { JobOutcomes } from '../../renderer/frame/job-outcomes.tsx'
import { asText } from '../../renderer/frame/refused-files.tsx'
import { startState } from '../../renderer/state/start.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { IntakeItem, Job } from '../../shared-core/records/job.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown } from './mounting.ts'
import { lights, rackInfo } from './sample-rack.ts'

const why = (code: string) => ({ code, message: `It is ${code}.`, remedy: `Mend ${code}.` })
const refused = (name: string, code: string): IntakeItem => ({ name, photoId: null, fate: 'refused', why: why(code) })
const job = (items: IntakeItem[], more: Partial<Job> = {}): Job => ({
  id: 'j',
  kind: 'intake',
  label: `Taking in ${items.length} photos`,
  stage: '',
  done: items.length,
  total: items.length,
  state: 'done',
  items,
  error: null,
  ...more,
})

let client: FakeClient
let held: Job[] = []
beforeEach(() => {
  held = []
  client = prepare({
    'jobs.list': () => ({ jobs: held }),
    'settings.get': () => ({ settings: defaultSettings }),
    'rack.describe': () => ({ rack: rackInfo }),
    'lights.list': () => ({ lights }),
  })
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

describe('hundreds of refused files', () => {
  const many = [
    ...Array.from({ length: 280 }, (_, i) => refused(`note ${i}.txt`, 'not a photo')),
    ...Array.from({ length: 19 }, (_, i) => refused(`cut ${i}.jpg`, 'damaged')),
    refused('lone.tif', 'empty'),
  ]

  it('are told by their reason, the commonest first, each reason once with what to do', async () => {
    useStore.getState().setJob(job(many))
    const host = await show(<JobOutcomes />)
    expect(host.querySelector('h2')?.textContent).toBe('300 photos refused')
    const groups = [...host.querySelectorAll('.outcome-list > li')]
    expect(groups.map((li) => li.querySelector('span')?.textContent)).toEqual([
      '280 files: It is not a photo. Mend not a photo.',
      '19 files: It is damaged. Mend damaged.',
      'lone.tif: It is empty. Mend empty.',
    ])
    // every name can be read, folded away until somebody wants to
    const [first, second] = groups.map((li) => li.querySelector('details'))
    expect(first?.open).toBe(false)
    expect(first?.querySelectorAll('li')).toHaveLength(280)
    expect(second?.querySelectorAll('li')).toHaveLength(19)
  })

  it('go to the clipboard as a table of name, reason and remedy', async () => {
    const written: string[] = []
    vi.spyOn(navigator.clipboard, 'writeText').mockImplementation(async (text) => void written.push(text))
    useStore.getState().setJob(job(many))
    const host = await show(<JobOutcomes />)
    await click(buttonSaying(host, 'Copy the list'))
    const lines = written[0]!.split('\n')
    expect(lines).toHaveLength(300)
    expect(lines[0]).toBe('note 0.txt\tIt is not a photo.\tMend not a photo.')
    expect(useStore.getState().notices.at(-1)?.message).toContain('300 files')
  })

  it('are copied as what is selected where a page may not write to the clipboard', async () => {
    vi.spyOn(navigator.clipboard, 'writeText').mockRejectedValue(new Error('denied'))
    const copied: string[] = []
    document.execCommand = () => {
      const event = new Event('copy', { cancelable: true })
      Object.assign(event, { clipboardData: { setData: (_: string, text: string) => copied.push(text) } })
      document.dispatchEvent(event)
      return true
    }
    useStore.getState().setJob(job(many.slice(0, 2)))
    const host = await show(<JobOutcomes />)
    await click(buttonSaying(host, 'Copy the list'))
    await settle()
    expect(copied).toEqual([asText(many.slice(0, 2))])
  })

  it('a single one stands with its name, without a list to copy', async () => {
    useStore.getState().setJob(job(many.slice(-1)))
    const host = await show(<JobOutcomes />)
    expect(host.querySelector('.outcome-list')?.textContent).toContain('lone.tif')
    expect(host.querySelector('details')).toBeNull()
    expect(buttonSaying(host, 'Copy the list')).toBeUndefined()
  })
})

describe('a job told in pieces', () => {
  const running = { state: 'running', done: 0, total: 4 } as const
  const items = ['a', 'b', 'c', 'd'].map((name) => refused(name, 'x'))
  const tell = async (data: Job & { itemsBefore: number }) => {
    await act(async () => client.tell({ name: 'job.progressed', data }))
    await settle()
  }
  const names = () => useStore.getState().jobs.j?.items.map(({ name }) => name)

  it('is joined in the store', async () => {
    await startState()
    await tell({ ...job(items.slice(0, 2), running), itemsBefore: 0 })
    await tell({ ...job([], running), itemsBefore: 2 })
    await tell({ ...job(items.slice(2), running), itemsBefore: 2 })
    expect(names()).toEqual(['a', 'b', 'c', 'd'])
    expect(client.askedOf('jobs.list')).toHaveLength(1)
  })

  it('begins anew with a service that was started again', async () => {
    await startState()
    await tell({ ...job(items.slice(0, 3), running), itemsBefore: 0 })
    await tell({ ...job(items.slice(0, 1), running), itemsBefore: 0 })
    expect(names()).toEqual(['a'])
  })

  it('is asked for whole by a page that came later', async () => {
    await startState()
    held = [job(items, running)]
    await tell({ ...job(items.slice(3), running), itemsBefore: 3 })
    expect(names()).toEqual(['a', 'b', 'c', 'd'])
  })
})
