import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { App } from '../../renderer/app.tsx'
import { gamutWord } from '../../renderer/parts/gamut-word.ts'
import { go } from '../../renderer/state/router.ts'
import { laySideBySide, openSide, useSide } from '../../renderer/state/side.ts'
import { usualHow } from '../../renderer/state/side-address.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { SideShown } from '../../shared-core/contract/side-calls.ts'
import type { SideItem } from '../../shared-core/records/side.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown } from './mounting.ts'
import { lights, panels, readings } from './sample-rack.ts'

const labs = [
  { l: 40, a: 30, b: 20 },
  { l: 42, a: 31, b: 20 },
  { l: 60, a: -20, b: 10 },
]
const items: SideItem[] = [0, 1, 2].map((i) => ({ kind: 'reading', id: `reading-${i}` }))
const shownOf = (i: number, more: Partial<SideShown> = {}): SideShown => ({
  name: `P-000${i} Paint ${i}`,
  panel: { id: panels[i]!.id, code: `P-000${i}`, title: `Paint ${i}`, ground: 'gold', coats: 3 },
  reading: { ...readings[0]!, id: `reading-${i}`, lab: labs[i]!, bound90: 0.5, level: 'card', lightId: null },
  readingIds: [`reading-${i}`, `other-${i}`],
  photo: { widthPx: 400, heightPx: 300, mmPerPixel: null },
  ...more,
})

let client: FakeClient
const table: Answers = {
  'rack.describe': () => ({ rack: useStore.getState().rack ?? null }),
  'lights.list': () => ({ lights }),
  'cups.list': () => ({ cups: [] }),
  'side.readItems': (input) => ({
    shown: input.items.map((item) => {
      const i = item.kind === 'point' ? -1 : Number(item.id.slice(-1))
      if (item.kind === 'reading' && item.id.startsWith('gone')) return null
      return shownOf(i, item.kind === 'reading' && item.id.startsWith('typed') ? typed(i) : {})
    }),
    missing: input.items.map((item) =>
      item.kind === 'reading' && item.id.startsWith('gone')
        ? { message: 'This reading is not in the rack (any more).', remedy: 'Undo brings a removed reading back.' }
        : null,
    ),
  }),
  'side.correctPhoto': ({ of }) => ({
    picture: `corrected/${of.kind === 'reading' ? of.id : 'point'}`,
    widthPx: 400,
    heightPx: 300,
    mmPerPixel: null,
    mean: labs[0]!,
    outside: 0.12,
  }),
}
const typed = (i: number): Partial<SideShown> => ({
  photo: null,
  reading: { ...shownOf(i).reading, level: 'typed', geometry: '45:0', photoId: null, cut: null },
})

beforeEach(() => {
  client = prepare(table)
  useSide.setState(openSide, true)
})
afterEach(takeDown)

async function layOut(list: readonly SideItem[] = items): Promise<HTMLElement> {
  go({ at: 'side', items: list, how: usualHow })
  return show(<App />)
}
const order = (host: HTMLElement) =>
  [...host.querySelectorAll('.side-bay')].map((bay) => (bay as HTMLElement).dataset.place)
const codes = (host: HTMLElement) => [...host.querySelectorAll('.side-name b')].map((b) => b.textContent)
const route = () => {
  const { route: now } = useStore.getState()
  if (now.at !== 'side') throw new Error(`at ${now.at}`)
  return now
}
const ids = () => route().items.map((item) => (item.kind === 'point' ? 'point' : item.id))

describe('what lies side by side', () => {
  it('touches, with its corrected photo over its flat colour, names below and differences between', async () => {
    const host = await layOut()
    expect(order(host)).toEqual(['0', '1', '2'])
    expect(codes(host)).toContain('P-0001')
    const images = [...host.querySelectorAll('.side-paint img')].map((image) => image.getAttribute('src'))
    expect(images.map((src) => src?.slice(src.indexOf('corrected')))).toEqual([
      'corrected/reading-0',
      'corrected/reading-1',
      'corrected/reading-2',
    ])
    const said = [...host.querySelectorAll('.side-difference')].map((each) => each.textContent ?? '')
    expect(said).toHaveLength(2)
    expect(said[1]).toContain('Right one:')
    expect(said[1]).toMatch(/greener/)
    expect(host.textContent).toContain('12 % of it is outside what this screen can show.')
    expect(host.textContent).toContain('Screen preview: judge panel against part under the customer’s light.')
  })

  it('shows a flat colour where there is no photo, and says so', async () => {
    const host = await layOut([items[0]!, { kind: 'reading', id: 'typed-1' }])
    expect(host.querySelectorAll('.side-paint img')).toHaveLength(1)
    expect(host.textContent).toContain('Flat colour: typed, there is no photo.')
  })

  it('says why a photo cannot be shown, over the flat colour', async () => {
    client.answer({
      'side.correctPhoto': () => {
        throw new Refusal('photo/original-missing', 'The original of a.jpg is missing.', 'Put the photos folder back.')
      },
    })
    const host = await layOut()
    expect(host.querySelectorAll('.side-paint img')).toHaveLength(0)
    expect(host.querySelectorAll('.side-caution')).toHaveLength(3)
    expect(host.textContent).toContain('The original of a.jpg is missing. Put the photos folder back.')
  })

  it('keeps the place of what is gone, and says what to do', async () => {
    const host = await layOut([items[0]!, { kind: 'reading', id: 'gone-1' }, items[2]!])
    expect(order(host)).toHaveLength(3)
    expect(host.textContent).toContain('This reading is not in the rack (any more).')
    // nothing is compared with what is not there
    expect(host.querySelectorAll('.side-difference')).toHaveLength(0)
  })

  it('marks what the screen cannot show by a sign and in words', async () => {
    const vivid = { l: 50, a: 90, b: 90 }
    expect(gamutWord(vivid)).not.toBeNull()
    client.answer({
      'side.readItems': ({ items: asked }) => ({
        shown: asked.map((_, i) => shownOf(i, { reading: { ...shownOf(i).reading, lab: i === 0 ? vivid : labs[i]! } })),
        missing: asked.map(() => null),
      }),
    })
    const host = await layOut()
    expect(host.querySelectorAll('.side-name .beyond-sign')).toHaveLength(1)
    expect(host.querySelector('.side-foot')?.textContent).toContain('in the same hue, less colourful')
  })
})

describe('by keyboard', () => {
  it('arrows choose, Shift with arrows changes places, and the address keeps it', async () => {
    const host = await layOut()
    await press('ArrowRight')
    expect(host.querySelector('[role=option][aria-selected=true]')?.getAttribute('data-place')).toBe('1')
    await press('ArrowRight', { shiftKey: true })
    expect(ids()).toEqual(['reading-0', 'reading-2', 'reading-1'])
    expect(useSide.getState().chosen).toBe(2)
    expect(decodeURIComponent(location.pathname)).toContain('reading*reading-2/reading*reading-1')
    // at the end one stays
    await press('ArrowRight', { shiftKey: true })
    await press('ArrowRight')
    expect(ids()).toEqual(['reading-0', 'reading-2', 'reading-1'])
    await press('ArrowLeft', { shiftKey: true })
    expect(ids()).toEqual(['reading-0', 'reading-1', 'reading-2'])
  })

  it('R turns the row by quarters: arrows follow what is seen', async () => {
    const host = await layOut()
    await press('r')
    expect(host.querySelector('.side-lay')?.classList.contains('is-upright')).toBe(true)
    await press('ArrowDown')
    expect(useSide.getState().chosen).toBe(1)
    await press('ArrowRight')
    expect(useSide.getState().chosen).toBe(1)
    await press('r')
    expect(order(host)).toEqual(['2', '1', '0'])
    await press('ArrowRight')
    expect(useSide.getState().chosen).toBe(0)
    await press('r')
    await press('r')
    expect(route().how.turned).toBe(0)
  })

  it('N hides names, figures and words, also from those who listen', async () => {
    const host = await layOut()
    await press('n')
    expect(host.querySelector('.side-words')).toBeNull()
    expect(host.querySelector('main')?.textContent).not.toContain('P-000')
    expect(host.querySelector('main')?.innerHTML).not.toContain('P-000')
    await press('n')
    expect(codes(host)).toContain('P-0000')
  })

  it('P switches to flat colours, C compares with the first', async () => {
    const host = await layOut()
    await press('p')
    expect(host.querySelectorAll('.side-paint img')).toHaveLength(0)
    expect(host.textContent).toContain('Flat colour.')
    await press('c')
    expect([...host.querySelectorAll('.side-difference')].map((each) => each.textContent)).toEqual([
      expect.stringContaining('Against P-0000:'),
      expect.stringContaining('Against P-0000:'),
    ])
    expect(location.pathname).toMatch(/\/colours\/first$/)
  })

  it('Delete takes away down to nothing, saying each time what to do', async () => {
    const host = await layOut(items.slice(0, 2))
    await press('Delete')
    expect(ids()).toEqual(['reading-1'])
    expect(host.textContent).toContain('One more makes a pair')
    await press('Delete')
    expect(ids()).toEqual([])
    expect(host.textContent).toContain('Lay colours side by side')
    expect(buttonSaying(host, 'Choose on the rack')).toBeDefined()
  })

  it('O walks through the readings of the chosen one', async () => {
    await layOut()
    await press('o')
    expect(ids()).toEqual(['other-0', 'reading-1', 'reading-2'])
  })

  it('Enter opens the panel, Escape goes one step back at a time', async () => {
    const host = await layOut()
    await press('b')
    await press('f')
    expect(useSide.getState()).toMatchObject({ fills: true, blink: { sees: 'chosen' } })
    await press('Escape')
    expect(useSide.getState().blink).toBeNull()
    await press('Escape')
    expect(useSide.getState().fills).toBe(false)
    client.answer({ 'panels.get': () => new Promise(() => undefined) })
    await act(async () => {
      host
        .querySelector('.side-wall')
        ?.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }))
    })
    expect(useStore.getState().route).toEqual({ at: 'panel', key: 'P-0000' })
  })
})

describe('blinking', () => {
  const seen = (host: HTMLElement) => (host.querySelector('.side-bay[data-seen]') as HTMLElement).dataset.place
  const lessMotion = (asked: boolean) =>
    vi.spyOn(globalThis, 'matchMedia').mockImplementation(
      (query) =>
        ({
          matches: asked && query.includes('reduced-motion'),
          addEventListener: () => undefined,
          removeEventListener: () => undefined,
        }) as unknown as MediaQueryList,
    )
  afterEach(() => vi.restoreAllMocks())

  it('shows two colours by turns in one place, at the rate chosen, until it is held', async () => {
    lessMotion(false)
    const host = await layOut()
    await press('b')
    useSide.setState({ everyMs: 5 })
    expect(host.querySelectorAll('.side-bay')).toHaveLength(2)
    await vi.waitFor(() => expect(seen(host)).toBe('1'))
    await vi.waitFor(() => expect(seen(host)).toBe('0'))
    await press('h')
    const before = seen(host)
    await act(async () => new Promise((resolve) => setTimeout(resolve, 40)))
    expect(seen(host)).toBe(before)
    await press('x')
    expect(seen(host)).not.toBe(before)
    await press('b')
    expect(order(host)).toHaveLength(3)
  })

  it('by key only for those who asked for less motion', async () => {
    lessMotion(true)
    const host = await layOut()
    useSide.setState({ everyMs: 5 })
    await press('b')
    await act(async () => new Promise((resolve) => setTimeout(resolve, 40)))
    expect(seen(host)).toBe('0')
    await press('x')
    expect(seen(host)).toBe('1')
    const goOn = buttonSaying(host, 'Go on')
    expect(goOn?.getAttribute('aria-disabled')).toBe('true')
    expect(goOn?.title).toContain('less motion')
    // the paint itself is a button
    await click(host.querySelector('.side-wall'))
    expect(seen(host)).toBe('0')
  })
})

it('lays the first six of more, once each, and says so', async () => {
  const many: SideItem[] = Array.from({ length: 8 }, (_, i) => ({ kind: 'panel', id: `p${i}` }))
  laySideBySide([...many, many[0]!])
  await settle()
  expect(ids()).toEqual(['p0', 'p1', 'p2', 'p3', 'p4', 'p5'])
  expect(useStore.getState().notices.at(-1)?.message).toContain('the first six of 8')
})
