import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { JobOutcomes } from '../../renderer/frame/job-outcomes.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Job } from '../../shared-core/records/job.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { buttonSaying, click, prepare, show, takeDown } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

const job = (id: string, more: Partial<Job> = {}): Job => ({
  id,
  kind: 'backup',
  rackFolder: rackInfo.folder,
  label: 'Backing up',
  stage: '',
  done: 0,
  total: 0,
  state: 'done',
  items: [],
  error: null,
  outcome: `The backup is whole: ${id}.`,
  ...more,
})
const failed = (id: string, more: Partial<Job>): Job =>
  job(id, {
    kind: 'restore',
    label: 'Making a rack from the second place',
    state: 'failed',
    outcome: null,
    error: { code: 'backup/none-good', message: 'No whole backup lies there.', remedy: 'Choose another one.' },
    ...more,
  })
const told = (...jobs: Job[]) => jobs.forEach((one) => useStore.getState().setJob(one))
const words = (host: HTMLElement) => host.querySelector('.outcome')?.textContent ?? ''

beforeEach(() => {
  prepare({})
  useStore.setState({ settings: { ...defaultSettings, clock: '12' } })
})
afterEach(takeDown)

describe('what became of jobs', () => {
  it('is told newest first, and an older one waits its turn', async () => {
    told(
      job('old', { kind: 'check', outcome: 'The old one.' }),
      job('new', { kind: 'repair', outcome: 'The new one.' }),
    )
    const host = await show(<JobOutcomes />)
    expect(words(host)).toContain('The new one.')
    await click(buttonSaying(host, 'Understood'))
    expect(words(host)).toContain('The old one.')
  })

  it('of a backup says nothing any more once a newer one has ended, and one by itself never', async () => {
    told(job('by-hand'), job('daily', { outcome: null, label: 'Daily backup' }))
    expect(words(await show(<JobOutcomes />))).toBe('')
  })

  it('stays while the newer one is only running', async () => {
    told(job('by-hand'), job('next', { state: 'running', outcome: null }))
    expect(words(await show(<JobOutcomes />))).toContain('The backup is whole: by-hand.')
  })

  it('is told where no rack is open, when a rack could not be made', async () => {
    useStore.setState({ rack: null })
    told(failed('made', { rackFolder: '/racks/again' }))
    const host = await show(<JobOutcomes />)
    expect(words(host)).toContain('Making a rack from the second place stopped')
    expect(words(host)).toContain('No whole backup lies there. Choose another one.')
  })

  it('is told over an open rack too, when another could not be made from it', async () => {
    told(failed('made', { rackFolder: '/racks/again' }))
    expect(words(await show(<JobOutcomes />))).toContain('No whole backup lies there.')
  })

  it('of another rack’s own work waits until that rack is open', async () => {
    told(job('other', { rackFolder: '/racks/other' }))
    expect(words(await show(<JobOutcomes />))).toBe('')
  })

  it('says moments in the user’s own way', async () => {
    told(
      job('repair', { kind: 'repair', outcome: 'Open again, as in the backup of 2031-05-03T16:05:00.000Z: 3 panels.' }),
    )
    const host = await show(<JobOutcomes />)
    expect(words(host)).toMatch(/as in the backup of .*2031.*, \d{1,2}:05\s?[ap]m: 3 panels\./i)
  })

  it('leaves room below for what the card lies over, as long as it is shown', async () => {
    told(job('one'))
    const host = await show(<JobOutcomes />)
    expect(document.documentElement.classList.contains('has-outcome')).toBe(true)
    await click(buttonSaying(host, 'Understood'))
    expect(document.documentElement.classList.contains('has-outcome')).toBe(false)
  })

  const intake = (fates: ReadonlyArray<Job['items'][number]['fate']>): Job =>
    job('intake', {
      kind: 'intake',
      label: 'Taking in photos',
      outcome: null,
      items: fates.map((fate, i) => ({ name: `${i}.jpg`, photoId: null, fate, why: null })),
    })

  it('of an intake that went well is told in passing, with those that were there before', async () => {
    told(intake(['taken', 'taken', 'duplicate']))
    expect(words(await show(<JobOutcomes />))).toBe('')
    expect(useStore.getState().notices.map(({ tone, message }) => [tone, message])).toEqual([
      ['said', '2 photos taken in, 1 photo already in the rack.'],
    ])
  })

  it('stays where something was refused, or where nothing new came in', async () => {
    told(intake(['taken', 'refused']))
    expect(words(await show(<JobOutcomes />))).toContain('1 photo refused')
    await takeDown()
    useStore.setState({ jobs: {} })
    told(intake(['duplicate']))
    expect(words(await show(<JobOutcomes />))).toContain('1 photo already in the rack')
    expect(useStore.getState().notices).toEqual([])
  })

  it('is put away by Escape, and the keys go back to where they were', async () => {
    const host = await show(
      <>
        <button type="button">The photo</button>
        <JobOutcomes />
      </>,
    )
    const photo = buttonSaying(host, 'The photo')!
    photo.focus()
    await act(async () => told(job('one')))
    expect(document.activeElement).toBe(photo)
    buttonSaying(host, 'Understood')?.focus()
    await act(async () => {
      const key = new KeyboardEvent('keydown', { key: 'Escape', bubbles: true, cancelable: true })
      document.activeElement?.dispatchEvent(key)
      expect(key.defaultPrevented).toBe(true)
    })
    expect(words(host)).toBe('')
    expect(document.activeElement).toBe(photo)
  })
})
