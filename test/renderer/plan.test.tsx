import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { PlanPlace } from '../../renderer/screens/plan/plan-place.tsx'
import { freshPlan, setFormula, usePlan } from '../../renderer/state/plan.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, rest, settle, show, takeDown } from './mounting.ts'
import { blend, knows, planAnswers, tableOf } from './plan-rack.ts'

let client: FakeClient
beforeEach(() => {
  client = prepare(planAnswers)
  usePlan.setState(freshPlan, true)
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point', units: 'metric' } })
})
afterEach(takeDown)

const showPlan = () => show(<PlanPlace formula={blend} referenceId={null} />)
const cell = (host: ParentNode, key: string) => host.querySelector<HTMLElement>(`[data-cell="${key}"]`)
const sayOf = (host: ParentNode, key: string) => cell(host, key)?.querySelector('.plan-say')?.textContent?.trim()

describe('the table', () => {
  it('stands coats down from bare, grounds across from the most used', async () => {
    const host = await showPlan()
    expect(host.querySelector('h1')?.textContent).toBe('4 Tidewater : 1 Juniper in 6 carrier')
    expect([...host.querySelectorAll('[role=columnheader]')].map((head) => head.textContent)).toEqual([
      'Coats',
      'bright silver',
      'gold',
      'copper',
    ])
    expect(
      [...host.querySelectorAll('[role=rowheader]')].map((head) => head.getAttribute('aria-label') ?? head.textContent),
    ).toEqual(['bare', '1 coat', '2 coats', '3 coats', '4 coats, as usual', '5 coats', '6 coats'])
    expect(host.querySelectorAll('[role=gridcell]')).toHaveLength(21)
    expect(client.askedOf('film.predictTable')).toEqual([
      { formula: blend, grounds: ['bright silver', 'gold', 'copper'], coats: [0, 1, 2, 3, 4, 5, 6] },
    ])
  })

  it('a predicted cell says ±, a sprayed one shows its photo beside the prediction, with its code', async () => {
    const host = await showPlan()
    expect(sayOf(host, '1 bright silver')).toBe('± 1.1 predicted')
    expect(cell(host, '1 bright silver')?.querySelectorAll('.paint')).toHaveLength(1)
    expect(sayOf(host, '4 gold')).toBe('P-0116± 1.4')
    expect(cell(host, '4 gold')?.querySelector('img')?.getAttribute('src')).toBe('/picture/cut/cut-116')
    expect(cell(host, '4 gold')?.querySelectorAll('.paint')).toHaveLength(2)
    expect(cell(host, '4 gold')?.getAttribute('aria-label')).toBe('gold, 4 coats, sprayed: P-0116, predicted ± 1.4')
  })

  it('sprayed cells can show what was read in place of photos', async () => {
    const host = await showPlan()
    await click(buttonSaying(host, 'Readings'))
    expect(cell(host, '4 gold')?.querySelector('img')).toBeNull()
    expect(cell(host, '4 gold')?.querySelectorAll('.paint')).toHaveLength(2)
  })

  it('says what lies beyond anything sprayed, by shape and by word', async () => {
    const host = await showPlan()
    expect(cell(host, '2 copper')?.classList.contains('beyond')).toBe(true)
    expect(sayOf(host, '2 copper')).toBe('± 1.2beyond')
    expect(cell(host, '2 copper')?.getAttribute('aria-label')).toContain('beyond anything sprayed')
    expect(cell(host, '2 gold')?.classList.contains('beyond')).toBe(false)
    expect(host.querySelector('.plan-foot')?.textContent).toContain('beyond anything sprayed')
  })

  it('marks what the screen cannot show', async () => {
    const vivid = { l: 50, a: 20, b: 120 }
    client.answer({
      'film.predictTable': (input) => ({
        cells: tableOf(input).cells.map((each) => ({ ...each, prediction: { ...each.prediction!, lab: vivid } })),
      }),
    })
    const host = await showPlan()
    expect(sayOf(host, '1 gold')).toBe('± 1.1 predicted')
    expect(cell(host, '1 gold')?.querySelector('.beyond-sign')).not.toBeNull()
    expect(host.querySelector('.plan-foot')?.textContent).toContain('outside what this screen can show')
  })

  it('says where nothing is known', async () => {
    client.answer({
      'film.predictTable': (input) => ({
        cells: tableOf(input).cells.map((each) => ({ ...each, prediction: null, sprayed: [] })),
      }),
    })
    const host = await showPlan()
    expect(sayOf(host, '1 gold')).toBe('not known')
  })

  it('says what a prediction is not, and that the screen is a preview, once', async () => {
    const host = await showPlan()
    const text = host.textContent ?? ''
    expect(text).toContain('A prediction is not a panel: spray a check panel.')
    expect(text.split('Screen preview: judge panel against part under the customer’s light.')).toHaveLength(2)
    for (const unknown of ['texture', 'travel with angle', 'bleed', 'a changed batch', 'a thin ground'])
      expect(text).toContain(unknown)
  })

  it('asks for the bare readings that are missing of the grounds across, and for no others', async () => {
    const host = await showPlan()
    const foot = () => host.querySelector('.plan-foot')?.textContent ?? ''
    expect(foot()).toContain('Not read bare under clear yet: copper.')
    expect(foot()).toContain('A strip without candy on the next panel pays most.')
    await act(async () => usePlan.setState({ grounds: ['gold', 'bright silver'] }))
    expect(foot()).not.toContain('Not read bare')
  })

  it('rows are added up to twelve', async () => {
    const host = await showPlan()
    for (let i = 0; i < 8; i++) await click(buttonSaying(host, 'More coats'))
    expect(host.querySelectorAll('[role=rowheader]')).toHaveLength(13)
    expect(client.askedOf('film.predictTable').at(-1)?.coats.at(-1)).toBe(12)
  })

  it('a failure stands over the table, with what to do', async () => {
    client.answer({
      'film.predictTable': () => {
        throw new Refusal('film/unknown-ground', 'No panel with copper has been read yet.', 'Photograph one.')
      },
    })
    const host = await showPlan()
    expect(host.querySelector('.plan-grid')?.textContent).toContain(
      'No panel with copper has been read yet. Photograph one.',
    )
  })
})

describe('walking the table', () => {
  it('arrow keys move, one cell takes the focus', async () => {
    const host = await showPlan()
    const at = () => host.querySelector('[role=gridcell][aria-selected=true]')?.getAttribute('data-cell')
    expect(host.querySelectorAll('[role=gridcell][tabindex="0"]')).toHaveLength(1)
    cell(host, '4 bright silver')?.focus()
    await press('ArrowRight')
    expect(at()).toBe('4 gold')
    expect(document.activeElement).toBe(cell(host, '4 gold'))
    await press('ArrowUp')
    expect(at()).toBe('3 gold')
    await press('Home')
    expect(at()).toBe('3 bright silver')
    await press('ArrowLeft')
    expect(at()).toBe('3 bright silver')
    await press('End', { ctrlKey: true })
    expect(at()).toBe('6 copper')
    await press('ArrowDown')
    expect(at()).toBe('6 copper')
  })

  it('a cell shows its figures, both bounds, how far outside it is, and the panels it rests on', async () => {
    const host = await showPlan()
    await click(cell(host, '5 copper'))
    await rest()
    const detail = host.querySelector('.plan-cell-detail')
    expect(host.querySelector('[role=tab][aria-selected=true]')?.textContent).toBe('Cell')
    expect(detail?.querySelector('h2')?.textContent).toBe('Over copper, 5 coats')
    expect(client.askedOf('film.predict').at(-1)).toEqual({ recipe: { formula: blend, ground: 'copper', coats: 5 } })
    expect(detail?.textContent).toContain('30.0, −20.0, −10.0')
    expect(detail?.querySelector('.plan-bounds')?.textContent).toBe(
      '± 1.5what this formula gives± 2.0what your next panel will read',
    )
    expect(detail?.textContent).toContain('Far beyond anything sprayed')
    expect(detail?.textContent).toContain('Over copper no more than 4 coats were read.')
    expect(detail?.querySelector('a[href="/panel/P-0116"]')).not.toBeNull()
    // copper was never read bare under clear: the strip comes with it
    expect(detail?.textContent).toContain('With a bare strip: copper was never read bare under clear.')
  })
})

describe('live', () => {
  it('one call at most is under way; the newest formula is asked next, those between never; old cells stay', async () => {
    const waiting: { give: () => void; carrier: number }[] = []
    const host = await showPlan()
    client.answer({
      'film.predictTable': (input) =>
        new Promise<Output<'film.predictTable'>>((resolve) => {
          waiting.push({ carrier: input.formula.carrierParts, give: () => resolve(tableOf(input)) })
        }),
    })
    const slide = (carrierParts: number) => act(async () => setFormula({ carrierParts }))
    for (const carrier of [7, 8, 9, 10]) await slide(carrier)
    expect(waiting.map(({ carrier }) => carrier)).toEqual([7])
    // what was there stays, and says that it is being worked on
    expect(sayOf(host, '1 gold')).toBe('± 1.1 predicted')
    expect(host.querySelector('[role=grid]')?.getAttribute('aria-busy')).toBe('true')
    waiting[0]!.give()
    await settle()
    expect(waiting.map(({ carrier }) => carrier)).toEqual([7, 10])
    waiting[1]!.give()
    await settle()
    expect(waiting).toHaveLength(2)
    expect(host.querySelector('[role=grid]')?.getAttribute('aria-busy')).toBe('false')
  })

  it('a change of the rack asks again', async () => {
    await showPlan()
    const before = client.askedOf('film.predictTable').length
    await act(async () => useStore.setState(({ rack }) => ({ rack: { ...rack!, revision: 8 } })))
    await settle()
    expect(client.askedOf('film.predictTable').length).toBe(before + 1)
  })
})

describe('an empty rack', () => {
  it('says what to do', async () => {
    client.answer({
      'film.describe': () => ({
        knows: {
          ...knows,
          candies: knows.candies.map((each) => ({ ...each, stepCount: 0 })),
          grounds: [],
          advice: [
            'Photograph a few panels of one candy over one ground, best in steps with a bare strip, and file them.',
          ],
        },
      }),
    })
    const host = await show(<PlanPlace formula={null} referenceId={null} />)
    expect(host.querySelector('h1')?.textContent).toBe('Nothing can be predicted yet')
    expect(host.textContent).toContain('Photograph a few panels of one candy over one ground')
    expect(host.textContent).toContain('P-0099')
    expect(buttonSaying(host, 'Go to the Tray')).toBeDefined()
    expect(client.askedOf('film.predictTable')).toEqual([])
  })

  it('begins to predict as soon as the first panel was read', async () => {
    const nothing = { ...knows, candies: [], grounds: [] }
    client.answer({ 'film.describe': () => ({ knows: nothing }) })
    const host = await show(<PlanPlace formula={null} referenceId={null} />)
    expect(host.querySelector('h1')?.textContent).toBe('Nothing can be predicted yet')
    const onlyGold = { ...knows, grounds: knows.grounds.filter(({ id }) => id === 'gold') }
    client.answer({ 'film.describe': () => ({ knows: onlyGold }) })
    await act(async () => useStore.setState(({ rack }) => ({ rack: { ...rack!, revision: 8 } })))
    await settle()
    expect(host.querySelector('h1')?.textContent).toBe('Tidewater in 6 carrier')
    expect(host.textContent).toContain('One ground only.')
  })

  it('a candy that the rack lost meanwhile leaves the formula', async () => {
    const host = await showPlan()
    const without = { ...knows, candies: knows.candies.filter(({ id }) => id !== 'juniper') }
    client.answer({ 'film.describe': () => ({ knows: without }) })
    await act(async () => useStore.setState(({ rack }) => ({ rack: { ...rack!, revision: 8 } })))
    await settle()
    expect(host.querySelector('h1')?.textContent).toBe('Tidewater in 6 carrier')
    expect(useStore.getState().notices.at(-1)?.message).toContain('a candy')
  })

  it('without a formula in the address it begins with the candy known best', async () => {
    await show(<PlanPlace formula={null} referenceId={null} />)
    expect(usePlan.getState().formula).toMatchObject({ candies: [{ id: 'tidewater', parts: 1 }], carrierParts: 6 })
  })

  it('a formula without candy shows the bare grounds and says so', async () => {
    const host = await show(<PlanPlace formula={{ ...blend, candies: [] }} referenceId={null} />)
    expect(host.textContent).toContain('There is no candy in it: the table shows the bare grounds.')
  })
})
