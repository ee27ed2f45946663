import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { RackPlace } from '../../renderer/screens/rack/rack-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown } from './mounting.ts'
import { listed, panels, shown, words } from './sample-rack.ts'

const table: Answers = {
  'film.listSuspects': () => ({ suspects: [] }),
  'panels.list': ({ filter }) => listed(filter),
  'panels.listWords': () => words,
  'panels.get': () => shown,
  'panels.save': ({ draft }) => ({ panel: { ...draft, id: draft.id ?? 'new', code: draft.code ?? 'P-0999' } }),
  'panels.remove': () => ({}),
}

/** The wall as in a window of 1280 × 800: nine panels on a rail. */
function measureAsInAWindow() {
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(1280)
  vi.spyOn(HTMLElement.prototype, 'offsetWidth', 'get').mockReturnValue(1280)
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(620)
  vi.spyOn(HTMLElement.prototype, 'offsetHeight', 'get').mockReturnValue(620)
}

function WithKeys() {
  useKeyboard()
  return <RackPlace />
}

let client: FakeClient
beforeEach(() => {
  measureAsInAWindow()
  client = prepare(table)
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

const card = (host: ParentNode, id: string) => host.querySelector<HTMLElement>(`[data-panel="${id}"]`)
const focused = () => (document.activeElement as HTMLElement | null)?.dataset.panel
const chosen = () => useStore.getState().chosen

describe('the wall', () => {
  it('keeps only rails near the sight in the page, and says how many there are', async () => {
    const host = await show(<WithKeys />)
    const grid = host.querySelector('[role=grid]')!
    expect(grid.getAttribute('aria-rowcount')).toBe('7')
    expect(grid.getAttribute('aria-colcount')).toBe('9')
    const inPage = host.querySelectorAll('[data-panel]').length
    expect(inPage).toBeGreaterThan(17)
    expect(inPage).toBeLessThan(panels.length)
  })

  it('shows real paint by band, coats in words, and planned panels as an outline', async () => {
    const host = await show(<WithKeys />)
    const first = card(host, 'panel-1')!
    expect(first.getAttribute('aria-label')).toBe('P-0012 Rosehip, over bright silver, 0–4 coats, cleared')
    expect([...first.querySelectorAll('img')].map((img) => img.getAttribute('src'))).toEqual(
      panels[0]!.bands.map((band) => `/picture/cut/${band.cut}`),
    )
    expect(first.querySelectorAll('img[loading=lazy]')).toHaveLength(5)
    const planned = [...host.querySelectorAll('.is-outline')].map((outline) => outline.textContent)
    expect(new Set(planned)).toEqual(new Set(['planned']))
  })

  it('arrows move one focus, Space chooses, Enter opens', async () => {
    const host = await show(<WithKeys />)
    expect(host.querySelectorAll('[data-panel][tabindex="0"]')).toHaveLength(1)
    card(host, 'panel-1')!.focus()
    await press('ArrowRight')
    expect(focused()).toBe('panel-2')
    await press(' ')
    expect(chosen()).toEqual(['panel-2'])
    expect(host.querySelector('[aria-selected=true] [data-panel]')?.getAttribute('aria-label')).toContain('chosen')
    await press('ArrowRight', { shiftKey: true })
    expect(chosen()).toEqual(['panel-2', 'panel-3'])
    await press('ArrowDown')
    expect(host.querySelector('[role=row][aria-rowindex="2"]')!.contains(document.activeElement)).toBe(true)
    await press('Home')
    expect(focused()).toBe('panel-1')
    await press('Enter')
    expect(useStore.getState().route).toEqual({ at: 'panel', key: 'P-0012' })
  })

  it('a press opens; with Ctrl it chooses, with Shift a range; while choosing every press chooses', async () => {
    const host = await show(<WithKeys />)
    await click(card(host, 'panel-2'), { ctrlKey: true })
    await click(card(host, 'panel-4'), { shiftKey: true })
    expect(chosen()).toEqual(['panel-2', 'panel-3', 'panel-4'])
    await click(buttonSaying(host, 'Choose'))
    await click(card(host, 'panel-3'))
    expect(chosen()).toEqual(['panel-2', 'panel-4'])
    expect(useStore.getState().route).toEqual({ at: 'rack' })
    await press('Escape')
    expect(chosen()).toEqual([])
    await click(card(host, 'panel-3'))
    expect(useStore.getState().route).toEqual({ at: 'panel', key: panels[2]!.code })
  })

  it('coming back finds the focus on the panel that was opened', async () => {
    let host = await show(<WithKeys />)
    await click(card(host, 'panel-5'))
    await takeDown()
    host = await show(<WithKeys />)
    expect(host.querySelector<HTMLElement>('[data-panel][tabindex="0"]')?.dataset.panel).toBe('panel-5')
  })
})

describe('the sentence', () => {
  it('says how many of how many, and a word is removed by its button', async () => {
    useStore.setState({ filter: { ...useStore.getState().filter, grounds: ['gold'], cleared: true } })
    const host = await show(<WithKeys />)
    const said = () => host.querySelector('.rack-sentence [role=status]')?.textContent
    expect(said()).toBe(`${listed(useStore.getState().filter).panels.length} of 60 panels:`)
    await click(buttonSaying(host, 'Remove over gold'))
    expect(useStore.getState().filter.grounds).toEqual([])
    await click(buttonSaying(host, 'Remove cleared'))
    expect(said()).toBe('60 panels')
    expect(client.askedOf('panels.list').at(-1)?.filter.cleared).toBeNull()
  })

  it('offers to remove a word when nothing fits', async () => {
    useStore.setState({ filter: { ...useStore.getState().filter, words: 'zzz' } })
    const host = await show(<WithKeys />)
    expect(host.textContent).toContain('No panel fits')
    await click(buttonSaying(host, 'Without “zzz”'))
    expect(host.querySelectorAll('[data-panel]').length).toBeGreaterThan(0)
  })
})

describe('what is chosen', () => {
  it('moves to the trash one by one, and says how to get it back', async () => {
    useStore.setState({ chosen: ['panel-2', 'panel-9'] })
    const host = await show(<WithKeys />)
    await click(buttonSaying(host, 'Move to trash'))
    expect(client.askedOf('panels.remove')).toEqual([{ panelId: 'panel-2' }, { panelId: 'panel-9' }])
    expect(chosen()).toEqual([])
    expect(useStore.getState().notices[0]?.message).toContain('2 panels moved to the trash')
  })

  it('retires, with nothing else changed', async () => {
    useStore.setState({ chosen: [shown.panel.id] })
    const host = await show(<WithKeys />)
    await click(buttonSaying(host, 'Retire'))
    expect(client.askedOf('panels.save')).toEqual([{ draft: { ...shown.panel, status: 'retired' } }])
  })

  it('goes to the labels', async () => {
    useStore.setState({ chosen: ['panel-2'] })
    const host = await show(<WithKeys />)
    await click(buttonSaying(host, 'Print'))
    expect(useStore.getState().printing).toEqual({ kind: 'label', panelIds: ['panel-2'] })
  })

  it('says when something chosen is not in sight', async () => {
    useStore.setState({ chosen: ['panel-1', 'elsewhere'] })
    const host = await show(<WithKeys />)
    expect(host.querySelector('.rack-chosen [role=status]')?.textContent).toBe('2 panels chosen, 1 not shown')
  })
})

describe('an empty rack', () => {
  it('says what to do first and leads there', async () => {
    client.answer({ 'panels.list': () => ({ panels: [], total: 0 }) })
    const host = await show(<WithKeys />)
    expect(host.querySelectorAll('.rack-steps li')).toHaveLength(4)
    await click(buttonSaying(host, 'Add photos'))
    expect(useStore.getState().route).toEqual({ at: 'tray', photoId: null })
    await settle()
  })
})
