import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { JobsPlace } from '../../renderer/screens/jobs/jobs-place.tsx'
import { refreshRack } from '../../renderer/state/asking.ts'
import { changeJob, useJobEdits, withHeld } from '../../renderer/state/job-edits.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { freshJob, type JobsRack, jobsRack, tank } from './jobs-rack.ts'
import { buttonSaying, leaveField, prepare, rest, settle, show, takeDown, type } from './mounting.ts'

let rack: JobsRack
let client: FakeClient
beforeEach(() => {
  ;({ rack, client } = jobsRack({ jobs: [{ ...freshJob, parts: [tank] }] }))
  prepare({}, client)
  useJobEdits.setState({ held: {}, failed: {} })
  localStorage.clear()
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point', units: 'metric' } })
})
afterEach(takeDown)

const field = (host: ParentNode, label: string) =>
  [...host.querySelectorAll('label')]
    .find((each) => each.firstElementChild?.textContent === label)
    ?.querySelector('input')
const open = () => show(<JobsPlace jobKey="J-0001" />)
const saved = (host: ParentNode) => host.querySelector('.job-saved')?.textContent
const changedElsewhere = () => act(async () => refreshRack())

describe('a job keeps what is typed', () => {
  it('stores it when the typing rests, with one call', async () => {
    const host = await open()
    await type(field(host, 'Customer'), 'B')
    await type(field(host, 'Customer'), 'B. Okafor')
    expect(saved(host)).toBe('Saving…')
    expect(client.askedOf('customerJobs.save')).toHaveLength(0)
    await rest()
    await rest()
    expect(client.askedOf('customerJobs.save').map(({ draft }) => draft.customer)).toEqual(['B. Okafor'])
    expect(saved(host)).toBe('Saved')
    expect(field(host, 'Customer')?.value).toBe('B. Okafor')
  })

  it('stores it at once when the field is left', async () => {
    const host = await open()
    await type(field(host, 'Customer'), 'B. Okafor')
    await leaveField(field(host, 'Customer')!)
    await settle()
    expect(rack.jobs[0]?.customer).toBe('B. Okafor')
  })

  it('keeps what another window changed meanwhile, beside what is being typed', async () => {
    const host = await open()
    await type(field(host, 'Customer'), 'B. Okafor')
    rack.jobs = [{ ...rack.jobs[0]!, dueOn: '2031-07-01', title: 'Tank only' }]
    rack.revision += 1
    await changedElsewhere()
    await settle()
    expect(field(host, 'Customer')?.value).toBe('B. Okafor')
    expect(field(host, 'What is painted')?.value).toBe('Tank only')
    await rest()
    await rest()
    expect(rack.jobs[0]).toMatchObject({ customer: 'B. Okafor', title: 'Tank only', dueOn: '2031-07-01' })
  })

  it('says over what a list was typed, so that what another window put into it meanwhile can stay', async () => {
    await open()
    const decided = (words: string) =>
      ({ at: `2031-06-02T08:00:${words.length}Z`, who: 'Wren', what: 'note', panelId: null, words }) as const
    await act(async () => changeJob('job-1', { decisions: [decided('what is mine')] }))
    rack.jobs = [{ ...rack.jobs[0]!, decisions: [decided('what another says')] }]
    rack.revision += 1
    await changedElsewhere()
    await settle()
    await act(async () => changeJob('job-1', { decisions: [decided('what is mine'), decided('mine too')] }))
    await rest()
    await rest()
    const [sent] = client.askedOf('customerJobs.save')
    expect(sent?.draft.decisions).toEqual([decided('what is mine'), decided('mine too')])
    expect(sent?.from?.decisions).toEqual([])
    expect(sent?.from?.customer).toBe(sent?.draft.customer)
  })

  it('shows what undo brought back', async () => {
    const host = await open()
    await type(field(host, 'Customer'), 'B. Okafor')
    await leaveField(field(host, 'Customer')!)
    await settle()
    rack.jobs = [{ ...rack.jobs[0]!, customer: 'A. Lindqvist' }]
    rack.revision += 1
    await changedElsewhere()
    await settle()
    expect(field(host, 'Customer')?.value).toBe('A. Lindqvist')
  })

  it('loses nothing when the service refuses, and saves when asked again', async () => {
    const host = await open()
    const [save] = [client.askedOf('customerJobs.save').length]
    client.answer({
      'customerJobs.save': () => {
        throw new Refusal('rack/disk-full', 'The disk is full.', 'Make room.')
      },
    })
    await type(field(host, 'Customer'), 'B. Okafor')
    await leaveField(field(host, 'Customer')!)
    await settle()
    expect(client.askedOf('customerJobs.save').length).toBe(save + 1)
    expect(field(host, 'Customer')?.value).toBe('B. Okafor')
    expect(useStore.getState().notices.map(({ message }) => message)).toEqual(['The disk is full.'])
    expect(buttonSaying(host, 'Not saved: save again')).toBeDefined()
    expect(localStorage.getItem('overground-job /racks/north-wall job-1')).toContain('B. Okafor')
  })

  it('takes up after a reload what was not sent', async () => {
    localStorage.setItem('overground-job /racks/north-wall job-1', JSON.stringify([['customer', 'Typed before']]))
    const host = await open()
    await settle()
    expect(field(host, 'Customer')?.value).toBe('Typed before')
    expect(rack.jobs[0]?.customer).toBe('Typed before')
    expect(localStorage.getItem('overground-job /racks/north-wall job-1')).toBeNull()
  })

  it('does not send a name that is empty, and says so', async () => {
    const host = await open()
    await type(field(host, 'What is painted'), '')
    await leaveField(field(host, 'What is painted')!)
    await settle()
    expect(client.askedOf('customerJobs.save')).toHaveLength(0)
    expect(saved(host)).toBe('Not complete yet, so not saved')
    expect(field(host, 'What is painted')?.getAttribute('aria-invalid')).toBe('true')
  })

  it('never overwrites what was sprayed by parts that were typed', () => {
    const sprayed = { coats: 3 } as never
    const job = { ...freshJob, parts: [{ ...tank, sprayed }] }
    const typed = { parts: { value: [{ ...tank, name: 'Big tank' }], state: 'typed' as const } }
    expect(withHeld(job, typed, 0).parts).toEqual([{ ...tank, name: 'Big tank', sprayed }])
  })
})
