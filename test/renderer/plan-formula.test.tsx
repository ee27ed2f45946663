import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { PlanPlace } from '../../renderer/screens/plan/plan-place.tsx'
import { freshPlan, setFormula, usePlan } from '../../renderer/state/plan.ts'
import { useStore } from '../../renderer/state/store.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, rest, show, takeDown, type } from './mounting.ts'
import { blend, planAnswers } from './plan-rack.ts'

let client: FakeClient
beforeEach(() => {
  client = prepare(planAnswers)
  usePlan.setState(freshPlan, true)
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point', units: 'metric' } })
})
afterEach(takeDown)

const showPlan = () => show(<PlanPlace formula={blend} referenceId={null} />)

describe('the formula', () => {
  const range = (host: ParentNode, label: string) => {
    const found = [...host.querySelectorAll('label')].find((each) => each.textContent === label)
    return found ? host.querySelector<HTMLInputElement>(`[id="${found.htmlFor}"]`) : null
  }
  const formula = () => usePlan.getState().formula!

  it('sliders are the browser’s own, with a name and ends, and the table follows them', async () => {
    const host = await showPlan()
    const slider = range(host, 'Tidewater, parts')
    expect(slider).toMatchObject({ type: 'range', min: '0', max: '12', step: '1', value: '4' })
    await type(slider, '7')
    expect(formula().candies[0]).toEqual({ id: 'tidewater', parts: 7 })
    expect(client.askedOf('film.predictTable').at(-1)?.formula.candies[0]?.parts).toBe(7)
    // a candy without a part would be no candy: it is taken out by its cross
    await type(range(host, 'Tidewater, parts'), '0')
    expect(formula().candies[0]?.parts).toBe(7)
  })

  it('minus, plus and typed figures do the same; what is no number is marked and not taken', async () => {
    const host = await showPlan()
    await click(buttonSaying(host, 'More: Carrier to 1 of blend'))
    expect(formula().carrierParts).toBe(7)
    const typed = host.querySelector<HTMLInputElement>('[aria-label="Carrier to 1 of blend, typed"]')
    await type(typed, '5,5')
    expect(formula().carrierParts).toBe(5.5)
    expect(host.querySelector('h1')?.textContent).toContain('in 5.5 carrier')
    await type(typed, 'six')
    expect(formula().carrierParts).toBe(5.5)
    expect(typed?.getAttribute('aria-invalid')).toBe('true')
    await click(buttonSaying(host, 'Less: Carrier to 1 of blend'))
    expect(formula().carrierParts).toBe(5)
  })

  it('says the limits of reducer, and warns above them', async () => {
    const host = await showPlan()
    expect(host.textContent).toContain('10 % the usual limit, up to 20 % with a 0.5 mm airbrush tip')
    await type(range(host, 'Reducer, on top'), '15')
    expect(host.textContent).toContain('10 % is the usual limit')
    expect(host.querySelector('h1')?.nextElementSibling?.textContent).toBe(
      'By volume, under clear, reducer 15 % on top.',
    )
  })

  it('the cup in parts, and what its size comes to', async () => {
    // 4 : 1 in 6 : 1 is 24 + 6 + 180 of 210 mL (common practice, no source)
    const host = await showPlan()
    const cup = host.querySelector('[aria-label="The cup"]')
    expect(cup?.querySelector('[role=img]')?.getAttribute('aria-label')).toBe(
      'Of 35 parts, 4 Tidewater, 1 Juniper, 30 carrier',
    )
    expect([...(cup?.querySelectorAll('.plan-amounts li') ?? [])].map((row) => row.textContent)).toEqual([
      'Tidewater24 mL',
      'Juniper6 mL',
      'carrier180 mL',
    ])
  })

  it('a size that no cup has is marked, with what a cup may be and what counts until then', async () => {
    const host = await showPlan()
    const cup = host.querySelector('[aria-label="The cup"]')!
    const size = cup.querySelector('input')!
    await act(async () => size.focus())
    await type(size, '300 mL')
    await type(size, '99999 L')
    expect(usePlan.getState().cupMl).toBe(300)
    expect(size.getAttribute('aria-invalid')).toBe('true')
    expect(size.closest('label')?.textContent).toBe(
      'Size of the cup, everything poured: from 5 mL to 20000 mL; until then 300 mL',
    )
    await type(size, 'much')
    expect(size.closest('label')?.textContent).toMatch(/^Size of the cup, everything poured: write it like /)
  })

  it('a candy is added from the list and taken out by its cross', async () => {
    const host = await showPlan()
    await click(buttonSaying(host, 'Add a candy'))
    const rows = [...host.querySelectorAll('.plan-candies button')].map((row) => row.textContent)
    expect(rows).toEqual([
      'Quince± 1.3; 6 steps over bright silver and gold, up to 4 coatsnot on the shelf',
      'NightjarNever read: nothing can be predicted with it yet.on the shelf',
    ])
    await click(host.querySelector('.plan-candies button'))
    expect(host.querySelector('dialog')).toBeNull()
    expect(formula().candies.at(-1)).toEqual({ id: 'quince', parts: 1 })
    await click(buttonSaying(host, 'Take out Tidewater, parts'))
    expect(formula().candies.map(({ id }) => id)).toEqual(['juniper', 'quince'])
  })

  it('mid coats, gun and finish are set, each with what is known of it', async () => {
    const host = await showPlan()
    const select = async (label: string, value: string) => {
      const field = [...host.querySelectorAll('label')]
        .find((each) => each.firstElementChild?.textContent === label)
        ?.querySelector('select')
      await act(async () => {
        field!.value = value
        field!.dispatchEvent(new Event('change', { bubbles: true }))
      })
    }
    await select('Mid coat under the candy', 'hoarfrost')
    await select('Gun set-up', 'old')
    await click(buttonSaying(host, 'As sprayed'))
    expect(formula()).toMatchObject({
      under: { id: 'hoarfrost', coats: 2 },
      gunSetupId: 'old',
      finish: 'uncleared',
    })
    expect(host.textContent).toContain('Hoarfrost pearl was never read under candy.')
    expect(host.textContent).toContain('20 to 25 % carrier, two coats, three at most')
    expect(host.textContent).toContain('One coat builds as much as 1.24 of the usual gun (1.12 to 1.37; from 8 steps).')
  })

  it('the address follows once the sliders rest, and an address sets the sliders', async () => {
    await showPlan()
    history.replaceState(null, '', '/plan')
    for (const carrierParts of [7, 8, 9]) await act(async () => setFormula({ carrierParts }))
    expect(location.pathname).toBe('/plan')
    await rest()
    expect(decodeURIComponent(location.pathname)).toBe('/plan/4*tidewater~1*juniper!in9')
  })

  it('what an old address names and the rack has not is left out, and said', async () => {
    await show(
      <PlanPlace
        formula={{ ...blend, candies: [...blend.candies, { id: 'gone', parts: 2 }], gunSetupId: 'gone' }}
        referenceId={null}
      />,
    )
    expect(formula()).toEqual(blend)
    expect(useStore.getState().notices.at(-1)?.message).toContain('a candy and a gun set-up')
  })
})
