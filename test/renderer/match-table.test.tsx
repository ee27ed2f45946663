import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { commands } from '../../renderer/commands/all.ts'
import { commandFor } from '../../renderer/commands/keyboard.ts'
import { MatchPlace } from '../../renderer/screens/match/match-place.tsx'
import { openView, useMatch } from '../../renderer/screens/match/match-state.ts'
import { useJobDialogs } from '../../renderer/state/job-dialogs.ts'
import { idOfPhoto, idOfPoint } from '../../renderer/state/match-address.ts'
import { clearTable, lastMatch, useTable } from '../../renderer/state/match-table.ts'
import { letGoOfPins, pinsNow } from '../../renderer/state/pins.ts'
import { rests } from '../../renderer/state/rests.ts'
import { readRoute } from '../../renderer/state/router.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { CustomerJob } from '../../shared-core/records/customer-job.ts'
import type { Match } from '../../shared-core/records/match.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { Reading, Reference } from '../../shared-core/records/reading.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown, type } from './mounting.ts'
import { knows } from './plan-rack.ts'
import { lights, listed, panels, readings, shown as sample, words } from './sample-rack.ts'

const [photo] = sample.photos as [Photo]
const wanted = (id: string): Reading => ({ ...readings[1]!, id: `${id}-reading`, stepId: null, referenceId: id })
const reference = (id: string, name: string): Reference => ({
  id,
  name,
  notes: '',
  createdAt: '2031-05-01T10:00:00Z',
  readings: [wanted(id)],
})
const references = [reference('ref', 'Customer’s chip'), reference('tank', 'Left tank')]
const candidate = (i: number, de00: number, more: Partial<Match> = {}): Match => ({
  panel: panels[i]!,
  stepId: `step-${i}`,
  coats: 3,
  reading: { ...readings[0]!, id: `near-${i}` },
  de00,
  bound90: 1,
  words: 'a little darker',
  couldBeSame: de00 <= 2,
  unlike: [],
  combined: null,
  candyLayers: [],
  chanceSame: 0.08,
  unlikeness: 0,
  metamerism: null,
  coarseness: null,
  why: ['nearest in colour', '8 % likely the same'],
  ...more,
})
const near = [candidate(0, 0.8), candidate(1, 2.4), candidate(2, 5)]
const job = { id: 'job', code: 'J-0002', title: 'Tank and fenders', customer: 'Ines', status: 'open' } as CustomerJob
const point = { photoId: photo.id, x: 0.25, y: 0.5 }

const table: Answers = {
  'film.describe': () => ({ knows: { ...knows, candies: [] } }),
  'references.get': ({ referenceId }) => ({ reference: references.find(({ id }) => id === referenceId)! }),
  'references.list': () => ({ references }),
  'references.remove': () => ({}),
  'references.addFromPoint': ({ name }) => ({ reference: { ...reference('kept', name) } }),
  'customerJobs.list': () => ({ jobs: [] }),
  'match.findNearest': ({ to, within }) => ({
    to:
      'readingId' in to
        ? wanted(to.readingId.replace('-reading', ''))
        : { ...wanted('p'), id: 'point:1', referenceId: null },
    matches: near.filter(({ de00 }) => de00 <= (within ?? 100)),
    considered: 3,
  }),
  'panels.list': ({ filter }) => listed(filter),
  'panels.listWords': () => words,
  'photos.get': () => ({ photo: photo, proposed: null, proposedSetupId: null }),
  'side.readItems': ({ items }) => ({ shown: items.map(() => null), missing: items.map(() => null) }),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  Object.assign(rests, { afterOthersMs: 0 })
  clearTable()
  letGoOfPins()
  useMatch.setState(openView, true)
  useJobDialogs.setState({ beginning: false, referenceId: null, considering: null })
  useStore.setState({ lights, settings: { ...defaultSettings, decimal: 'point' } })
})
afterEach(takeDown)

async function showAt(path: string): Promise<HTMLElement> {
  const route = readRoute(path)
  if (route.at !== 'match') throw new Error(`${path} is not in Match`)
  history.replaceState({ depth: 0 }, '', path)
  useStore.setState({ route })
  return show(<MatchPlace referenceId={route.referenceId} table={route.table} />)
}
const options = (host: ParentNode) => [...host.querySelectorAll<HTMLElement>('[role=option]')]
const asked = () => client.askedOf('match.findNearest').at(-1)!
/** As the page’s own keyboard runs it. */
async function byKey(chord: string): Promise<void> {
  const command = commandFor(chord, 'match', commands)
  if (!command) throw new Error(`no command has ${chord}`)
  await act(async () => void command.run(useStore.getState()))
  await settle()
}

describe('the ladder', () => {
  it('asks more at every rung, says what it asks and what that hides, and shows all again', async () => {
    const host = await showAt('/match/ref')
    const said = () => host.querySelector('.match-ladder [role=status]')?.textContent
    expect(said()).toBe('Everything3 steps compared')
    await byKey('t')
    expect(asked()).toMatchObject({ within: 6 })
    await byKey('t')
    expect(asked()).toMatchObject({ within: 3 })
    expect(said()).toBe('Within 32 left, 1 hidden')
    expect(options(host)).toHaveLength(2)
    await byKey('t')
    expect(said()).toBe('Could be the samewithin 3: 1 left, 2 hidden')
    expect(asked().likeOnly).toBeUndefined()
    await byKey('t')
    expect(asked()).toMatchObject({ likeOnly: true, within: 3 })
    expect(commandFor('t', 'match', commands)!.missing(useStore.getState())).toContain('no tighter')
    await byKey('o')
    await byKey('o')
    expect(options(host)).toHaveLength(2)
    await click(buttonSaying(host, 'Show all'))
    expect(options(host)).toHaveLength(3)
    expect(said()).toBe('Everything3 steps compared')
  })

  it('lightness that counts half is asked for, and said beside figures that are not those of elsewhere', async () => {
    const host = await showAt('/match/ref')
    expect(asked().weights).toBeUndefined()
    await act(async () => useMatch.setState({ weights: 'lightness' }))
    await settle()
    expect(asked().weights).toEqual({ kL: 2, kC: 1, kH: 1 })
    expect(host.querySelector('.match-axis')?.textContent).toContain('dE00 (2 : 1 : 1)')
    expect(host.textContent).toContain('these dE00 (2 : 1 : 1) are smaller')
  })
})

describe('a row', () => {
  it('says how likely it is the same, why it stands there, where it parts, and its grain', async () => {
    const metamerism = {
      words: 'Could be the same in daylight, surely different in warm LED',
      lights: [
        { light: 'daylight', de00: 0.8, bound90: 1, couldBeSame: true, onceMatched: null },
        { light: 'warm LED', de00: 4, bound90: 1, couldBeSame: false, onceMatched: null },
      ],
    }
    client.answer({
      'match.findNearest': () => ({
        to: wanted('ref'),
        matches: [candidate(0, 0.8, { why: ['nearest in colour', 'finer grain'] }), candidate(1, 1.2, { metamerism })],
        considered: 2,
      }),
    })
    const host = await showAt('/match/ref')
    const [first, second] = options(host)
    expect(first?.querySelector('.match-chance')?.textContent).toBe('8 % likely the same')
    expect(first?.textContent).toContain('Nearest in colour; finer grain.')
    expect(second?.textContent).toContain(`${metamerism.words}. `)
  })
})

describe('pins', () => {
  it('Space pins and unpins; the tray counts, and lays them beside the reference', async () => {
    const host = await showAt('/match/ref')
    await press(' ')
    expect(options(host)[0]?.getAttribute('aria-label')).toContain(', pinned')
    expect(options(host)[0]?.querySelector('.match-pin')?.textContent).toBe('Pinned')
    await press('ArrowDown')
    await click(options(host)[1]?.querySelector('.match-pin'))
    expect(host.querySelector('.pin-tray [role=status]')?.textContent).toContain('2 pinned')
    await press('Home')
    await press(' ')
    expect(pinsNow().map(({ item }) => item)).toEqual([{ kind: 'reading', id: 'near-1' }])
    await click(buttonSaying(host, 'Compare side by side'))
    expect(useStore.getState().route).toMatchObject({
      at: 'side',
      items: [
        { kind: 'reference', id: 'ref' },
        { kind: 'reading', id: 'near-1' },
      ],
    })
  })
})

describe('the table', () => {
  it('the address holds what lies there; number keys go from one to the other, each where one left it', async () => {
    await showAt('/match/ref/ref/tank')
    expect(useTable.getState().ids).toEqual(['ref', 'tank'])
    await press('ArrowDown')
    await byKey('2')
    expect(location.pathname).toBe('/match/tank/ref/tank')
    await takeDown()
    const other = await showAt('/match/tank/ref/tank')
    expect(other.querySelector('h1')?.textContent).toBe('Match to Left tank')
    expect(options(other)[0]?.getAttribute('aria-selected')).toBe('true')
    await takeDown()
    const again = await showAt('/match/ref/ref/tank')
    expect(options(again)[1]?.getAttribute('aria-selected')).toBe('true')
    expect(lastMatch()).toEqual({ at: 'match', referenceId: 'ref', table: ['ref', 'tank'] })
  })

  it('one more is laid beside those that lie there, and the address says so', async () => {
    await showAt('/match/ref')
    expect(location.pathname).toBe('/match/ref')
    await takeDown()
    const host = await showAt('/match/tank')
    expect(location.pathname).toBe('/match/tank/ref/tank')
    await click(buttonSaying(host, 'Take Customer’s chip off the table'))
    expect(useTable.getState().ids).toEqual(['tank'])
  })

  it('near all of them is ordered by the largest difference', async () => {
    client.answer({
      'match.findNearest': ({ to }) => ({
        to: wanted('ref'),
        matches:
          'readingId' in to && to.readingId === 'ref-reading'
            ? [candidate(0, 1), candidate(1, 2), candidate(2, 3)]
            : [candidate(2, 1), candidate(1, 2.2), candidate(0, 6)],
        considered: 3,
      }),
    })
    const host = await showAt('/match/all/ref/tank')
    expect(options(host).map((row) => row.id)).toEqual(['near-all-step-1', 'near-all-step-2', 'near-all-step-0'])
    expect(options(host)[0]?.textContent).toContain('Farthest from Left tank')
    expect(options(host)[1]?.textContent).toContain('Farthest from Customer’s chip')
  })
})

describe('jobs', () => {
  it('names the jobs it is for, and begins another with it', async () => {
    client.answer({ 'customerJobs.list': () => ({ jobs: [{ ...blank, ...job, referenceId: 'ref' }] }) })
    const host = await showAt('/match/ref')
    await settle()
    expect(host.querySelector('.match-used a')?.textContent).toBe('J-0002 Tank and fenders')
    await byKey('b')
    expect(useJobDialogs.getState()).toMatchObject({ beginning: true, referenceId: 'ref' })
  })

  it('a reference that a job uses is not removed without asking', async () => {
    client.answer({ 'customerJobs.list': () => ({ jobs: [{ ...blank, ...job, referenceId: 'ref' }] }) })
    const host = await showAt('/match')
    await click(buttonSaying(host, 'Remove Customer’s chip'))
    expect(document.querySelector('dialog')?.textContent).toContain('J-0002 Tank and fenders, Ines')
    expect(client.askedOf('references.remove')).toEqual([])
    await click(buttonSaying(document, 'Remove it all the same'))
    expect(client.askedOf('references.remove')).toEqual([{ referenceId: 'ref' }])
    await click(buttonSaying(host, 'Remove Left tank'))
    expect(client.askedOf('references.remove')).toHaveLength(2)
  })
})

describe('a point of a photo', () => {
  it('is taken by keys, matched, and kept only when asked', async () => {
    const host = await showAt(`/match/${encodeURIComponent(idOfPhoto(point.photoId))}`)
    host.querySelector<HTMLElement>('.point-frame')?.focus()
    await press('ArrowRight', { shiftKey: true })
    await press('Enter')
    const { route } = useStore.getState()
    const x = 0.5 + (0.05 * Math.max(photo.width, photo.height)) / photo.width
    expect(route).toMatchObject({ at: 'match', referenceId: idOfPoint({ ...point, x }) })
    await takeDown()
    const match = await showAt(location.pathname)
    expect(asked().to).toMatchObject({ photoId: point.photoId, y: 0.5 })
    expect(client.askedOf('references.addFromPoint')).toEqual([])
    await click(buttonSaying(match, 'Keep as reference'))
    await type(match.querySelector('.match-keep input'), 'Tank, left')
    await click(buttonSaying(match, 'Keep it'))
    expect(client.askedOf('references.addFromPoint')).toMatchObject([{ name: 'Tank, left', photoId: point.photoId }])
    expect(useTable.getState().ids).toEqual(['kept'])
    expect(location.pathname).toBe('/match/kept/kept')
  })

  it('another point of the same photo takes its place on the table', async () => {
    await showAt('/match/ref')
    for (const x of [0.25, 0.75]) {
      await takeDown()
      await showAt(`/match/${encodeURIComponent(idOfPoint({ ...point, x }))}`)
    }
    expect(useTable.getState().ids).toEqual(['ref', idOfPoint({ ...point, x: 0.75 })])
  })

  it('without a card it says what to do, and leads to the Tray', async () => {
    client.answer({
      'match.findNearest': () => {
        throw new Refusal('photo/no-card', 'No grey card is read in chip.jpg.', 'Mark its card in the Tray.')
      },
    })
    const host = await showAt(`/match/${encodeURIComponent(idOfPoint(point))}`)
    expect(host.textContent).toContain('No grey card is read in chip.jpg.')
    await click(buttonSaying(host, 'Open it in the Tray'))
    expect(location.pathname).toBe(`/tray/${point.photoId}`)
  })
})

const blank: CustomerJob = {
  id: 'blank',
  code: 'J-0001',
  title: 'Blank',
  customer: '',
  status: 'open',
  referenceId: null,
  candidates: [],
  formula: null,
  parts: [],
  tolerance: 1,
  checks: [],
  decisions: [],
  dueOn: null,
  notes: '',
  createdAt: '2031-05-01T10:00:00Z',
}
