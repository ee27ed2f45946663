import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { gamutWord } from '../../renderer/parts/gamut-word.ts'
import { axisEnd, axisMarks, dividingRow } from '../../renderer/screens/match/interval.ts'
import { MatchPlace } from '../../renderer/screens/match/match-place.tsx'
import { openView, useMatch } from '../../renderer/screens/match/match-state.ts'
import { sayLab } from '../../renderer/screens/match/reading-words.ts'
import { clearTable } from '../../renderer/state/match-table.ts'
import { letGoOfPins } from '../../renderer/state/pins.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Match } from '../../shared-core/records/match.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import type { Reading, Reference } from '../../shared-core/records/reading.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown, type } from './mounting.ts'
import { knows } from './plan-rack.ts'
import { lights, listed, panel, panels, readings, words } from './sample-rack.ts'

const wanted = (id: string, takenAt: string): Reading => ({
  ...readings[1]!,
  id,
  stepId: null,
  referenceId: 'ref',
  takenAt,
})
const reference: Reference = {
  id: 'ref',
  name: 'Customer’s chip',
  notes: '',
  createdAt: '2031-05-01T10:00:00Z',
  readings: [wanted('new', '2031-06-02T08:00:00Z'), wanted('old', '2031-05-01T10:00:00Z')],
}
const candidate = (i: number, de00: number, bound90: number, more: Partial<Match> = {}): Match => ({
  panel: panels[i]!,
  stepId: `step-${i}`,
  coats: 3,
  reading: { ...readings[0]!, id: `near-${i}` },
  de00,
  bound90,
  words: 'a little darker, clearly greener',
  couldBeSame: de00 - bound90 <= 1,
  unlike: [],
  combined: null,
  candyLayers: [],
  chanceSame: 0.2,
  unlikeness: 0,
  metamerism: null,
  coarseness: null,
  why: [],
  ...more,
})
/** Out of order on purpose: the second is surer than the third, so it is surely different above the line. */
const near: Match[] = [
  candidate(0, 0.8, 0.9, {
    unlike: ['other light'],
    candyLayers: panel.layers.filter((layer) => layer.kind === 'candy'),
  }),
  candidate(1, 2.1, 0.6),
  candidate(2, 2.4, 1.9),
  candidate(3, 5.5, 1.1),
]

const table: Answers = {
  'film.describe': () => ({ knows: { ...knows, candies: [] } }),
  'references.get': () => ({ reference }),
  'customerJobs.list': () => ({ jobs: [] }),
  'references.list': () => ({ references: [reference] }),
  'references.rename': ({ name }) => ({ reference: { ...reference, name } }),
  'references.remove': () => ({}),
  'references.addTyped': ({ name }) => ({ reference: { ...reference, id: 'typed', name } }),
  'match.findNearest': ({ to }) => ({
    to: wanted('readingId' in to ? to.readingId : 'point', '2031-06-02T08:00:00Z'),
    matches: near,
    considered: 61,
  }),
  'panels.list': ({ filter }) => listed(filter),
  'panels.listWords': () => words,
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  clearTable()
  letGoOfPins()
  useMatch.setState(openView, true)
  useStore.setState({
    lights,
    settings: { ...defaultSettings, decimal: 'point' },
    route: { at: 'match', referenceId: 'ref' },
  })
})
afterEach(takeDown)

const options = (host: ParentNode) => [...host.querySelectorAll<HTMLElement>('[role=option]')]

async function select(host: ParentNode, label: string, value: string) {
  await act(async () => {
    const field = host.querySelector<HTMLSelectElement>(`select[aria-label="${label}"]`)!
    field.value = value
    field.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}

describe('candidates', () => {
  it('matches the newest reading of a reference, and says how it was read', async () => {
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(client.askedOf('match.findNearest')[0]).toMatchObject({ to: { readingId: 'new' }, filter: noFilter })
    expect(host.querySelector('h1')?.textContent).toBe('Match to Customer’s chip')
    expect(host.textContent).toContain('Face 45°, booth tubes, cleared, 7 days old, grey card in the photo.')
    expect(host.textContent).toContain('Screen preview: judge panel against part under the customer’s light.')
    expect(host.textContent).toContain('A photo is an estimate.')
  })

  it('stand nearest first, each with its figures, words, coats and formula', async () => {
    const host = await show(<MatchPlace referenceId="ref" />)
    const [first, second] = options(host)
    expect(first?.getAttribute('aria-label')).toBe(
      'P-0012 Rosehip, 3 coats, dE00 0.8 ± 0.9, could be the same, a little darker, clearly greener',
    )
    expect(first?.textContent).toContain('Within the ±: a little darker, clearly greener')
    expect(second?.textContent).toContain('A little darker, clearly greener')
    expect(first?.textContent).toContain('Rosehip, bright silver')
    expect(first?.textContent).toContain('Ember')
    expect(first?.textContent).toContain('Other light.')
    expect(second?.getAttribute('aria-label')).toContain('surely different')
  })

  it('several readings of a step stand as one colour, and say how many they are', async () => {
    const combined = { lab: { l: 50, a: 20, b: 120 }, bound90: 0.7, count: 3, leftOut: 0, disagree: false }
    const matches = [
      candidate(0, 0.8, 0.9, { combined }),
      candidate(1, 1, 0.9, { combined: { ...combined, leftOut: 1 } }),
      candidate(2, 1.2, 0.9, { combined: { ...combined, count: 2, disagree: true } }),
    ]
    client.answer({ 'match.findNearest': () => ({ to: wanted('new', '2031'), matches, considered: 3 }) })
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(options(host).map((row) => row.querySelector('.match-coats')?.textContent?.trim())).toEqual([
      '3 coats, 3 readings',
      '3 coats, 3 readings, 1 left out',
      '3 coats, 2 readings that disagree',
    ])
    expect(options(host)[0]?.getAttribute('aria-label')).toContain('3 coats, 3 readings, dE00 0.8 ± 0.9')
    // the swatch is of the combined colour, which no screen shows; the single readings are well within
    expect(gamutWord(readings[0]!.lab)).toBeNull()
    expect(options(host)[0]?.textContent).toContain(gamutWord(combined.lab))
  })

  it('a candidate in the reference’s own photo says why its ± is small', async () => {
    const to = { ...wanted('new', '2031'), photoId: 'photo-1' }
    client.answer({ 'match.findNearest': () => ({ to, matches: near, considered: 4 }) })
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(options(host)[0]?.textContent).toContain('In one photo with the reference')
  })

  it('the line stands after the last that could be the same; what differs above it says so itself', async () => {
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(options(host).map((row) => row.querySelector('.match-divide') !== null)).toEqual([false, false, false, true])
    expect(options(host).map((row) => row.querySelector('.match-sure') !== null)).toEqual([false, true, false, false])
  })

  it('when nothing could be the same, the line stands first and says so', async () => {
    client.answer({ 'match.findNearest': () => ({ to: wanted('new', '2031'), matches: near.slice(3), considered: 1 }) })
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(host.querySelector('.match-divide')?.textContent).toContain('nothing could be the same')
  })

  it('arrow keys walk, Enter opens the panel', async () => {
    const host = await show(<MatchPlace referenceId="ref" />)
    const at = () => options(host).findIndex((row) => row.getAttribute('aria-selected') === 'true')
    expect(document.activeElement?.getAttribute('role')).toBe('listbox')
    expect(at()).toBe(0)
    await press('ArrowUp')
    expect(at()).toBe(0)
    await press('ArrowDown')
    await press('ArrowDown')
    expect(at()).toBe(2)
    expect(document.activeElement?.getAttribute('aria-activedescendant')).toBe(options(host)[2]?.id)
    await press('End')
    expect(at()).toBe(3)
    await click(options(host)[1])
    expect(at()).toBe(1)
    expect(buttonSaying(host, `Open ${panels[1]!.code}`)).toBeDefined()
    await press('Enter')
    expect(location.pathname).toBe(`/panel/${panels[1]!.code}`)
  })

  it('filters narrow panels and readings, and can be taken away', async () => {
    const host = await show(<MatchPlace referenceId="ref" />)
    await select(host, 'Ground', 'gold')
    await select(host, 'Clear', 'no')
    await select(host, 'View', 'flop')
    client.answer({ 'match.findNearest': () => ({ to: wanted('new', '2031'), matches: [], considered: 0 }) })
    await select(host, 'Light', 'sun')
    expect(client.askedOf('match.findNearest').at(-1)).toMatchObject({
      filter: { grounds: ['gold'], cleared: false },
      readings: { view: 'flop', lightId: 'sun' },
    })
    expect(host.textContent).toContain('No panel is left to compare with')
    await click(buttonSaying(host, 'Compare with all'))
    expect(options(host)).toHaveLength(near.length)
    expect([...host.querySelectorAll<HTMLSelectElement>('.match-filters select')].map(({ value }) => value)).toEqual([
      '',
      '',
      '',
      '',
      '',
    ])
  })

  it('an empty rack says what to do', async () => {
    client.answer({ 'match.findNearest': () => ({ to: wanted('new', '2031'), matches: [], considered: 0 }) })
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(host.textContent).toContain('file them in the Tray')
  })

  it('a panel’s own reading is matched by its address', async () => {
    const own = readings[4]!
    const { id, code, title } = panel
    client.answer({
      'match.findNearest': () => ({ to: own, matches: near, considered: 4 }),
      'side.readItems': () => ({
        shown: [
          {
            name: `${code} ${title}`,
            panel: { id, code, title, ground: 'gold', coats: 4 },
            reading: own,
            readingIds: [own.id],
            photo: null,
          },
        ],
        missing: [null],
      }),
    })
    const host = await show(<MatchPlace referenceId={`reading-${own.id}`} />)
    await settle()
    expect(client.askedOf('match.findNearest')[0]?.to).toEqual({ readingId: own.id })
    expect(host.querySelector('h1')?.textContent).toBe(`Match to ${panel.code} ${panel.title}, 4 coats`)
  })

  it('colours are shown first; cut-outs say that they keep their own light', async () => {
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(host.querySelectorAll('.match-rows img')).toHaveLength(0)
    await click(buttonSaying(host, 'Photos'))
    expect(host.querySelectorAll('.match-rows img').length).toBeGreaterThan(0)
    expect(host.textContent).toContain('each photo’s own light')
  })

  it('a reference that is gone is told in words', async () => {
    client.answer({
      'references.get': () => {
        throw new Refusal('reference/absent', 'This reference is not in the rack.', 'Choose another.')
      },
    })
    const host = await show(<MatchPlace referenceId="nowhere" />)
    expect(host.textContent).toContain('This reference is not in the rack.')
  })
})

describe('choosing a reference', () => {
  it('lists them, renames and removes', async () => {
    const host = await show(<MatchPlace referenceId={null} />)
    expect(host.querySelector('.match-reference a')?.getAttribute('href')).toBe('/match/ref')
    await click(buttonSaying(host, 'Rename Customer’s chip'))
    await type(host.querySelector('.match-rename input'), 'Left tank')
    await click(buttonSaying(host, 'Save name'))
    expect(client.askedOf('references.rename')).toEqual([{ referenceId: 'ref', name: 'Left tank' }])
    await click(buttonSaying(host, 'Remove Customer’s chip'))
    expect(client.askedOf('references.remove')).toEqual([{ referenceId: 'ref' }])
    expect(useStore.getState().notices.at(-1)?.remedy).toBe('Undo brings it back.')
  })

  it('takes a typed colour and matches it', async () => {
    const host = await show(<MatchPlace referenceId={null} />)
    const field = (label: string) =>
      [...host.querySelectorAll('.typed label')]
        .find((l) => l.querySelector('span')?.textContent === label)
        ?.querySelector('input')
    await type(field('Name'), 'Sign blue')
    await type(field('L'), '40')
    await type(field('a'), '−3,5')
    await type(field('b'), '-38')
    await click(buttonSaying(host, 'Add reference'))
    expect(client.askedOf('references.addTyped')[0]).toMatchObject({
      name: 'Sign blue',
      lab: { l: 40, a: -3.5, b: -38 },
    })
    expect(location.pathname).toBe('/match/typed')
  })
})

describe('figures', () => {
  it('Lab names its white where it is not D50 and 2°', () => {
    const comma = { ...defaultSettings, decimal: 'comma' as const }
    expect(sayLab({ ...readings[0]!, lab: { l: 55.31, a: -30.06, b: 0 }, bound90: 0.8 }, comma)).toBe(
      'Lab 55,3; −30,1; 0,0 ± 0,8',
    )
    expect(
      sayLab(
        { ...readings[0]!, illuminant: 'D65', observer: '10', lab: { l: 1, a: 2, b: 3 }, bound90: 2.5 },
        { ...comma, decimal: 'point' },
      ),
    ).toBe('Lab (D65, 10°) 1.0, 2.0, 3.0 ± 2.5')
  })
  it('the axis holds the nearest intervals whole', () => {
    expect(axisEnd(near)).toBe(10)
    expect(axisEnd(near.slice(0, 3))).toBe(5)
    expect(axisMarks(10)).toEqual([0, 2, 4, 6, 8, 10])
  })
  it('the dividing line', () => {
    expect(dividingRow([])).toBe(0)
    expect(dividingRow(near)).toBe(3)
  })
})
