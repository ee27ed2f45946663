import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useRefused } from '../../renderer/screens/welcome/refused.ts'
import { Welcome } from '../../renderer/screens/welcome/welcome.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Job } from '../../shared-core/records/job.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, show, takeDown, type } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

const recent = [
  {
    folder: '/racks/north-wall',
    name: 'North wall',
    openedAt: '2031-05-21T10:00:00Z',
    present: true,
    recordsGone: false,
  },
  { folder: '/media/helmets', name: 'Helmets', openedAt: '2031-02-21T10:00:00Z', present: false, recordsGone: false },
]
const table: Answers = {
  'rack.suggestFolder': ({ name }) => ({ folder: `/home/wren/${name === '' ? 'Rack' : name}` }),
  'rack.listRecent': () => ({ racks: recent }),
  'rack.create': () => rackInfo,
  'rack.open': () => rackInfo,
  'rack.forgetRecent': () => ({}),
  'rack.describe': () => ({ rack: rackInfo }),
  'lights.list': () => ({ lights: [] }),
  'rack.makeDemonstration': () => ({ jobId: 'demo' }),
  'jobs.cancel': () => ({}),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  useStore.setState({ rack: null })
  useRefused.setState({ refused: null, opening: null })
})
afterEach(takeDown)

const field = (host: ParentNode, way: string, label: string): HTMLInputElement => {
  const box = [...host.querySelectorAll('.welcome-way')].find((one) => one.querySelector('h2')?.textContent === way)!
  const words = [...box.querySelectorAll('label')].find((one) => one.textContent === label)!
  return box.querySelector<HTMLInputElement>(`#${CSS.escape(words.htmlFor)}`)!
}
/** What is said about a field, found the way a screen reader finds it. */
const saidOf = (input: HTMLInputElement): string | null | undefined =>
  document.getElementById(input.getAttribute('aria-describedby') ?? '')?.textContent

describe('a new rack', () => {
  it('needs a name, says so beside the name, and asks nothing of the service', async () => {
    const host = await show(<Welcome />)
    await click(buttonSaying(host, 'Make the rack'))
    const name = field(host, 'New rack', 'Name')
    expect(name.getAttribute('aria-invalid')).toBe('true')
    expect(saidOf(name)).toContain('no name yet')
    expect(client.askedOf('rack.create')).toEqual([])
  })

  it('suggests a folder that follows the name until another is typed', async () => {
    const host = await show(<Welcome />)
    const folder = field(host, 'New rack', 'Where it lives')
    await type(field(host, 'New rack', 'Name'), 'Shed')
    expect(folder.value).toBe('/home/wren/Shed')
    await type(folder, '/elsewhere')
    await type(field(host, 'New rack', 'Name'), 'Shed two')
    expect(folder.value).toBe('/elsewhere')
    await click(buttonSaying(host, 'Make the rack'))
    expect(client.askedOf('rack.create')).toEqual([{ folder: '/elsewhere', name: 'Shed two' }])
    expect(useStore.getState().rack).toEqual(rackInfo)
  })

  it.each([
    'rack/already-one',
    'rack/folder-not-empty',
    'rack/read-only',
    'rack/folder-absent',
    'rack/disk-full',
  ] as const)('%s is said beside the folder, with what to do', async (code) => {
    client.answer({
      'rack.create': () => {
        throw new Refusal(code, 'This folder will not do.', 'Choose another.')
      },
    })
    const host = await show(<Welcome />)
    await type(field(host, 'New rack', 'Name'), 'Shed')
    await click(buttonSaying(host, 'Make the rack'))
    const folder = field(host, 'New rack', 'Where it lives')
    expect(folder.getAttribute('aria-invalid')).toBe('true')
    expect(saidOf(folder)).toBe('This folder will not do. Choose another.')
    expect(field(host, 'New rack', 'Name').getAttribute('aria-invalid')).toBe('false')
    expect(useStore.getState().rack).toBeNull()
  })

  it('takes a folder from the dialog where there is one, and offers none where there is not', async () => {
    client = prepare(table, fakeClient(table, undefined, '/picked'))
    useStore.setState({ rack: null })
    let host = await show(<Welcome />)
    await click(buttonSaying(host, 'Choose folder'))
    expect(field(host, 'New rack', 'Where it lives').value).toBe('/picked')
    await takeDown()
    prepare(table, fakeClient(table, { kind: 'browser', canPickFolder: false, canPrint: false, canOpenLogs: false }))
    useStore.setState({ rack: null })
    host = await show(<Welcome />)
    expect(buttonSaying(host, 'Choose folder')).toBeUndefined()
  })
})

describe('open a rack', () => {
  it('opens a recent one; an absent one says so and can be forgotten', async () => {
    const host = await show(<Welcome />)
    const [present, absent] = host.querySelectorAll('.welcome-one')
    expect(absent!.textContent).toContain('not there now')
    expect(absent!.querySelector('button.welcome-pick')).toBeNull()
    client.answer({ 'rack.listRecent': () => ({ racks: recent.slice(0, 1) }) })
    await click(buttonSaying(host, 'Forget Helmets'))
    expect(client.askedOf('rack.forgetRecent')).toEqual([{ folder: '/media/helmets' }])
    expect(host.textContent).not.toContain('Helmets')
    await click(present!.querySelector('button.welcome-pick'))
    expect(client.askedOf('rack.open')).toEqual([{ folder: '/racks/north-wall' }])
  })

  it('one whose records are gone says so, and is opened to be repaired', async () => {
    client.answer({ 'rack.listRecent': () => ({ racks: [{ ...recent[1]!, recordsGone: true }] }) })
    const host = await show(<Welcome />)
    expect(host.querySelector('.welcome-one')?.textContent).toContain('its records are gone')
    expect(buttonSaying(host, 'Find it')).toBeUndefined()
    await click(host.querySelector('button.welcome-pick'))
    expect(client.askedOf('rack.open')).toEqual([{ folder: '/media/helmets' }])
  })

  it('an empty folder is said beside its field', async () => {
    const host = await show(<Welcome />)
    await click(buttonSaying(host, 'Open this rack'))
    expect(saidOf(field(host, 'Open a rack', 'Folder of a rack'))).toContain('No folder is named')
    expect(client.askedOf('rack.open')).toEqual([])
  })
})

describe('a rack that could not be opened', () => {
  const refuse = (code: string, message = 'It cannot be opened.') =>
    client.answer({
      'rack.open': () => {
        throw new Refusal(code, message, 'Here is what helps.')
      },
    })
  const refused = (host: ParentNode) => host.querySelector('.welcome-refused')
  const openFirst = async () => {
    const host = await show(<Welcome />)
    await click(host.querySelector('button.welcome-pick'))
    return host
  }
  const holder = {
    host: 'BENCH-2',
    here: false,
    since: '2031-05-21T10:00:00Z',
    lastSign: '2031-05-21T11:00:00Z',
    pid: 4711,
    nonce: 'theirs',
    quiet: true,
  }

  it.each([
    'rack/on-network',
    'rack/path-too-long',
    'rack/newer',
    'rack/damaged',
    'rack/folder-absent',
    'rack/not-a-rack',
  ])('%s: what happened and what helps, in one place that can be left', async (code) => {
    refuse(code)
    const host = await openFirst()
    expect(refused(host)?.getAttribute('role')).toBe('alert')
    expect(document.activeElement).toBe(refused(host))
    expect(refused(host)?.textContent).toContain('“North wall” could not be opened')
    expect(refused(host)?.textContent).toContain('It cannot be opened. Here is what helps.')
    await click(buttonSaying(refused(host)!, 'Leave it for now'))
    expect(refused(host)).toBeNull()
  })

  it('damaged: repair or a backup; as it is only where its drive has altered it', async () => {
    refuse('rack/damaged', 'Damaged: page 3.')
    const host = await openFirst()
    expect(buttonSaying(refused(host)!, 'Repair it')).toBeDefined()
    expect(buttonSaying(refused(host)!, 'Go back to a backup')).toBeDefined()
    expect(buttonSaying(refused(host)!, 'Open it as it is')).toBeUndefined()
    refuse('rack/damaged', 'Damaged: its database is no longer as it was written, its drive has altered it.')
    await click(host.querySelector('button.welcome-pick'))
    client.answer({ 'rack.open': () => rackInfo })
    await click(buttonSaying(refused(host)!, 'Open it as it is'))
    expect(client.askedOf('rack.open').at(-1)).toEqual({ folder: '/racks/north-wall', asItIs: true })
    expect(refused(host)).toBeNull()
  })

  it('locked: who has it, looking at it, and taking it over after a question', async () => {
    refuse('rack/locked')
    client.answer({ 'rack.whoHolds': () => ({ holder }), 'rack.takeOver': () => rackInfo })
    const host = await openFirst()
    expect(client.askedOf('rack.whoHolds')).toEqual([{ folder: '/racks/north-wall' }])
    await click(buttonSaying(refused(host)!, 'Take it over'))
    expect(client.askedOf('rack.takeOver')).toEqual([])
    const dialog = document.querySelector('dialog')!
    expect(dialog.textContent).toContain('BENCH-2')
    await click(buttonSaying(dialog, 'Take it over from BENCH-2'))
    expect(client.askedOf('rack.takeOver')).toEqual([{ folder: '/racks/north-wall', nonce: 'theirs' }])
    expect(useStore.getState().rack).toEqual(rackInfo)
  })

  it('locked by a computer that is at work: only looking at it is possible', async () => {
    refuse('rack/locked')
    client.answer({ 'rack.whoHolds': () => ({ holder: { ...holder, quiet: false } }) })
    const host = await openFirst()
    const take = buttonSaying(refused(host)!, 'Take it over')!
    expect(take.getAttribute('aria-disabled')).toBe('true')
    await click(take)
    expect(document.querySelector('dialog')).toBeNull()
    client.answer({ 'rack.open': () => rackInfo })
    await click(buttonSaying(refused(host)!, 'Only look at it'))
    expect(client.askedOf('rack.open').at(-1)).toEqual({ folder: '/racks/north-wall', how: 'reading' })
  })

  it('locked: since when, by the painter’s own clock; the process is for who asks', async () => {
    refuse('rack/locked')
    useStore.setState((s) => ({ settings: { ...s.settings, clock: '24' } }))
    client.answer({ 'rack.whoHolds': () => ({ holder }) })
    const host = await openFirst()
    expect(refused(host)?.textContent).toMatch(/Open there since .*2031.*\d\d:00, last sign of life .*\d\d:00/)
    expect(refused(host)?.textContent).not.toContain('4711')
    expect(refused(host)?.querySelector('[title*="4711"]')).not.toBeNull()
  })

  it('locked by this computer’s other window: nothing is to be taken over', async () => {
    refuse('rack/locked')
    client.answer({ 'rack.whoHolds': () => ({ holder: { ...holder, here: true } }) })
    const host = await openFirst()
    expect(buttonSaying(refused(host)!, 'Take it over')).toBeUndefined()
  })

  it('one that was moved is looked for, and opened where it was found', async () => {
    client.answer({ 'rack.findMoved': () => ({ found: [{ folder: '/media/other/helmets', name: 'Helmets' }] }) })
    const host = await show(<Welcome />)
    const absent = [...host.querySelectorAll('.welcome-recent > li')].at(-1)!
    await click(buttonSaying(absent, 'Find it'))
    expect(client.askedOf('rack.findMoved')).toEqual([{ folder: '/media/helmets' }])
    await click(absent.querySelector('button.welcome-pick'))
    expect(client.askedOf('rack.open')).toEqual([{ folder: '/media/other/helmets' }])
  })
})

describe('the demonstration', () => {
  const job: Job = {
    id: 'demo',
    kind: 'demonstration',
    label: 'Making the demonstration rack',
    stage: 'Rendering photos',
    done: 23,
    total: 60,
    state: 'running',
    items: [],
    error: null,
  }

  it('shows how far it is and can be stopped', async () => {
    const host = await show(<Welcome />)
    await click(buttonSaying(host, 'Make the demonstration rack'))
    expect(client.askedOf('rack.makeDemonstration')).toEqual([{ folder: '/home/wren/Demonstration' }])
    await act(async () => useStore.getState().setJob(job))
    expect(host.querySelector('.welcome-progress')?.textContent).toContain('23 of 60')
    await click(buttonSaying(host, 'Stop'))
    expect(client.askedOf('jobs.cancel')).toEqual([{ jobId: 'demo' }])
  })

  it('says beside its folder why it failed', async () => {
    const host = await show(<Welcome />)
    await click(buttonSaying(host, 'Make the demonstration rack'))
    const error = { code: 'rack/disk-full', message: 'The disk is full.', remedy: 'Make room.' }
    await act(async () => useStore.getState().setJob({ ...job, state: 'failed', error }))
    expect(saidOf(field(host, 'Look at a demonstration', 'Where it lives'))).toBe('The disk is full. Make room.')
  })
})
