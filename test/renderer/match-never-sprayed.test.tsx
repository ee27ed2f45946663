import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { MatchPlace } from '../../renderer/screens/match/match-place.tsx'
import { openView, useMatch } from '../../renderer/screens/match/match-state.ts'
import { useJobDialogs } from '../../renderer/state/job-dialogs.ts'
import { clearTable } from '../../renderer/state/match-table.ts'
import { freshPlan, usePlan } from '../../renderer/state/plan.ts'
import { rests } from '../../renderer/state/rests.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { type Suggestion, usualLimits } from '../../shared-core/records/film.ts'
import type { Match } from '../../shared-core/records/match.ts'
import type { Reading, Reference } from '../../shared-core/records/reading.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown } from './mounting.ts'
import { knows, planAnswers, prediction, suggested } from './plan-rack.ts'
import { lights, panels, rackInfo, readings } from './sample-rack.ts'

const wanted = (id: string): Reading => ({ ...readings[1]!, id, stepId: null, referenceId: 'ref' })
const reference = (id: string): Reference => ({
  id,
  name: id === 'ref' ? 'Customer’s chip' : 'Left tank',
  notes: '',
  createdAt: '2031-05-01T10:00:00Z',
  readings: [wanted(`${id}-reading`)],
})
const candidate = (i: number): Match => ({
  panel: panels[i]!,
  stepId: `step-${i}`,
  coats: 3,
  reading: { ...readings[0]!, id: `near-${i}` },
  de00: 4 + i,
  bound90: 1,
  words: 'a little darker',
  couldBeSame: false,
  unlike: [],
  combined: null,
  candyLayers: [],
  chanceSame: 0.2,
  unlikeness: 0,
  metamerism: null,
  coarseness: null,
  why: [],
})
/** Among what was sprayed, farther off than its own doubt, with a candy that is not on the shelf. */
const known: Suggestion = {
  ...suggested,
  recipe: {
    ...suggested.recipe,
    formula: { ...suggested.recipe.formula, candies: [{ id: 'quince', parts: 1 }] },
    ground: 'gold',
    coats: 3,
  },
  prediction: prediction(),
  de00: 2.4,
  differenceBound90: 1.1,
  words: 'A little redder',
  why: 'Between two panels on the rack.',
  onShelf: false,
}

const table: Answers = {
  ...planAnswers,
  'customerJobs.list': () => ({ jobs: [] }),
  'references.get': ({ referenceId }) => ({ reference: reference(referenceId) }),
  'match.findNearest': ({ to }) => ({
    to: wanted('readingId' in to ? to.readingId : 'point'),
    matches: [candidate(0), candidate(1)],
    considered: 9,
  }),
  'film.suggest': () => ({ suggestions: [suggested, known], nothingNear: null, considered: 1490 }),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  useMatch.setState(openView, true)
  usePlan.setState({ ...freshPlan }, true)
  Object.assign(rests, { afterOthersMs: 25, longMs: 50 })
  clearTable()
  useJobDialogs.setState({ beginning: false, referenceId: null, considering: null })
  useStore.setState({
    lights,
    settings: { ...defaultSettings, decimal: 'point' },
    route: { at: 'match', referenceId: 'ref' },
  })
})
afterEach(takeDown)

/** A little longer than what is waited for. */
async function rest(): Promise<void> {
  await act(async () => {
    await new Promise((resolve) => setTimeout(resolve, 60))
  })
  await settle()
}

async function showMatch(): Promise<HTMLElement> {
  const host = await show(<MatchPlace referenceId="ref" />)
  await rest()
  await rest()
  return host
}
const section = (host: ParentNode) => host.querySelector<HTMLElement>('section[aria-label="Never sprayed"]')!
const sprayed = (host: ParentNode) => [...host.querySelectorAll('[aria-label="Candidates"] [role=option]')]
const predictions = (host: ParentNode) => [...section(host).querySelectorAll('[role=option]')]
const chosen = (rows: readonly Element[]) => rows.findIndex((row) => row.getAttribute('aria-selected') === 'true')
const shelfSwitch = (host: ParentNode) => section(host).querySelector<HTMLInputElement>('input[type=checkbox]')

describe('asking for what was never sprayed', () => {
  it('comes after the sprayed candidates, which stand meanwhile', async () => {
    let answer: (found: Output<'film.suggest'>) => void = () => undefined
    client.answer({ 'film.suggest': () => new Promise((resolve) => (answer = resolve)) })
    const host = await show(<MatchPlace referenceId="ref" />)
    expect(sprayed(host)).toHaveLength(2)
    expect(client.askedOf('film.suggest')).toEqual([])
    await rest()
    await rest()
    expect(client.askedOf('film.suggest')).toEqual([{ readingId: 'ref-reading', limits: usualLimits, count: 6 }])
    await rest()
    expect(section(host).querySelector('[role=status]')?.textContent).toBe('Working out recipes…')
    expect(section(host).getAttribute('aria-busy')).toBe('true')
    expect(sprayed(host)).toHaveLength(2)
    await act(async () => answer({ suggestions: [suggested], nothingNear: null, considered: 3 }))
    await settle()
    expect(predictions(host)).toHaveLength(1)
    expect(section(host).querySelector('[role=status]')?.textContent).toBe('1 prediction, the best 0.4 ± 1.7')
  })

  it('waits for the candidates also when the rack has changed', async () => {
    const host = await showMatch()
    const before = client.asked.length
    await act(async () => useStore.getState().setRack({ ...rackInfo, revision: 8 }))
    await settle()
    // what was worked out before stays until then
    expect(predictions(host)).toHaveLength(2)
    await rest()
    expect(client.askedOf('film.suggest')).toHaveLength(2)
    const names = client.asked.slice(before).map(({ name }) => name)
    expect(names).toContain('match.findNearest')
    expect(names.indexOf('match.findNearest')).toBeLessThan(names.indexOf('film.suggest'))
  })

  it('is not done for a reference that was left at once, and a late answer is not shown for another', async () => {
    const answers = new Map<string, (found: Output<'film.suggest'>) => void>()
    client.answer({
      'film.suggest': ({ readingId }) => new Promise((resolve) => answers.set(readingId, resolve)),
    })
    await show(<MatchPlace referenceId="ref" />)
    await takeDown()
    await rest()
    expect(client.askedOf('film.suggest')).toEqual([])
    await showMatch()
    expect([...answers.keys()]).toEqual(['ref-reading'])
    await takeDown()
    const host = await show(<MatchPlace referenceId="other" />)
    await rest()
    await act(async () => answers.get('ref-reading')?.({ suggestions: [suggested], nothingNear: null, considered: 3 }))
    await settle()
    expect(host.querySelector('h1')?.textContent).toBe('Match to Left tank')
    expect(predictions(host)).toEqual([])
    await act(async () => answers.get('other-reading')?.({ suggestions: [known], nothingNear: null, considered: 3 }))
    await settle()
    expect(predictions(host).map((row) => row.getAttribute('aria-label'))).toEqual([
      expect.stringContaining('Quince in 8 carrier'),
    ])
  })

  it('keeps to the shelf until told otherwise, as Plan does', async () => {
    const host = await showMatch()
    expect(shelfSwitch(host)?.checked).toBe(true)
    expect(section(host).textContent).toContain('With what is on the shelf: up to 3 candies')
    await click(shelfSwitch(host))
    await rest()
    expect(client.askedOf('film.suggest').at(-1)?.limits).toEqual({ ...usualLimits, onShelfOnly: false })
    expect(usePlan.getState().limits.onShelfOnly).toBe(false)
    expect(section(host).textContent).toContain('With every candy')
  })

  it('keeps to the ground and the candy that candidates are narrowed to', async () => {
    useMatch.setState({ filter: { ...openView.filter, grounds: ['Gold'], candies: ['Juniper'] } })
    const host = await showMatch()
    expect(client.askedOf('film.suggest').at(-1)?.limits).toEqual({
      ...usualLimits,
      grounds: ['gold'],
      candies: ['juniper'],
    })
    expect(section(host).textContent).toContain('1 of 3 candies. 1 of 3 grounds.')
  })

  it('leaves out the limits that Plan kept for another rack', async () => {
    usePlan.setState({ folder: '/racks/south-wall', limits: { ...usualLimits, grounds: ['brass'] } })
    await showMatch()
    expect(client.askedOf('film.suggest').at(-1)?.limits).toEqual(usualLimits)
  })
})

describe('a prediction', () => {
  it('is marked as one, with recipe, ground, coats, difference and how far outside', async () => {
    const host = await showMatch()
    const [first, second] = predictions(host)
    expect(first?.querySelector('.match-swatch')?.textContent).toBe('predicted')
    expect(first?.getAttribute('aria-label')).toBe(
      'Predicted: 9 Tidewater : 2 Juniper in 8 carrier, over copper, 5 coats, expected dE00 0.4 ± 1.7, ' +
        'Within the ±: a trace darker, Beyond anything sprayed',
    )
    expect(second?.getAttribute('aria-label')).toBe(
      'Predicted: Quince in 8 carrier, over gold, 3 coats, expected dE00 2.4 ± 1.1, ' +
        'A little redder, Among what was sprayed, not all of it on the shelf',
    )
    expect(second?.textContent).toContain('2.4 ± 1.1')
    expect(second?.textContent).toContain('Not all of it is on the shelf')
    expect(section(host).textContent).toContain('A prediction is not a panel: spray a check panel.')
  })

  it('is walked to from the sprayed candidates and back, and says more where one stands', async () => {
    const host = await showMatch()
    expect(chosen(sprayed(host))).toBe(0)
    await press('ArrowDown')
    await press('ArrowDown')
    expect([chosen(sprayed(host)), chosen(predictions(host))]).toEqual([-1, 0])
    expect(document.activeElement?.getAttribute('aria-activedescendant')).toBe(predictions(host)[0]?.id)
    expect(predictions(host)[0]?.textContent).toContain('Tidewater was never read over copper.')
    expect(predictions(host)[0]?.textContent).toContain('What your next panel will read: ±\u00a02.0.')
    expect(buttonSaying(host, `Open ${panels[0]!.code}`)).toBeUndefined()
    await press('ArrowDown')
    expect(chosen(predictions(host))).toBe(1)
    await press('ArrowUp')
    await press('ArrowUp')
    expect([chosen(sprayed(host)), chosen(predictions(host))]).toEqual([1, -1])
    expect(buttonSaying(host, `Open ${panels[1]!.code}`)).toBeDefined()
  })

  it('is reached at once by its own button, and left by it', async () => {
    const host = await showMatch()
    await click(buttonSaying(host, 'Walk to them'))
    expect([chosen(sprayed(host)), chosen(predictions(host))]).toEqual([-1, 0])
    await click(buttonSaying(host, 'Back to the sprayed'))
    expect([chosen(sprayed(host)), chosen(predictions(host))]).toEqual([0, -1])
  })

  it('is chosen with the mouse and set in Plan with its cell and the reference', async () => {
    const host = await showMatch()
    await click(predictions(host)[1])
    expect(chosen(predictions(host))).toBe(1)
    await click(buttonSaying(host, 'Set in Plan'))
    expect(decodeURIComponent(location.pathname)).toBe('/plan/1*quince!in8/ref')
    expect(usePlan.getState().cell).toEqual({ ground: 'gold', coats: 3 })
  })

  it('is set in Plan with Enter', async () => {
    await showMatch()
    await press('End')
    await press('ArrowDown')
    await press('Enter')
    expect(decodeURIComponent(location.pathname)).toBe('/plan/9*tidewater~2*juniper!in8/ref')
  })

  it('is considered for a job as a recipe', async () => {
    const host = await showMatch()
    await click(predictions(host)[1])
    await click(buttonSaying(host, 'Consider for a job'))
    expect(useJobDialogs.getState().considering).toEqual({
      name: 'Quince, over gold, 3 coats',
      candidate: { panelId: null, stepId: null, recipe: known.recipe },
      referenceId: 'ref',
    })
  })

  it('stays chosen when its figures change, and lets go when it is offered no more', async () => {
    const host = await showMatch()
    await click(predictions(host)[1])
    client.answer({
      'film.suggest': () => ({ suggestions: [suggested, { ...known, de00: 2.1 }], nothingNear: null, considered: 3 }),
    })
    await act(async () => useStore.getState().setRack({ ...rackInfo, revision: 8 }))
    await rest()
    await rest()
    expect(useMatch.getState().predicted?.suggestion.de00).toBe(2.1)
    expect(chosen(predictions(host))).toBe(1)
    client.answer({ 'film.suggest': () => ({ suggestions: [], nothingNear: 'Too dark.', considered: 3 }) })
    await act(async () => useStore.getState().setRack({ ...rackInfo, revision: 9 }))
    await rest()
    await rest()
    expect(useMatch.getState().predicted).toBeNull()
    expect(chosen(sprayed(host))).toBe(0)
  })
})

describe('when nothing can be predicted', () => {
  it('says why nothing comes near', async () => {
    client.answer({
      'film.suggest': () => ({
        suggestions: [],
        nothingNear: 'It is too dark for any of these grounds.',
        considered: 9,
      }),
    })
    const host = await showMatch()
    expect(section(host).textContent).toContain('Nothing comes near. It is too dark for any of these grounds.')
  })

  it('says what teaches it while no candy was read, and asks for no recipe', async () => {
    const advice = ['Photograph a few panels of one candy over one ground.']
    client.answer({ 'film.describe': () => ({ knows: { ...knows, candies: [], advice } }) })
    const host = await showMatch()
    expect(section(host).textContent).toContain('Nothing can be predicted yet')
    expect(section(host).textContent).toContain(advice[0])
    expect(client.askedOf('film.suggest')).toEqual([])
    expect(shelfSwitch(host)).toBeNull()
    await click(buttonSaying(host, 'Photograph panels in the Tray'))
    expect(location.pathname).toBe('/tray')
  })

  it('tells a failure with what to do; the candidates stand', async () => {
    client.answer({
      'film.suggest': () => {
        throw new Refusal('service/stopped', 'The film model stopped.', 'Ask once more.')
      },
    })
    const host = await showMatch()
    expect(section(host).textContent).toContain('The film model stopped. Ask once more.')
    expect(sprayed(host)).toHaveLength(2)
  })

  it('predictions stand also where no panel is left to compare with', async () => {
    client.answer({
      'match.findNearest': ({ to }) => ({
        to: wanted('readingId' in to ? to.readingId : 'point'),
        matches: [],
        considered: 0,
      }),
    })
    const host = await showMatch()
    expect(host.textContent).toContain('No other panel has a reading yet')
    await click(buttonSaying(host, 'Walk to them'))
    expect(chosen(predictions(host))).toBe(0)
  })
})

it('in a rack of thousands the model is asked only when somebody says so', async () => {
  useStore.setState({ rack: { ...rackInfo, panelCount: 5000 } })
  const host = await showMatch()
  expect(client.askedOf('film.describe')).toEqual([])
  expect(section(host).textContent).toContain('In a rack of this size that takes minutes')
  await click(buttonSaying(host, 'Predict all the same'))
  await rest()
  await rest()
  expect(predictions(host)).toHaveLength(2)
})
