import { act } from 'react'
import { afterEach, beforeEach, expect, it } from 'vitest'
import { JobOutcomes } from '../../renderer/frame/job-outcomes.tsx'
import { useAnswer } from '../../renderer/state/asking.ts'
import { startState } from '../../renderer/state/start.ts'
import { useStore } from '../../renderer/state/store.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { prepare, settle, show, takeDown } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

let client: FakeClient
let waiting = 2
beforeEach(() => {
  waiting = 2
  client = prepare({
    'settings.get': () => ({ settings: defaultSettings }),
    'rack.describe': () => ({ rack: rackInfo }),
    'lights.list': () => ({ lights: [] }),
    'jobs.list': () => ({ jobs: [] }),
    'proposals.overview': () => ({ ready: [], doubtful: [], waiting }),
  })
})
afterEach(takeDown)

function Waiting() {
  const overview = useAnswer('proposals.overview', {}).value
  const { value: lights } = useAnswer('lights.list', {})
  return <p>{`${overview?.waiting ?? '…'} of ${lights ? 'all' : '…'}`}</p>
}

it('proposals that came while the rack stayed as it is are asked for, and nothing else is', async () => {
  await startState()
  const host = await show(<Waiting />)
  expect(host.textContent).toBe('2 of all')
  const lights = client.askedOf('lights.list').length
  waiting = 1
  await act(async () => client.tell({ name: 'proposals.made', data: {} }))
  await settle()
  expect(host.textContent).toBe('1 of all')
  expect(client.askedOf('proposals.overview')).toHaveLength(2)
  expect(client.askedOf('lights.list')).toHaveLength(lights)
})

it('an overview that takes longer than proposals take to come is shown all the same, and asked for once at a time', async () => {
  const open: (() => void)[] = []
  client.answer({
    'proposals.overview': () => {
      const now = waiting
      return new Promise((resolve) => open.push(() => resolve({ ready: [], doubtful: [], waiting: now })))
    },
  })
  const answerNext = async () => {
    await act(async () => open.shift()?.())
    await settle()
  }
  await startState()
  const host = await show(<Waiting />)
  for (let made = 0; made < 5; made++) {
    waiting++
    await act(async () => client.tell({ name: 'proposals.made', data: {} }))
    await settle()
  }
  expect(client.askedOf('proposals.overview')).toHaveLength(1)
  await answerNext()
  expect(host.textContent).toBe('2 of all')
  expect(client.askedOf('proposals.overview')).toHaveLength(2)
  await answerNext()
  expect(host.textContent).toBe('7 of all')
  await settle()
  expect(client.askedOf('proposals.overview')).toHaveLength(2)
})

it('what was asked of the rack before is not told of the one that is open now', async () => {
  const open: (() => void)[] = []
  client.answer({
    'proposals.overview': () => {
      const now = waiting
      return new Promise((resolve) => open.push(() => resolve({ ready: [], doubtful: [], waiting: now })))
    },
  })
  const host = await show(<Waiting />)
  waiting = 5
  await act(async () => useStore.getState().setRack({ ...rackInfo, folder: '/racks/other' }))
  await settle()
  expect(client.askedOf('proposals.overview')).toHaveLength(2)
  await act(async () => open[0]?.())
  await settle()
  expect(host.textContent).toBe('… of all')
  await act(async () => open[1]?.())
  await settle()
  expect(host.textContent).toBe('5 of all')
})

it('what stays of a batch is told with its reason', async () => {
  const why = { code: 'card/none', message: 'No grey card was found in this photo.', remedy: 'Mark the card.' }
  useStore.getState().setJob({
    id: 'j',
    kind: 'filing',
    label: 'Filing 3 photos',
    stage: '',
    done: 3,
    total: 3,
    state: 'done',
    items: [
      { name: 'a.jpg', photoId: 'a', fate: 'filed', why: null },
      { name: 'b.jpg', photoId: 'b', fate: 'left', why },
      { name: 'c.jpg', photoId: 'c', fate: 'left', why },
    ],
    error: null,
    outcome: '1 photo filed, 2 stay in the tray (no card).',
  })
  const host = await show(<JobOutcomes />)
  expect(host.textContent).toContain('1 photo filed, 2 stay in the tray (no card).')
  expect(host.textContent).toContain('2 photos: No grey card was found in this photo. Mark the card.')
  expect(host.textContent).not.toContain('a.jpg')
})
