import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { RackPlace } from '../../renderer/screens/rack/rack-place.tsx'
import { wallGeometry } from '../../renderer/screens/rack/wall/geometry.ts'
import { keepWall } from '../../renderer/state/keep-wall.ts'
import { keepView, readKeptView, writeKeptView } from '../../renderer/state/kept-view.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Input, Output } from '../../shared-core/contract/calls.ts'
import { noFilter, type PanelSummary } from '../../shared-core/records/panel.ts'
import type { FakeClient } from './fake-client.ts'
import { prepare, settle, show, takeDown } from './mounting.ts'
import { panels, rackInfo, wallAnswers } from './sample-rack.ts'

/** Ten thousand panels, made when they are asked for. */
const count = 10_000
const ids = Array.from({ length: count }, (_, at) => `long-${at}`)
const summary = (id: string, title = ''): PanelSummary => {
  const at = Number(id.slice(5))
  return { ...panels[at % panels.length]!, id, code: `P-${at}`, title }
}
const longWall = { ids, groups: [{ name: null, from: 0, count }], total: count, corrected: [] }
const wall = wallGeometry(count, 1280, 96)

let client: FakeClient
beforeEach(() => {
  for (const side of ['clientWidth', 'offsetWidth'] as const)
    vi.spyOn(HTMLElement.prototype, side, 'get').mockReturnValue(1280)
  for (const side of ['clientHeight', 'offsetHeight'] as const)
    vi.spyOn(HTMLElement.prototype, side, 'get').mockReturnValue(620)
  sessionStorage.clear()
  client = prepare({
    ...wallAnswers,
    'panels.order': () => longWall,
    'panels.summaries': ({ ids: asked }) => ({ panels: asked.map((id) => summary(id)) }),
  })
  useStore.setState({ group: 'none' })
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

const scrollTo = async (top: number) => {
  await act(async () => {
    const scroller = document.querySelector('.rack-wall')!
    scroller.scrollTop = top
    scroller.dispatchEvent(new Event('scroll'))
  })
}
const asked = () => client.askedOf('panels.summaries').map((input) => input.ids)
const inPage = () => [...document.querySelectorAll<HTMLElement>('.rack-card')]
const waiting = () => inPage().filter((card) => card.getAttribute('aria-busy') === 'true')

describe('a wall of ten thousand', () => {
  it('has few cards in the page and asks first for those in sight, then for the next', async () => {
    await show(<RackPlace />)
    expect(inPage().length).toBeLessThan(80)
    const [first, ...then] = asked()
    // three rails of nine: two in sight, and the part of a third
    expect(first).toEqual(ids.slice(0, 2 * 9))
    expect(then.every((batch) => batch.length <= 200)).toBe(true)
    expect(new Set(asked().flat()).size).toBe(asked().flat().length)
    expect(waiting()).toEqual([])
  })

  it('no longer asks for what was flown over', async () => {
    const held: (() => void)[] = []
    client.answer({
      'panels.summaries': ({ ids: wanted }) =>
        new Promise<Output<'panels.summaries'>>((resolve) => {
          held.push(() => resolve({ panels: wanted.map((id) => summary(id)) }))
        }),
    })
    await show(<RackPlace />)
    expect(asked()).toHaveLength(2)
    for (const rail of [200, 400, 600, 800, 1000]) await scrollTo(rail * wall.railHeight)
    for (const answer of held.splice(0)) answer()
    await settle()
    // of the five places only the last is asked for
    expect(
      asked()
        .slice(2)
        .flat()
        .every((id) => Math.abs(Number(id.slice(5)) - 9000) < 900),
    ).toBe(true)
    expect(asked()[2]).toEqual(ids.slice(9000, 9018))
    while (held.length > 0) {
      for (const answer of held.splice(0)) answer()
      await settle()
    }
  })

  it('shows what it knows while the rack changes, and asks again for what is near', async () => {
    await show(<RackPlace />)
    client.answer({
      'panels.summaries': ({ ids: wanted }) => ({ panels: wanted.map((id) => summary(id, 'renamed')) }),
    })
    const before = asked().length
    await act(async () => useStore.getState().setRack({ ...rackInfo, revision: rackInfo.revision + 1 }))
    expect(waiting()).toEqual([])
    await settle()
    expect(asked()[before]).toEqual(ids.slice(0, 18))
    expect(inPage()[0]?.textContent).toContain('renamed')
  })

  it('leaves an answer to an older question where it is', async () => {
    const late: ((answer: Output<'panels.order'>) => void)[] = []
    const answerOrder = (input: Input<'panels.order'>) =>
      input.filter.words === 'slow'
        ? new Promise<Output<'panels.order'>>((resolve) => late.push(resolve))
        : { ...longWall, ids: ids.slice(0, 3), groups: [{ name: null, from: 0, count: 3 }] }
    client.answer({ 'panels.order': answerOrder })
    await show(<RackPlace />)
    await act(async () => useStore.setState({ filter: { ...noFilter, words: 'slow' } }))
    await act(async () => useStore.setState({ filter: { ...noFilter, words: 'quick' } }))
    await settle()
    late[0]!({ ...longWall, ids: [], groups: [] })
    await settle()
    expect(inPage()).toHaveLength(3)
  })

  it('asks for no pictures while it runs, and for those in sight when it rests', async () => {
    await show(<RackPlace />)
    const pictures = () => document.querySelectorAll('.rack-band img').length
    expect(pictures()).toBeGreaterThan(0)
    vi.useFakeTimers({ toFake: ['performance', 'setTimeout', 'clearTimeout'] })
    // one rail after the other, as fast as frames come
    for (let rail = 1; rail <= 12; rail++) {
      vi.advanceTimersByTime(16)
      await scrollTo(rail * wall.railHeight)
    }
    expect(pictures()).toBe(0)
    expect(waiting()).toEqual([])
    await act(async () => vi.advanceTimersByTime(200))
    vi.useRealTimers()
    expect(pictures()).toBeGreaterThan(0)
  })
})

describe('how the wall hangs', () => {
  it('becomes a setting when the slider has come to rest, and is taken up with the next rack', async () => {
    client.answer({ 'settings.save': ({ settings }) => ({ settings }) })
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    const end = keepWall()
    for (const cardSize of [104, 112, 120]) useStore.setState({ cardSize })
    useStore.setState({ group: 'hue' })
    vi.advanceTimersByTime(2000)
    vi.useRealTimers()
    end()
    const wanted = { group: 'hue', sort: 'code', cardSize: 120 }
    expect(client.askedOf('settings.save').map(({ settings }) => settings.wall)).toEqual([wanted])
    useStore
      .getState()
      .setSettings({ ...useStore.getState().settings, wall: { ...wanted, group: 'hue', sort: 'code' } })
    useStore.getState().setRack({ ...rackInfo, folder: '/racks/another' })
    expect(useStore.getState()).toMatchObject(wanted)
  })
})

describe('what a reload keeps', () => {
  it('is read back for this rack alone', () => {
    useStore.setState({
      chosen: ['long-3'],
      scrolls: { rack: 8000 },
      sort: 'hue',
      rackView: 'map',
      lastPanel: 'long-8',
    })
    writeKeptView(useStore.getState())
    expect(readKeptView(rackInfo.folder)).toMatchObject({
      chosen: ['long-3'],
      scrolls: { rack: 8000 },
      rackView: 'map',
    })
    expect(readKeptView('/racks/another')).toEqual({})
    // as after a reload: nobody knows yet which rack is open
    useStore.setState({ rack: undefined, chosen: [], scrolls: {}, sort: 'code', rackView: 'wall', lastPanel: null })
    useStore.getState().setRack(rackInfo)
    expect(useStore.getState()).toMatchObject({
      chosen: ['long-3'],
      scrolls: { rack: 8000 },
      sort: 'hue',
      rackView: 'map',
      lastPanel: 'long-8',
    })
  })

  it('is left alone when it is not what was written', () => {
    sessionStorage.setItem(`overground-view ${rackInfo.folder}`, '{"chosen":7}')
    expect(readKeptView(rackInfo.folder)).toEqual({})
    sessionStorage.setItem(`overground-view ${rackInfo.folder}`, '{')
    expect(readKeptView(rackInfo.folder)).toEqual({})
  })

  it('is written when the page is left', () => {
    const end = keepView(useStore)
    useStore.setState({ chosen: ['long-5'] })
    dispatchEvent(new Event('pagehide'))
    expect(readKeptView(rackInfo.folder).chosen).toEqual(['long-5'])
    end()
  })
})
