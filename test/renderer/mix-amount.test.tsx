import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { MixPlace } from '../../renderer/screens/mix/mix-place.tsx'
import { newHabits, useMixing } from '../../renderer/state/mix-draft.ts'
import { type MixFrom, pathOf, readRoute } from '../../renderer/state/router.ts'
import { useStore } from '../../renderer/state/store.ts'
import { add, divide, fromNumber, hundred, multiply, toNumber } from '../../shared-core/mix/rational.ts'
import { gunKinds } from '../../shared-core/mix/surface/guns.ts'
import { sprayNeed } from '../../shared-core/mix/surface/spray-need.ts'
import { needInWords, workingLines } from '../../shared-core/mix/surface/working.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { type BenchRack, benchRack, candy, cupOf, job, unweighed, wantedOf } from './mix-rack.ts'
import { buttonSaying, click, prepare, rest, settle, show, takeDown, type } from './mounting.ts'

let rack: BenchRack
let client: FakeClient
beforeEach(() => {
  rack = benchRack()
  client = prepare(rack.answers)
  useMixing.setState({ drafts: {}, habits: newHabits })
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point', units: 'metric' } })
})
afterEach(takeDown)

const ofPanel: MixFrom = { kind: 'panel', key: 'P-0142' }
const ofJob: MixFrom = { kind: 'job', key: 'J-0007' }
const showAmount = (from: MixFrom) => show(<MixPlace cupId={null} from={from} />)

/** The field of a label that starts so. */
function field(host: ParentNode, label: string): HTMLInputElement {
  const found = [...host.querySelectorAll('label')].find((each) => each.textContent?.startsWith(label))
  return found!.querySelector('input')!
}
async function choose(host: ParentNode, label: string, value: string): Promise<void> {
  const found = [...host.querySelectorAll('label')].find((each) => each.textContent?.startsWith(label))
  const select = found!.querySelector('select')!
  await act(async () => {
    const own = Object.getOwnPropertyDescriptor(HTMLSelectElement.prototype, 'value')
    own?.set?.call(select, value)
    select.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}
const plan = (host: ParentNode) =>
  [...host.querySelectorAll('.mix-plan .mix-lines tbody tr')].map((row) =>
    [...row.querySelectorAll('td')].slice(0, 2).map((cell) => cell.textContent),
  )

describe('how much of a panel', () => {
  // 4 : 1 blend in 6 : 1 carrier: 210 mL = 24 + 6 + 180 mL (common practice, no source)
  it('scales the nested formula, with running totals', async () => {
    const host = await showAmount(ofPanel)
    expect(host.querySelector('.mix-plan')?.textContent).toBe('Say how much is wanted.')
    await choose(host, 'Scale or cup', 'Cup with marks, 1 mL')
    await type(field(host, 'Ready to spray'), '210')
    expect(plan(host)).toEqual([
      ['24 mL', '24 mL'],
      ['6 mL', '30 mL'],
      ['180 mL', '210 mL'],
    ])
  })

  it('reads any unit: 21 cl are 210 mL, by the scale with the densities', async () => {
    const host = await showAmount(ofPanel)
    await type(field(host, 'Ready to spray'), '21 cl')
    expect(plan(host)).toEqual([
      ['22.8 g', '22.8 g'],
      ['5.7 g', '28.5 g'],
      ['162.0 g', '190.5 g'],
    ])
  })

  it('speaks of the small cup and of what rounding does, to shares and to the colour', async () => {
    const host = await showAmount(ofPanel)
    await choose(host, 'Scale or cup', 'Cup with marks, 5 mL')
    await type(field(host, 'Ready to spray'), '70')
    await rest()
    const said = host.querySelector('.mix-plan')!.textContent
    // a seventieth of 35 parts: 8, 2 and 60 mL are 10, 5 and 60 with marks every 5 mL
    expect(plan(host).map(([amount]) => amount)).toEqual(['10 mL', '5 mL', '60 mL'])
    expect(said).toContain('Mix 1800 mL or more, or measure more finely.')
    expect(said).toContain('Rounding changes the colour by 0.40 dE00 over copper. Hardly to be seen.')
    expect(client.askedOf('cups.predictChange').at(-1)).toMatchObject({ ground: 'copper', coats: 4, mixture: candy })
  })

  it('divides it into equal cups when the cup is too small', async () => {
    const host = await showAmount(ofPanel)
    await type(field(host, 'Ready to spray'), '500')
    await type(field(host, 'Cup holds'), '400')
    expect(host.querySelector('.mix-plan')?.textContent).toContain('mix 2 equal cups of 226.8 g')
    await click(buttonSaying(host, 'Start 2 cups'))
    expect(client.askedOf('cups.start')).toMatchObject([
      { count: 2, target: { basis: 'mass' }, cupMl: 400, measure: { by: 'mass', step: 0.1 } },
    ])
    expect(useStore.getState().route).toEqual({ at: 'mix', cupId: 'C-0001', from: null })
  })

  it('uses up what the shelf says is left: 60 mL Tidewater fill 525 mL', async () => {
    const host = await showAmount(ofPanel)
    await choose(host, 'Scale or cup', 'Cup with marks, 1 mL')
    await click(buttonSaying(host, 'What is left'))
    await choose(host, 'Use up', 'Tidewater')
    expect(plan(host).at(-1)).toEqual(['450 mL', '525 mL'])
  })

  it('warns when the shelf has too little, and leads there', async () => {
    const host = await showAmount(ofPanel)
    await type(field(host, 'Ready to spray'), '600')
    expect(host.querySelector('.mix-short')?.textContent).toContain('The shelf has too little Tidewater')
    expect(host.querySelector('.mix-short a')?.getAttribute('href')).toBe('/shelf/m-tide')
  })

  it('puts reducer on top and warns by the tip', async () => {
    const host = await showAmount(ofPanel)
    await choose(host, 'Scale or cup', 'Cup with marks, 1 mL')
    await type(field(host, 'Ready to spray'), '231')
    await type(field(host, '% of everything else'), '10')
    expect(plan(host).at(-1)).toEqual(['21 mL', '231 mL'])
    expect(host.textContent).toContain('a full-size gun (1.3 mm tip) usually needs none')
  })

  it('mixes another layer of the panel, and starts a cup of it', async () => {
    const host = await showAmount(ofPanel)
    await choose(host, 'Which of its layers', '3')
    await choose(host, 'Scale or cup', 'Cup with marks, 1 mL')
    await type(field(host, 'Ready to spray'), '90')
    await click(buttonSaying(host, 'Start and print the card'))
    expect(client.askedOf('cups.start')[0]!.title).toMatch(/: clear$/)
    expect(client.askedOf('cups.drawCard')).toEqual([{ cupIds: ['cup-1'] }])
  })
})

describe('what is missing', () => {
  it('is said with a way to the shelf: a scale needs the density', async () => {
    client.answer({
      'customerJobs.get': () => ({
        job: { ...job, formula: { ...job.formula!, mixture: unweighed }, parts: [] },
        outcomes: [],
        cups: [],
      }),
    })
    const host = await showAmount(ofJob)
    await type(field(host, 'Ready to spray'), '210')
    // nobody has chosen: a marked cup can tell, and nothing is in the way
    expect(plan(host).at(-1)?.at(-1)).toBe('210 mL')
    await choose(host, 'Scale or cup', 'Scale, 0.1 g')
    expect(host.querySelector('.mix-plan')?.textContent).toContain('the density of Windfall is not known')
    expect(host.querySelector('.mix-links a')?.getAttribute('href')).toBe('/shelf/m-bare')
    expect(buttonSaying(host, 'Start the cup')?.getAttribute('aria-disabled')).toBe('true')
  })
})

describe('a surface', () => {
  it('is the sum of shared-core, line by line, from the job’s parts', async () => {
    const host = await showAmount(ofJob)
    await type(field(host, 'One coat, dry'), '8')
    // 24 + 6 mL at 20 % and 180 mL at 30 % volume solids, over 210 mL
    const solids = divide(
      add(multiply(fromNumber(30), fromNumber(20)), multiply(fromNumber(180), fromNumber(30))),
      multiply(fromNumber(210), hundred),
    )
    const gun = gunKinds.find(({ name }) => name === newHabits.gun)!
    const sprayJob = {
      parts: job.parts.map(({ name, areaM2, areaDoubt }) => ({ name, areaM2, doubt: areaDoubt })),
      coats: 4,
      build: { kind: 'dry' as const, micrometres: 8, solids },
      transfer: gun,
      losses: { hoseMl: 0, cupMl: 0, strainerMl: 0 },
    }
    const need = sprayNeed(sprayJob)
    // 1 m² at 1 µm is 1 mL (identity): 0.8 m² × 4 × 8 µm = 25.6 mL dry
    expect(toNumber(need.filmMl!)).toBeCloseTo(25.6, 10)
    const lines = [...host.querySelectorAll('.mix-working dd')].map((line) => line.textContent)
    expect(lines).toEqual(workingLines(sprayJob, need, 'metric', 'point').map(({ sum }) => sum))
    expect(host.querySelector('.mix-working + p')?.textContent).toBe(needInWords(need, 'metric', 'point'))
    // a part left out
    await click(host.querySelector('.mix-job-parts input'))
    expect(host.querySelector('.mix-working dd')?.textContent).toContain('0.3')
    await click(buttonSaying(host, 'Start the cup'))
    expect(client.askedOf('cups.start')).toMatchObject([{ customerJobId: 'job-1', count: 1 }])
    expect(client.askedOf('cups.start')[0]!.target.words).toContain('0.3 m², 4 coats, 65 % on the part: Mudguards')
  })

  it('says what may be typed and what counts until then, where a figure is none', async () => {
    const host = await showAmount(ofJob)
    const coats = field(host, 'Coats')
    await type(coats, '3')
    for (const wrong of ['abc', '0', '5000']) {
      await type(coats, wrong)
      expect(coats.getAttribute('aria-invalid')).toBe('true')
      expect(coats.closest('label')?.textContent).toMatch(/^Coats.*: a number from .* to .*; until then 3$/)
    }
    await type(coats, '2,5')
    expect(coats.closest('label')?.textContent).toBe('Coats (a cross coat is two)')
  })

  it('takes shapes and typed areas in any unit', async () => {
    const host = await showAmount(ofPanel)
    await click(buttonSaying(host, 'A surface'))
    await click(buttonSaying(host, 'Add a part'))
    await type(field(host, 'Area'), '9 ft²')
    // 1 ft = 304.8 mm exactly: 9 ft² = 0.836 127 36 m²
    expect(host.querySelector('.mix-part b')?.textContent).toBe('0.836 m² ± 5 %')
    await choose(host, 'Its area', 'door')
    expect(host.querySelector('.mix-plan')?.textContent).toContain('Width is missing')
    await type(field(host, 'Width'), '90 cm')
    await type(field(host, 'Height'), '60 cm')
    // 0.9 × 0.6 × 1.05 for its turned edges
    expect(host.querySelector('.mix-part b')?.textContent).toBe('0.567 m² ± 10 %')
  })
})

describe('the place', () => {
  it('offers a panel by words, a job, and a typed formula with an address', async () => {
    const host = await show(<MixPlace cupId={null} from={null} />)
    expect(host.querySelector('h1')?.textContent).toBe('No cup yet')
    const [search] = host.querySelectorAll('.mix-new input')
    await type(search, 'Juniper')
    await rest()
    expect(host.querySelectorAll('.mix-found li').length).toBeGreaterThan(1)
    await click(host.querySelector('.mix-found button'))
    expect(useStore.getState().route).toMatchObject({ at: 'mix', from: { kind: 'panel' } })
    await type(host.querySelector('.mix-formula input'), '4:1 Tidewater + Juniper in 6:1 carrier')
    await click(buttonSaying(host, 'By mass'))
    await click(buttonSaying(host, 'Say how much'))
    const { route } = useStore.getState()
    expect(readRoute(pathOf(route))).toEqual(route)
    expect(route).toMatchObject({ from: { kind: 'formula' } })
    await takeDown()
    const amount = await showAmount((route as { from: MixFrom }).from)
    expect(amount.querySelector('.mix-head')?.textContent).toContain('by mass')
    await click(buttonSaying(amount, 'Mass'))
    await type(field(amount, 'Ready to spray'), '210')
    expect(plan(amount).map(([grams]) => grams)).toEqual(['24.0 g', '6.0 g', '180.0 g'])
  })

  it('lists the cups under way before the recent ones', async () => {
    const mixed = { ...cupOf(wantedOf(candy, 210), 2), status: 'thrown-away' as const }
    client.answer(benchRack([cupOf(wantedOf(candy, 210), 1), mixed]).answers)
    const host = await show(<MixPlace cupId={null} from={null} />)
    const lists = [...host.querySelectorAll('.mix-cups section')].map((section) => section.textContent)
    expect(lists[0]).toContain('Under wayC-0001')
    expect(lists[0]).toContain('Not poured yet')
    expect(lists[1]).toContain('RecentC-0002')
  })
})
