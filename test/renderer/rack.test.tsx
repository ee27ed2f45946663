import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { RackPlace } from '../../renderer/screens/rack/rack-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown } from './mounting.ts'
import { listed, ordered, panels, wallAnswers } from './sample-rack.ts'

const table: Answers = {
  ...wallAnswers,
  'panels.changeMany': ({ panelIds }) => ({ changed: panelIds.length, skipped: [] }),
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

/** A picture that is under way has come. */
const loadNext = (host: ParentNode) =>
  act(async () => {
    const next = [...host.querySelectorAll<HTMLImageElement>('img[src]:not(.has-come)')][0]
    next?.classList.add('has-come')
    next?.dispatchEvent(new Event('load'))
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
    const pictures = [...host.querySelectorAll('img')]
    // four at a time: the calls of a wall that is looked at do not wait for its pictures
    expect(pictures.filter((img) => img.hasAttribute('src'))).toHaveLength(4)
    for (let came = 0; came < pictures.length; came++) await loadNext(host)
    expect([...first.querySelectorAll('img')].map((img) => img.getAttribute('src'))).toEqual(
      panels[0]!.bands.map((band) => `/picture/cut/${band.cut}/small`),
    )
    expect(first.querySelectorAll('img[decoding=async]')).toHaveLength(5)
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
    await press('ArrowRight', { shiftKey: true })
    expect(chosen()).toEqual(['panel-2', 'panel-3', 'panel-4'])
    await press('ArrowLeft', { shiftKey: true })
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
    expect(client.askedOf('panels.order').at(-1)?.filter.cleared).toBeNull()
  })

  it('says which word was taken for another, and one press takes it as typed', async () => {
    client.answer({
      'panels.order': ({ filter, group }) => ({
        ...ordered({ ...filter, words: filter.words === 'rosehp' ? 'rosehip' : filter.words }, group),
        corrected: filter.words === 'rosehp' ? [{ typed: 'rosehp', taken: ['Rosehip'] }] : [],
      }),
    })
    useStore.setState({ filter: { ...useStore.getState().filter, words: 'rosehp' } })
    const host = await show(<WithKeys />)
    expect(host.querySelector('.rack-corrected')?.textContent).toContain(
      'Nothing is called “rosehp”: showing “Rosehip”.',
    )
    expect(host.querySelectorAll('[data-panel]')).toHaveLength(5)
    await click(buttonSaying(host, 'Search for “rosehp” as typed'))
    expect(client.askedOf('panels.order').at(-1)?.filter.words).toBe('"rosehp"')
    expect(host.querySelector('.rack-corrected')).toBeNull()
    expect(host.textContent).toContain('No panel has “rosehp” exactly')
  })

  it('offers to remove a word when nothing fits', async () => {
    useStore.setState({ filter: { ...useStore.getState().filter, words: 'zzz' } })
    const host = await show(<WithKeys />)
    expect(host.textContent).toContain('No panel has “zzz”')
    await click(buttonSaying(host, 'Without “zzz”'))
    expect(host.querySelectorAll('[data-panel]').length).toBeGreaterThan(0)
  })
})

describe('an empty rack', () => {
  it('says what to do first and leads there', async () => {
    client.answer({ 'panels.order': () => ({ ids: [], groups: [], total: 0, corrected: [] }) })
    const host = await show(<WithKeys />)
    expect(host.querySelectorAll('.rack-steps li')).toHaveLength(4)
    await click(buttonSaying(host, 'Add photos'))
    expect(useStore.getState().route).toEqual({ at: 'tray', photoId: null })
    await settle()
  })
})
