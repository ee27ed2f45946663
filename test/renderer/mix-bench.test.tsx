import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { RunningClocks } from '../../renderer/frame/running-clocks.tsx'
import { MixPlace } from '../../renderer/screens/mix/mix-place.tsx'
import { freshBench, useBench } from '../../renderer/state/mix-bench.ts'
import { useStore } from '../../renderer/state/store.ts'
import { cautionsFor } from '../../shared-core/mix/safety/cautions.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { type BenchRack, benchRack, byCup, candy, clear, cupOf, flaked, job, wantedOf } from './mix-rack.ts'
import { buttonSaying, click, prepare, press, rest, settle, show, takeDown, type } from './mounting.ts'

let rack: BenchRack
let client: FakeClient

function Bench({ code }: { code: string }) {
  useKeyboard()
  return <MixPlace cupId={code} from={null} />
}

async function bench(cup: Cup): Promise<HTMLElement> {
  rack = benchRack([cup])
  client = prepare(rack.answers)
  useBench.setState(freshBench, true)
  useStore.setState({
    route: { at: 'mix', cupId: cup.code, from: null },
    settings: { ...defaultSettings, decimal: 'point', units: 'metric', painter: 'Wren' },
  })
  return show(<Bench code={cup.code} />)
}

const heading = (host: ParentNode) => host.querySelector('h1')?.textContent
const target = (host: ParentNode) => host.querySelector('.bench-target')?.textContent
const poured = () => rack.cups[0]!.lines.map((line) => line.poured)
const reading = (host: ParentNode) => host.querySelector('.bench-unit input')

beforeEach(() => localStorage.clear())
afterEach(takeDown)

describe('pouring by keyboard alone', () => {
  // 4 : 1 in 6 : 1, 210 mL: 24 + 6 + 180 mL (common practice, no source)
  it('walks the cup with the space bar, and says what the cup will show', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    expect(heading(host)).toBe('Pour 1 of 3: Tidewater')
    expect(target(host)).toBe('24mLin the cup')
    await press(' ')
    expect(heading(host)).toBe('Pour 2 of 3: Juniper')
    expect(target(host)).toBe('30mLin the cup')
    expect(host.textContent).toContain('Add 6 mL to the 24 mL there')
    await press(' ')
    expect(target(host)).toBe('210mLin the cup')
    await press(' ')
    expect(poured()).toEqual([24, 6, 180])
    expect(heading(host)).toBe('Stir, then strain, 125 µm')
    await press(' ')
    expect(heading(host)).toContain('write it down')
    // the space bar writes nothing down at the end
    await press(' ')
    expect(client.askedOf('cups.finish')).toEqual([])
  })

  it('weighs by the densities: 24 and 6 mL of 0.95 kg/L, 180 mL of 0.9 kg/L', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210)))
    expect(target(host)).toBe('22.8gon the scale')
    await press(' ')
    expect(target(host)).toBe('28.5gon the scale')
    expect(host.textContent).toContain('or fill a marked cup to the 30 mL line')
    await press(' ')
    expect(target(host)).toBe('190.5gon the scale')
  })

  it('goes back with Backspace and the left arrow, and keeps what was poured until it is typed anew', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    await press(' ')
    await press('Backspace')
    expect(heading(host)).toBe('Pour 2 of 3: Juniper')
    await press('ArrowLeft')
    expect(heading(host)).toBe('Pour 1 of 3: Tidewater')
    expect(poured()).toEqual([24, 6, null])
    // others came after it: what is typed is this ingredient's own
    expect(host.textContent).toContain('Something else? Type how much Tidewater is in it in all')
    await press(' ')
    expect(heading(host)).toBe('Pour 3 of 3: Carrier')
    expect(poured()).toEqual([24, 6, null])
  })

  it('takes a figure typed anywhere as the reading, with the batch of the shelf', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press('2')
    expect(document.activeElement).toBe(reading(host))
    await type(reading(host), '24 ml')
    await click(buttonSaying(host, 'Write down 24 mL'))
    expect(client.askedOf('cups.pour')).toEqual([
      { cupId: 'cup-1', lineId: 'cup-1-line-0', poured: 24, accepted: false, batch: 'T-88' },
    ])
  })

  it('reads a running total, or what went in since the scale was set to zero', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    await click(host.querySelector('.bench-said input'))
    expect(target(host)).toBe('6mLin the cup, from zero')
    await type(reading(host), '6')
    await click(buttonSaying(host, 'Write down 6 mL'))
    expect(poured()).toEqual([24, 6, null])
  })

  it('writes down another batch of what is in already', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    await press('Backspace')
    await type(host.querySelector('.bench-batch input'), 'T-89')
    await click(host.querySelector('[type=submit]'))
    expect(rack.cups[0]!.lines[0]).toMatchObject({ poured: 24, batch: 'T-89' })
    expect(heading(host)).toBe('Pour 2 of 3: Juniper')
  })

  it('leaves the space bar to a button that has the focus', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    buttonSaying(host, 'Print the card')!.focus()
    await press(' ')
    expect(client.askedOf('cups.pour')).toEqual([])
  })
})

describe('poured too much', () => {
  it('says what grows before it is written down, recomputes, and takes it back', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    // 9 instead of 6 mL Juniper: everything grows by half, 4 : 1 in 6 : 1 stays
    await type(reading(host), '33')
    expect(host.querySelector('.bench-said')?.textContent).toContain(
      'More Juniper than was asked for: the cup grows by 50 % to 315 mL.',
    )
    expect(host.querySelector('.bench-said')?.textContent).toContain('Top up 12 mL Tidewater.')
    // 3/4 of the 400 mL cup is 300 mL
    expect(host.querySelector('.bench-said')?.textContent).toContain('That is more than this cup takes.')
    await click(buttonSaying(host, 'Recompute for 315 mL'))
    expect(heading(host)).toBe('Top up 1 of 3: Tidewater')
    expect(target(host)).toBe('45mLin the cup')
    expect(host.textContent).toContain('Add 12 mL to the 33 mL there')
    await press(' ')
    expect(target(host)).toBe('315mLin the cup')
    await press(' ')
    expect(poured()).toEqual([36, 9, 270])
  })

  it('takes the reading back', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    await type(reading(host), '33')
    await click(buttonSaying(host, 'Recompute for 315 mL'))
    await click(buttonSaying(host, 'Take back the reading of Juniper'))
    expect(poured()).toEqual([24, null, null])
    expect(target(host)).toBe('30mLin the cup')
  })

  it('leaves it so when asked, and pours the rest as it was', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    await type(reading(host), '33')
    await click(buttonSaying(host, 'Leave it so'))
    expect(heading(host)).toBe('Pour 3 of 3: Carrier')
    expect(target(host)).toBe('213mLin the cup')
    expect(rack.cups[0]!.lines[1]).toMatchObject({ poured: 9, accepted: true })
    // it stands in the record: another computer goes on in the same way
    await takeDown()
    localStorage.clear()
    const elsewhere = await bench(rack.cups[0]!)
    expect(target(elsewhere)).toBe('213mLin the cup')
    expect(elsewhere.querySelector('.bench-rail')?.textContent).toContain('left as it is')
  })

  it('asks for the colour over the ground of the job, not of the panel it came from', async () => {
    const host = await bench(
      cupOf({ ...wantedOf(candy, 210, byCup), customerJobId: job.id, panelId: 'panel-elsewhere' }),
    )
    await press(' ')
    await type(reading(host), '33')
    await rest()
    expect(client.askedOf('cups.predictChange')).not.toEqual([])
    for (const asked of client.askedOf('cups.predictChange'))
      expect(asked).toMatchObject({ ground: 'copper', coats: 4 })
  })

  it('refuses a total that is less than what was there', async () => {
    const host = await bench(cupOf(wantedOf(candy, 210, byCup)))
    await press(' ')
    await type(reading(host), '20')
    expect(host.querySelector('.bench-said')?.textContent).toContain('less than the 24 mL')
    expect(host.querySelector('[type=submit]')?.textContent).not.toContain('Write down')
  })
})

describe('what is in the cup decides what is said', () => {
  it('keeps flake back until the dye is strained', async () => {
    const host = await bench(cupOf(wantedOf(flaked, 210, byCup)))
    const names = [...host.querySelectorAll('.bench-step b')].map((name) => name.textContent)
    expect(names).toEqual([
      'Tidewater',
      'Juniper',
      'Carrier',
      'Stir and strain, 125 µm',
      'Silver flake',
      'Stand, write down',
    ])
    for (let pours = 0; pours < 3; pours++) await press(' ')
    // six times 200 µm is 1.2 mm, and 1.4 mm the least for any flake (common practice, no source)
    expect(host.textContent).toContain('A 1.3 mm tip is small for 200 µm flake: 1.4 mm or larger is usual')
    await press(' ')
    expect(target(host)).toBe('6.3gweighed apart')
  })

  it('warns of isocyanates at the hardener, and not where nothing hardens', async () => {
    const said = cautionsFor(
      clear.parts.flatMap(({ material }) => material ?? []),
      'mix',
    )
    const host = await bench(cupOf(wantedOf(clear, 90, byCup)))
    await press(' ')
    expect(heading(host)).toBe('Pour 2 of 2: Hardener')
    const now = host.querySelector('.bench-steps .now')
    expect(now?.textContent).toContain(said.find(({ code }) => code === 'safety/isocyanates')!.message)
    await takeDown()
    const dyed = await bench(cupOf(wantedOf(candy, 210, byCup)))
    expect(dyed.textContent).not.toContain('socyanate')
    expect(dyed.textContent).toContain('This computer stays out of the mixing room')
  })
})

describe('clocks', () => {
  afterEach(() => {
    vi.useRealTimers()
  })
  const start = Date.parse('2031-05-14T09:00:00Z')
  const pass = async (ms: number) => {
    await act(async () => {
      vi.advanceTimersByTime(ms)
    })
    await settle()
  }
  async function finishClear(): Promise<HTMLElement> {
    vi.useFakeTimers({ toFake: ['Date', 'setInterval', 'clearInterval'], now: start })
    const host = await bench(cupOf(wantedOf(clear, 90, byCup)))
    for (let steps = 0; steps < 3; steps++) await press(' ')
    const [by, stand, life] = host.querySelectorAll<HTMLInputElement>('.bench-fields input')
    expect([by?.value, stand?.value, life?.value]).toEqual(['Wren', '', '90'])
    await type(stand, '12')
    await click(buttonSaying(host, 'Done: take it off the shelf'))
    expect(client.askedOf('cups.finish')).toEqual([
      { cupId: 'cup-1', mixedBy: 'Wren', standMin: 12, potLifeMin: 90, notes: '' },
    ])
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, revision: 8 } })))
    await settle()
    return host
  }

  it('count down from what is stored, and say what could not be taken off the shelf', async () => {
    const host = await finishClear()
    const times = () => [...host.querySelectorAll('.mixed-clock time')].map((time) => time.textContent)
    expect(times()).toEqual(['12:00', '1:30:00'])
    expect(host.textContent).toContain('Juniper: nobody counted it')
    await pass(61_000)
    expect(times()).toEqual(['10:59', '1:28:59'])
    // away, and here again
    await takeDown()
    vi.setSystemTime(start + 80 * 60_000)
    useStore.setState({ answers: {} })
    const again = await show(<Bench code="C-0001" />)
    expect([...again.querySelectorAll('.mixed-clock time')].map((time) => time.textContent)).toEqual(['Ready', '10:00'])
    expect(again.textContent).toContain('Pot life ends in 10 min. Clean the gun before it does.')
  })

  it('count the pot life from when the hardener went in', async () => {
    vi.useFakeTimers({ toFake: ['Date', 'setInterval', 'clearInterval'], now: start })
    const host = await bench(cupOf(wantedOf(clear, 90, byCup)))
    await press(' ')
    expect(rack.cups[0]!.hardenerAt).toBeNull()
    await press(' ')
    vi.setSystemTime(start + 20 * 60_000)
    await press(' ')
    expect(host.textContent).toMatch(/Pot life is counted from .+, when the hardener was written down/u)
    expect(host.textContent).not.toContain('take off what has passed')
    await click(buttonSaying(host, 'Done: take it off the shelf'))
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, revision: 8 } })))
    await settle()
    // 90 minutes on the shelf's word, 20 of them gone
    expect(host.querySelector('.mixed-clock time')?.textContent).toBe('1:10:00')
  })

  it('shows a badge while one runs, and tells each end once', async () => {
    await finishClear()
    await takeDown()
    useStore.setState({ answers: {}, notices: [] })
    const bar = await show(<RunningClocks />)
    expect(bar.textContent).toBe('C-0001 stands +112:00')
    await pass(12 * 60_000 + 1000)
    expect(useStore.getState().notices.map(({ remedy }) => remedy)).toEqual([
      'It has stood long enough. Stir once more.',
    ])
    expect(bar.textContent).toBe('C-0001 pot life1:17:59')
    await pass(63 * 60_000)
    expect(useStore.getState().notices.map(({ remedy }) => remedy)).toEqual([
      'Pot life ends in 15 min. Clean the gun before it does.',
    ])
    await pass(15 * 60_000)
    expect(bar.textContent).toBe('')
    expect(useStore.getState().notices.map(({ remedy }) => remedy)).toEqual([
      'Pot life ended 1 s ago. Do not spray it, and do not thin it again.',
    ])
    await takeDown()
    useStore.setState({ notices: [] })
    await show(<RunningClocks />)
    expect(useStore.getState().notices).toEqual([])
  })
})
