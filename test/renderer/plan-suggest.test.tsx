import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { PlanPlace } from '../../renderer/screens/plan/plan-place.tsx'
import { freshPlan, usePlan } from '../../renderer/state/plan.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { usualLimits } from '../../shared-core/records/film.ts'
import type { Reference } from '../../shared-core/records/reading.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, rest, settle, show, takeDown } from './mounting.ts'
import { blend, planAnswers, suggested } from './plan-rack.ts'
import { panel, panels, readings } from './sample-rack.ts'

const reference: Reference = {
  id: 'ref',
  name: 'Customer’s chip',
  notes: '',
  createdAt: '2031-05-01T10:00:00Z',
  readings: [{ ...readings[0]!, id: 'chip-reading', stepId: null, referenceId: 'ref' }],
}

let client: FakeClient
beforeEach(() => {
  client = prepare({
    ...planAnswers,
    'references.list': () => ({ references: [reference] }),
    'references.get': () => ({ reference }),
    'panels.get': () => ({ panel, summary: panels[26]!, readings, photos: [] }),
    'match.findNearest': ({ to }) => ({
      to: { ...readings[0]!, id: 'readingId' in to ? to.readingId : 'point' },
      matches: [],
      considered: 0,
    }),
  })
  usePlan.setState({ ...freshPlan }, true)
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point' } })
})
afterEach(takeDown)

const showPlan = async (referenceId: string | null = 'ref') => {
  const host = await show(<PlanPlace formula={blend} referenceId={referenceId} />)
  await rest()
  return host
}
async function select(host: ParentNode, label: string, value: string) {
  const field = [...host.querySelectorAll('label')]
    .find((each) => each.firstElementChild?.textContent === label)
    ?.querySelector('select')
  await act(async () => {
    field!.value = value
    field!.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await rest()
}
const tab = (host: ParentNode, name: string) =>
  click([...host.querySelectorAll('[role=tab]')].find((each) => each.textContent === name))

describe('suggestions', () => {
  it('ask for a colour first', async () => {
    const host = await showPlan(null)
    expect(client.askedOf('film.suggest')).toEqual([])
    expect(host.querySelector('.plan-suggest')?.textContent).toContain('Choose the colour that somebody wants')
    await select(host, 'Suggest for', 'ref')
    expect(client.askedOf('film.suggest')).toEqual([{ readingId: 'chip-reading', limits: usualLimits, count: 6 }])
    expect(usePlan.getState().referenceId).toBe('ref')
  })

  it('stand with reference and prediction touching, ± , words, recipe and why', async () => {
    const host = await showPlan()
    const row = host.querySelector('.plan-suggestion')
    expect([...(row?.querySelectorAll('[role=img]') ?? [])].map((paint) => paint.getAttribute('aria-label'))).toEqual([
      'Reference: Customer’s chip',
      'Predicted',
    ])
    expect(row?.textContent).toContain('0.4 ± 1.7 a trace darker')
    expect(row?.textContent).toContain('9 Tidewater : 2 Juniper in 8 carrier')
    expect(row?.textContent).toContain('over copper, 5 coats')
    expect(row?.textContent).toContain('Tidewater was never read over copper.')
    expect(host.querySelector('.plan-suggest')?.textContent).toContain(
      'A prediction is not a panel: spray a check panel.',
    )
  })

  it('set the sliders and show their cell; going back finds what was set before', async () => {
    const host = await showPlan()
    const before = history.length
    await click(buttonSaying(host, 'Set the sliders'))
    expect(usePlan.getState()).toMatchObject({
      formula: suggested.recipe.formula,
      cell: { ground: 'copper', coats: 5 },
    })
    expect(host.querySelector('h1')?.textContent).toBe('9 Tidewater : 2 Juniper in 8 carrier')
    expect(host.querySelector('[role=gridcell][aria-selected=true]')?.getAttribute('data-cell')).toBe('5 copper')
    expect(decodeURIComponent(location.pathname)).toBe('/plan/9*tidewater~2*juniper!in8/ref')
    expect(history.length).toBe(before + 1)
  })

  it('say when nothing comes near, and why', async () => {
    client.answer({
      'film.suggest': () => ({ suggestions: [], nothingNear: 'Too dark for any of your grounds.', considered: 900 }),
    })
    const host = await showPlan()
    expect(host.querySelector('.plan-suggest')?.textContent).toContain(
      'Nothing comes near. Too dark for any of your grounds.',
    )
  })

  it('failures stand with what to do', async () => {
    client.answer({
      'film.suggest': () => {
        throw new Refusal('film/knows-nothing', 'No candy was read yet.', 'Photograph a panel.')
      },
    })
    const host = await showPlan()
    expect(host.querySelector('.plan-suggest')?.textContent).toContain('No candy was read yet. Photograph a panel.')
  })

  it('keep to limits that are said in words; gun and reducer are those of the sliders', async () => {
    const host = await show(
      <PlanPlace formula={{ ...blend, reducerPercent: 5, gunSetupId: 'old' }} referenceId="ref" />,
    )
    await rest()
    expect(host.querySelector('.plan-limits')?.textContent).toContain(
      'With what is on the shelf: up to 3 candies, 12 parts, 6 coats, 4 to 12 carrier. With the gun and reducer set at the left.',
    )
    await click(buttonSaying(host, 'Change the limits'))
    await click(
      [...host.querySelectorAll('label.check')]
        .find((each) => each.textContent === 'On the shelf only')
        ?.querySelector('input'),
    )
    await click(
      [...host.querySelectorAll('label.check')].find((each) => each.textContent === 'gold')?.querySelector('input'),
    )
    await click(
      [...host.querySelectorAll('label.check')]
        .find((each) => each.textContent === 'Mid coats may be used')
        ?.querySelector('input'),
    )
    expect(host.querySelector('.plan-limits')?.textContent).toContain('Mid coats may be used.')
    await select(host, 'Carrier, from', '14')
    expect(client.askedOf('film.suggest').at(-1)?.limits).toEqual({
      ...usualLimits,
      onShelfOnly: false,
      useMidCoats: true,
      grounds: ['bright silver', 'copper'],
      carrierFrom: 14,
      carrierTo: 14,
      reducerPercent: 5,
      gunSetupId: 'old',
    })
  })

  it('are made for a panel’s best reading as well', async () => {
    const host = await showPlan(null)
    await select(host, 'Suggest for', `panel ${panels[0]!.code}`)
    expect(usePlan.getState().referenceId).toMatch(/^reading-reading-face-/)
    expect(client.askedOf('film.suggest').at(-1)?.readingId).toMatch(/^reading-face-/)
  })

  it('the shelf is ticked from their limits', async () => {
    const host = await showPlan()
    await click(buttonSaying(host, 'Change the limits'))
    await click(buttonSaying(host, 'What is on the shelf'))
    const dialog = host.querySelector('dialog')
    expect(dialog?.textContent).toContain('3 of 4 candies')
    await click(
      [...dialog!.querySelectorAll('label')].find((each) => each.textContent === 'Quince')?.querySelector('input'),
    )
    expect(client.askedOf('materials.setOnShelf')).toEqual([{ materialIds: ['quince'], onShelf: true }])
  })
})

describe('what to spray next', () => {
  it('is judged on the table, or on the whole rack, with the ± now and then', async () => {
    const host = await showPlan(null)
    await tab(host, 'Next')
    await rest()
    expect(client.askedOf('film.planNext').at(-1)?.about?.formula).toEqual(blend)
    const next = host.querySelector('.plan-next')
    expect(next?.textContent).toContain('Over copper, a bare strip, 2 and 4 coats')
    expect(next?.textContent).toContain('this table: ± 4.2 becomes ± 1.5')
    await click(buttonSaying(host, 'For the whole rack'))
    await rest()
    expect(client.askedOf('film.planNext').at(-1)?.about).toBeNull()
    expect(host.querySelector('.plan-next')?.textContent).toContain('No panel would teach more')
  })

  it('goes on the list with one call, and undo is told of', async () => {
    const host = await showPlan(null)
    await tab(host, 'Next')
    await rest()
    await click(buttonSaying(host, 'Put it on the list'))
    expect(client.askedOf('plan.addPanels')).toEqual([
      { panels: [{ ground: 'copper', formula: blend, coats: [0, 2, 4], title: '4 Tidewater : 1 Juniper' }] },
    ])
    expect(useStore.getState().notices.at(-1)).toMatchObject({
      message: 'A planned panel is on the list.',
      remedy: 'Undo takes it off again.',
    })
  })

  it('what is on the list already is not offered again', async () => {
    const planned = {
      ...panels[12]!,
      title: '4 Tidewater : 1 Juniper',
      ground: 'copper',
      bands: [0, 2, 4].map((coats) => ({ stepId: `s${coats}`, coats, lab: null, bound90: null, cut: null })),
    }
    client.answer({
      'panels.list': ({ filter }) =>
        filter.status === 'planned' ? { panels: [planned], total: 1 } : { panels: [], total: 0 },
    })
    const host = await showPlan(null)
    await tab(host, 'Next')
    await rest()
    expect(host.querySelector('.plan-next')?.textContent).toContain(`On the list: ${planned.code}`)
    expect(buttonSaying(host, 'Put it on the list')).toBeUndefined()
  })

  it('gaps are looked for when asked', async () => {
    const host = await showPlan(null)
    await tab(host, 'Next')
    expect(client.askedOf('film.findGaps')).toEqual([])
    await click(buttonSaying(host, 'Look for gaps'))
    await rest()
    expect(host.querySelector('.plan-gaps')?.textContent).toContain('11.2 from P-0042')
  })

  it('the formula becomes a planned panel for every ground that is ticked', async () => {
    const host = await showPlan(null)
    await click(buttonSaying(host.querySelector('.plan-formula')!, 'Put on the list'))
    const dialog = host.querySelector('dialog')!
    const box = (name: string) =>
      [...dialog.querySelectorAll('label')].find((each) => each.textContent === name)?.querySelector('input')
    await click(box('copper'))
    await click(box('3 coats'))
    await click(buttonSaying(dialog, 'Put 2 panels on the list'))
    const title = '4 Tidewater : 1 Juniper'
    expect(client.askedOf('plan.addPanels')).toEqual([
      {
        panels: [
          { ground: 'bright silver', formula: blend, coats: [0, 2, 3, 4], title },
          { ground: 'copper', formula: blend, coats: [0, 2, 3, 4], title },
        ],
      },
    ])
    expect(host.querySelector('dialog')).toBeNull()
  })

  it('a spray list is drawn of the planned panels that stay ticked, for the cup of the sliders, worded as the page is', async () => {
    useStore.setState({ settings: { ...defaultSettings, units: 'metric', decimal: 'comma' } })
    const host = await showPlan(null)
    const planned = panels.filter(({ status }) => status === 'planned')
    await click(buttonSaying(host, 'Print a spray list'))
    const dialog = host.querySelector('dialog')!
    expect(client.askedOf('panels.list').some(({ filter }) => filter.status === 'planned')).toBe(true)
    const boxes = [...dialog.querySelectorAll('input[type=checkbox]')]
    expect(boxes).toHaveLength(planned.length)
    await click(boxes[0])
    await click(buttonSaying(dialog, 'Save as PDF to print'))
    expect(client.askedOf('plan.drawSprayList')).toEqual([
      {
        panelIds: planned.slice(1).map(({ id }) => id),
        cupMl: 210,
        wording: { units: 'metric', decimal: 'comma' },
      },
    ])
  })
})

describe('doubts', () => {
  it('say what is missing, what does not fit and what is not counted', async () => {
    const host = await showPlan(null)
    await tab(host, 'Doubts')
    await settle()
    const text = host.querySelector('[role=tabpanel]')?.textContent ?? ''
    expect(text).toContain('120 steps of 31 panels that were read.')
    expect(text).toContain('Read copper bare under clear')
    expect(text).toContain('Read 19.8 from what its formula should give; ± 4.7 is allowed.')
    expect(text).toContain('Probably misread.')
    expect(text).toContain('P-0099 It has not been read yet.')
    expect(host.querySelector('[role=tabpanel] a[href="/panel/P-0054"]')).not.toBeNull()
  })
})
