import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { ColourMap } from '../../renderer/screens/rack/map/colour-map.tsx'
import { frameOf, reachOf, toSpot } from '../../renderer/screens/rack/map/geometry/projection.ts'
import { mapSteps } from '../../renderer/screens/rack/map/geometry/steps.ts'
import { useMap } from '../../renderer/screens/rack/map/map-state.ts'
import { forgetColours } from '../../renderer/screens/rack/map/use-colours.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, rest, settle, show, takeDown } from './mounting.ts'

/** Nine panels of two steps: a square of colours at L* 50, each with a darker step at L* 30. */
const places = [
  [0, 0],
  [40, 0],
  [0, 40],
  [-40, 0],
  [0, -40],
  [40, 40],
  [-40, 40],
  [-40, -40],
  [40, -40],
] as const
const answer: Output<'panels.colours'> = {
  panels: {
    ids: places.map((_, i) => `panel-${i}`),
    codes: places.map((_, i) => `P-000${i}`),
    titles: ['Slate', 'Rosehip', 'Quince', 'Fenwater', 'Halyard', 'Ember', 'Bracken', 'Tidewater', 'Damson'],
  },
  steps: {
    panel: places.flatMap((_, i) => [i, i]),
    coats: places.flatMap(() => [2, 4]),
    l: places.flatMap(() => [50, 30]),
    a: places.flatMap(([a]) => [a, a]),
    b: places.flatMap(([, b]) => [b, b]),
    bound90: places.flatMap(() => [1.2, 1.3]),
  },
  panelCount: 10,
}

const room = { width: 856, height: 520 }
const fresh = useMap.getState()

function WithKeys() {
  useKeyboard()
  return <ColourMap filter={noFilter} />
}

let client: FakeClient
beforeEach(() => {
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(room.width)
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(room.height)
  sessionStorage.clear()
  forgetColours()
  useMap.setState({ ...fresh, folder: null }, true)
  client = prepare({ 'panels.colours': () => answer })
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

const plot = (host: ParentNode) => host.querySelector<HTMLElement>('[role=application]')!
const at = (host: ParentNode) => plot(host).dataset.mapAt
const said = (host: ParentNode) => host.querySelector('[role=status]')?.textContent
const chosen = () => useStore.getState().chosen
const spot = (a: number, b: number) =>
  toSpot(frameOf(useMap.getState().camera, room, reachOf(mapSteps(answer, 'sRGB'))), a, b)

async function shown(): Promise<HTMLElement> {
  const host = await show(<WithKeys />)
  await act(async () => plot(host).focus())
  return host
}

async function pointer(on: Element, kind: string, { x, y }: { x: number; y: number }, how: PointerEventInit = {}) {
  const event = new PointerEvent(kind, {
    bubbles: true,
    cancelable: true,
    pointerId: 1,
    clientX: x,
    clientY: y,
    ...how,
  })
  await act(async () => void on.dispatchEvent(event))
}

/** Gaps are looked for while the page does nothing else. */
async function gapsFound() {
  do await rest()
  while (useMap.getState().gaps === null)
  return useMap.getState().gaps!
}

/** A drag along places of the map, ended where it began. */
async function drag(host: ParentNode, line: readonly (readonly [number, number])[], how: PointerEventInit = {}) {
  const canvas = plot(host).querySelector('canvas')!
  const [first, ...more] = [...line, line[0]!].map(([a, b]) => spot(a, b))
  await pointer(canvas, 'pointerdown', first!, how)
  for (const to of more) await pointer(canvas, 'pointermove', to, how)
  await pointer(canvas, 'pointerup', more.at(-1)!, how)
}
const aroundRight = [
  [30, -10],
  [50, -10],
  [50, 10],
  [30, 10],
] as const
const aroundTop = [
  [-10, 30],
  [10, 30],
  [10, 50],
  [-10, 50],
] as const

describe('keys', () => {
  it('walk from the middle to what lies that way, and tell what it is', async () => {
    const host = await shown()
    await press('ArrowRight')
    expect(at(host)).toBe('P-0000')
    await press('ArrowRight')
    expect(at(host)).toBe('P-0001')
    expect(said(host)).toBe('P-0001 Rosehip, 2 coats, L* 50, C* 40, h 0, magenta')
    await press('ArrowRight')
    expect(at(host)).toBe('P-0001')
    await press('ArrowUp')
    expect(at(host)).toBe('P-0005')
    await press('ArrowLeft')
    expect(at(host)).toBe('P-0002')
    expect(host.querySelector('.map-card')?.textContent).toContain('Quince')
    await press('.')
    expect(at(host)).toBe('P-0006')
    await press(',')
    expect(at(host)).toBe('P-0002')
  })

  it('Space chooses the panel and lets it go, Enter opens it', async () => {
    const host = await shown()
    await press('ArrowRight')
    await press(' ')
    expect(chosen()).toEqual(['panel-0'])
    expect(host.querySelector('.map-card')?.textContent).toContain('chosen')
    await press(' ')
    expect(chosen()).toEqual([])
    await press('Enter')
    expect(useStore.getState().route).toEqual({ at: 'panel', key: 'P-0000' })
    expect(useStore.getState().lastPanel).toBe('panel-0')
  })

  it('a ring is moved, sized, and chooses what is inside; Shift adds, Backspace takes away', async () => {
    useStore.setState({ chosen: ['elsewhere'] })
    const host = await shown()
    await press('r')
    const { radius } = useMap.getState().ring!
    await press('ArrowUp', { altKey: true })
    expect(useMap.getState().ring!.radius).toBeGreaterThan(radius)
    await press(' ')
    expect(chosen()).toEqual(['panel-0'])
    expect(said(host)).toBe('1 panel in the ring, 1 chosen.')
    for (let far = 0; far < 2; far++) await press('ArrowRight', { shiftKey: true })
    expect(Math.abs(useMap.getState().ring!.a - 40)).toBeLessThan(10)
    await press(' ', { shiftKey: true })
    expect(chosen()).toEqual(['panel-0', 'panel-1'])
    await press('Backspace')
    expect(chosen()).toEqual(['panel-0'])
    await press('Escape')
    expect(useMap.getState().ring).toBeNull()
    expect(chosen()).toEqual(['panel-0'])
  })

  it('page through lightness, and say what is there', async () => {
    const host = await shown()
    await press('PageDown')
    await press('PageDown')
    expect(useMap.getState().slice).toEqual({ middle: 30 })
    await gapsFound()
    expect(said(host)).toBe('Lightness 20 to 40: 9 colours of 9 panels, 4 gaps.')
    await press('g')
    expect(said(host)).toMatch(
      /^Gap 1 of 4\. Nothing sprayed near L\* 30, C\* \d+, h \d+, between P-000\d and P-000\d\.$/,
    )
  })

  it('zoom, move and show the whole map again', async () => {
    await shown()
    await press('+')
    await press('+')
    expect(useMap.getState().camera.zoom).toBeCloseTo(1.96, 6)
    await press('ArrowRight', { shiftKey: true })
    expect(useMap.getState().camera.a).toBeGreaterThan(0)
    await press('0')
    expect(useMap.getState().camera).toEqual({ a: 0, b: 0, zoom: 1 })
  })
})

describe('a loop', () => {
  it('chooses what it goes around; Shift adds, Alt takes away', async () => {
    const host = await shown()
    await drag(host, aroundRight)
    expect(chosen()).toEqual(['panel-1'])
    expect(said(host)).toBe('1 panel in the loop, 1 chosen.')
    await drag(host, aroundTop, { shiftKey: true })
    expect(chosen()).toEqual(['panel-1', 'panel-2'])
    await drag(host, aroundRight, { altKey: true })
    expect(chosen()).toEqual(['panel-2'])
    await drag(host, aroundRight)
    expect(chosen()).toEqual(['panel-1'])
  })

  it('does as the tools say where there are no such keys', async () => {
    const host = await shown()
    await click(buttonSaying(host, 'Add'))
    await drag(host, aroundRight)
    await drag(host, aroundTop)
    expect(chosen()).toEqual(['panel-1', 'panel-2'])
    await click(buttonSaying(host, 'Take away'))
    await drag(host, aroundRight)
    expect(chosen()).toEqual(['panel-2'])
    await click(buttonSaying(host, 'Closer'))
    await click(buttonSaying(host, 'Move'))
    const before = useMap.getState().camera
    await drag(host, [...aroundRight].slice(0, 2))
    expect(chosen()).toEqual(['panel-2'])
    expect(useMap.getState().camera.zoom).toBe(before.zoom)
  })

  it('of hardly any movement is a press: it shows the panel under it, and on the card it is opened', async () => {
    const host = await shown()
    const canvas = plot(host).querySelector('canvas')!
    await pointer(canvas, 'pointerdown', spot(0, 40))
    await pointer(canvas, 'pointerup', spot(0, 40))
    expect(at(host)).toBe('P-0002')
    expect(chosen()).toEqual([])
    await pointer(canvas, 'pointerdown', spot(40, 0), { ctrlKey: true })
    await pointer(canvas, 'pointerup', spot(40, 0), { ctrlKey: true })
    expect(chosen()).toEqual(['panel-1'])
    await click(buttonSaying(host, 'Open P-0002'))
    expect(useStore.getState().route).toEqual({ at: 'panel', key: 'P-0002' })
  })
})

describe('the wheel', () => {
  it('zooms at the pointer, and the colour there stays', async () => {
    const host = await shown()
    const canvas = plot(host).querySelector('canvas')!
    const { x, y } = spot(40, 0)
    // this DOM's wheel events have no place of their own
    const turn = (deltaY: number) => {
      const event = Object.assign(new WheelEvent('wheel', { deltaY, cancelable: true }), { clientX: x, clientY: y })
      return act(async () => void canvas.dispatchEvent(event))
    }
    await turn(-400)
    const { zoom } = useMap.getState().camera
    expect(zoom).toBeGreaterThan(1.5)
    expect(spot(40, 0).x).toBeCloseTo(x, 6)
    expect(spot(40, 0).y).toBeCloseTo(y, 6)
    await turn(400)
    expect(useMap.getState().camera.zoom).toBeCloseTo(1, 6)
  })
})

describe('the map and the wall', () => {
  it('have one selection: what was chosen elsewhere is chosen here', async () => {
    useStore.setState({ chosen: ['panel-3'] })
    const host = await shown()
    await press('ArrowLeft')
    await press('ArrowLeft')
    expect(at(host)).toBe('P-0003')
    expect(said(host)).toContain(', chosen')
    expect(buttonSaying(host.querySelector('.map-card')!, 'Let go')).toBeDefined()
  })

  it('while panels are being chosen, a press chooses and opens nothing', async () => {
    useStore.setState({ choosing: true })
    const host = await shown()
    const canvas = plot(host).querySelector('canvas')!
    for (const place of [spot(40, 0), spot(0, 40), spot(40, 0)]) {
      await pointer(canvas, 'pointerdown', place)
      await pointer(canvas, 'pointerup', place)
    }
    expect(chosen()).toEqual(['panel-2'])
    expect(host.querySelector('.map-card.is-pinned')).toBeNull()
  })

  it('asks for what the filter shows', async () => {
    await shown()
    expect(client.askedOf('panels.colours')).toEqual([{ filter: noFilter }])
  })

  it('coming back finds the panel that was opened last', async () => {
    useStore.setState({ lastPanel: 'panel-4' })
    expect(at(await shown())).toBe('P-0004')
  })

  it('the view is there again after the page was loaded anew', async () => {
    const host = await shown()
    await press('+')
    await press('PageDown')
    await click(buttonSaying(host, 'Add'))
    await rest()
    const kept = JSON.parse(sessionStorage.getItem('overground-map')!) as Record<string, unknown>
    expect(kept).toMatchObject({ slice: { middle: 40 }, tool: 'add', folder: '/racks/north-wall' })
    expect(kept.camera).toMatchObject({ zoom: 1.4 })
  })

  it('says how many panels have no colour, and what to do when none has', async () => {
    let host = await shown()
    expect(host.querySelector('.map-quiet')?.textContent).toContain('1 panel without a colour yet.')
    await takeDown()
    client.answer({
      'panels.colours': () => ({
        panels: { ids: [], codes: [], titles: [] },
        steps: { panel: [], coats: [], l: [], a: [], b: [], bound90: [] },
        panelCount: 3,
      }),
    })
    forgetColours()
    host = await show(<WithKeys />)
    expect(host.textContent).toContain('No panel here has a colour yet')
    await click(buttonSaying(host, 'Add photos'))
    expect(useStore.getState().route).toEqual({ at: 'tray', photoId: null })
  })
})

describe('gaps', () => {
  it('are listed with what lies on either side, and become a reference that Plan works for', async () => {
    client.answer({
      'references.addTyped': ({ name }) => ({
        reference: { id: 'reference-9', name, notes: '', createdAt: '2026-01-02T03:04:05.000Z', readings: [] },
      }),
    })
    const host = await shown()
    await gapsFound()
    const row = host.querySelector('.map-gap')!
    expect(row.textContent).toMatch(/L\* 50, C\* \d+, h \d+nearest \d+\.\d dE00P-000\d, P-000\d/)
    await click(buttonSaying(row, 'Plan into gap 1'))
    const [made] = client.askedOf('references.addTyped')
    expect(made).toMatchObject({ illuminant: 'D50', observer: '2', lab: { l: 50 } })
    expect(made!.name).toMatch(/^Gap at L\* 50/)
    expect(useStore.getState().route).toEqual({ at: 'plan', formula: null, referenceId: 'reference-9' })
    await settle()
  })

  it('of all lightness are looked at in their own slice', async () => {
    const host = await shown()
    await click(buttonSaying(host, 'All lightness'))
    const gaps = await gapsFound()
    expect(new Set(gaps.map(({ l }) => l)).size).toBeGreaterThan(1)
    await click(host.querySelector('.map-gap-no'))
    expect(useMap.getState().slice).toEqual({ middle: gaps[0]!.l })
    await gapsFound()
    const now = useMap.getState()
    expect(now.gaps![now.gapAt!]).toMatchObject({ l: gaps[0]!.l, a: gaps[0]!.a, b: gaps[0]!.b })
  })
})
