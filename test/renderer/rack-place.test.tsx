import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { commands } from '../../renderer/commands/all.ts'
import { onlyLookedAt, whatIsMissing } from '../../renderer/commands/command.ts'
import { newPanel } from '../../renderer/commands/rack/new-panel.ts'
import { Bar } from '../../renderer/frame/bar.tsx'
import { PanelForm } from '../../renderer/screens/panel-form/panel-form.tsx'
import { WhereFilesLive } from '../../renderer/screens/settings/where-files-live.tsx'
import { rackPlace } from '../../renderer/state/rack-place.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Access, RackInfo } from '../../shared-core/records/rack.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, show, takeDown, type } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

const reading = (why: Access['why']): RackInfo => ({
  ...rackInfo,
  undo: 'rename panel',
  access: { mode: 'reading', why, asOf: '2031-05-21T10:00:00Z' },
})
const replaced = { code: 'rack/replaced', message: 'Another version lies there.', remedy: 'Keep both.' }
const low = { code: 'rack/low-space', message: 'Only 12 MB are free.', remedy: 'Make room.' }
const table: Answers = {
  'rack.describe': () => ({ rack: rackInfo }),
  'lights.list': () => ({ lights: [] }),
  'cups.list': () => ({ cups: [] }),
  'rack.suggestFolder': ({ name }) => ({ folder: `/home/wren/${name}` }),
  'rack.copyHere': () => ({ jobId: 'copy' }),
  'rack.readAgain': () => rackInfo,
  'rack.open': () => rackInfo,
  'rack.keepBoth': () => ({ backup: 'rack-kept-here.sqlite', rack: rackInfo }),
  'rack.setKeptInSync': () => ({}),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table, fakeClient(table))
  useStore.setState({ rack: rackInfo, notices: [], route: { at: 'rack' } })
  rackPlace.setState({ shown: null })
})
afterEach(takeDown)

const banner = (host: ParentNode) => host.querySelector('.rack-banner')

describe('a rack that is only looked at', () => {
  it.each(['network', 'unknown', 'read-only', 'in-use'] as const)('says so and why: %s', async (why) => {
    useStore.setState({ rack: reading(why) })
    const host = await show(<Bar />)
    expect(banner(host)?.textContent).toContain('only looking at this rack')
    expect(buttonSaying(banner(host)!, 'Copy it to this computer')).toBeDefined()
    expect(buttonSaying(banner(host)!, 'It lies on this computer') !== undefined).toBe(why === 'unknown')
    expect(buttonSaying(banner(host)!, 'Open it fully') !== undefined).toBe(why === 'in-use')
  })

  it('has every command that changes something missing, and no other', () => {
    useStore.setState({ rack: reading('network') })
    const state = useStore.getState()
    const changing = commands.filter((command) => command.undo !== 'none' || command.leadsToChange)
    expect(changing.length).toBeGreaterThan(20)
    for (const command of changing) expect(whatIsMissing(command, state)).toBe(onlyLookedAt)
    for (const command of commands.filter((one) => !changing.includes(one)))
      expect(whatIsMissing(command, state)).toBe(command.missing(state))
    useStore.setState({ rack: rackInfo })
    expect(whatIsMissing(newPanel, useStore.getState())).toBeNull()
  })

  it('opens no form, also by its address', async () => {
    useStore.setState({ rack: reading('network') })
    const host = await show(<PanelForm panelKey={null} />)
    expect(host.textContent).toContain(onlyLookedAt)
    expect(host.querySelector('input')).toBeNull()
  })

  it('is copied into a folder that the painter chooses', async () => {
    useStore.setState({ rack: reading('network') })
    const host = await show(<Bar />)
    await click(buttonSaying(banner(host)!, 'Copy it to this computer'))
    const dialog = document.querySelector('dialog')!
    const folder = dialog.querySelector('input')!
    expect(folder.value).toBe('/home/wren/North wall')
    await type(folder, '/home/wren/Own')
    await click(buttonSaying(dialog, 'Copy the rack'))
    expect(client.askedOf('rack.copyHere')).toEqual([{ folder: '/home/wren/Own' }])
    expect(document.querySelector('dialog')).toBeNull()
  })

  it('is read again', async () => {
    useStore.setState({ rack: reading('in-use') })
    const host = await show(<Bar />)
    await click(buttonSaying(banner(host)!, 'Read again'))
    expect(client.askedOf('rack.readAgain')).toEqual([{}])
  })
})

describe('cautions about the place a rack lies in', () => {
  it('none, no sign', async () => {
    const host = await show(<Bar />)
    expect(banner(host)).toBeNull()
    expect(host.querySelector('.bar-cautions')).toBeNull()
  })

  it('quiet ones stand behind a sign with their number', async () => {
    useStore.setState({ rack: { ...rackInfo, cautions: [low] } })
    const host = await show(<Bar />)
    expect(banner(host)).toBeNull()
    const sign = host.querySelector<HTMLElement>('.bar-cautions')!
    expect(sign.getAttribute('aria-label')).toBe('1 caution about this rack')
    await click(sign)
    expect(document.querySelector('dialog')?.textContent).toContain('Only 12 MB are free. Make room.')
  })

  it('what keeps everything from being kept is said in full, with what helps', async () => {
    useStore.setState({ rack: { ...rackInfo, cautions: [replaced] } })
    const host = await show(<Bar />)
    expect(banner(host)?.textContent).toContain('Another version lies there.')
    expect(host.querySelector('.bar-cautions')).toBeNull()
    expect(whatIsMissing(newPanel, useStore.getState())).toBe('Another version lies there.')
    await click(buttonSaying(banner(host)!, 'Keep both'))
    expect(client.askedOf('rack.keepBoth')).toEqual([{}])
    expect(useStore.getState().notices.at(-1)?.message).toContain('Both are kept')
  })

  it('the painter’s own word about a synced folder is kept', async () => {
    const host = await show(<WhereFilesLive />)
    await click(host.querySelector('input[type=checkbox]'))
    expect(client.askedOf('rack.setKeptInSync')).toEqual([{ keptInSync: true }])
  })
})
