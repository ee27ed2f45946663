import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { commands } from '../../renderer/commands/all.ts'
import { PanelPlace } from '../../renderer/screens/panel/panel-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { knownGround } from '../../shared-core/film/ground-of-panel.ts'
import type { LeftOut, Suspect } from '../../shared-core/records/film.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { noFilter, type Panel } from '../../shared-core/records/panel.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, rest, show, takeDown } from './mounting.ts'
import { cellOf, knows, planAnswers, prediction } from './plan-rack.ts'
import { lights, listed, panel, panels, readings, shown } from './sample-rack.ts'

/** The film model's answers are invented: how the place tells them is what is looked at. */

const glare = readings.find(({ view }) => view === 'near-glare')!
const suspect = (change: Partial<Suspect>): Suspect => ({
  panelId: panel.id,
  code: panel.code,
  stepId: readings[0]!.stepId!,
  coats: 0,
  readingId: readings[0]!.id,
  read: { l: 64.5, a: 0, b: -2 },
  expected: { l: 38.3, a: -0.4, b: -0.7 },
  de00: 26,
  allowed90: 4.7,
  reason: 'misread',
  words: 'Probably misread. Photograph it again with the card.',
  ...change,
})

let client: FakeClient
const open = async (answers: Answers) => {
  client = prepare({
    ...planAnswers,
    'panels.get': () => shown,
    'match.findNearest': () => ({ to: readings[0]!, considered: 0, matches: [] }),
    'history.list': () => ({ entries: [], next: null }),
    ...answers,
  })
  useStore.setState({
    route: { at: 'panel', key: panel.code },
    lights,
    settings: { ...defaultSettings, decimal: 'point', units: 'metric' },
  })
  const host = await show(<PanelPlace panelKey={panel.code} />)
  await rest()
  return host
}
const holding = (suspects: Suspect[], leftOut: LeftOut[] = []) =>
  open({
    'film.listSuspects': () => ({ suspects }),
    'film.describe': () => ({ knows: { ...knows, leftOut } }),
  })
afterEach(takeDown)

describe('a reading that does not fit', () => {
  it('is said beside it: both colours, how far apart, why, what to do, and that it counts less', async () => {
    const host = await holding([suspect({}), suspect({ panelId: 'other', readingId: 'elsewhere', words: 'Not here.' })])
    const notes = [...host.querySelectorAll('.panel-misfit')]
    expect(notes).toHaveLength(1)
    const [note] = notes
    // in the row right under the figures of its own step
    const before = note?.closest('tr')?.previousElementSibling
    const figures = before?.classList.contains('panel-note-row') ? before.previousElementSibling : before
    expect(figures?.querySelector('button')?.getAttribute('aria-label')).toContain('bare')
    for (const words of [
      'Does not fit the rest of the rack',
      '64.5, 0.0, −2.0',
      '38.3, −0.4, −0.7',
      'Read 26.0 from what its formula should give; ± 4.7 is allowed.',
      'Photograph it again with the card.',
      'It stays on the rack; in predictions it counts less than readings that fit.',
    ])
      expect(note?.textContent).toContain(words)
    const paints = [...(note?.querySelectorAll('[role=img]') ?? [])].map((each) => each.getAttribute('aria-label'))
    expect(paints).toEqual(['As it was read', 'Predicted from the rest of the rack'])
  })

  it('leads to its photo when it was misread, and to the form when the formula is in doubt', async () => {
    const host = await holding([suspect({})])
    await click(buttonSaying(host, 'Look at its photo'))
    expect(useStore.getState().route).toEqual({ at: 'tray', photoId: 'photo-1' })
    await takeDown()
    const other = await holding([suspect({ reason: 'thin', words: 'Count the coats again.' })])
    expect(buttonSaying(other, 'Look at its photo')).toBeUndefined()
    await click(buttonSaying(other, 'Correct what is written down'))
    expect(useStore.getState().route).toEqual({ at: 'panel-form', key: panel.code })
  })

  it('is in sight in a table that is closed otherwise, and can be put away', async () => {
    const calm = await holding([])
    expect(calm.querySelector('details')?.open).toBe(false)
    expect(calm.querySelector('.panel-misfit')).toBeNull()
    await takeDown()
    const host = await holding([suspect({ readingId: glare.id, stepId: glare.stepId!, coats: 4 })])
    const details = host.querySelector('details')!
    expect(details.open).toBe(true)
    await act(async () => {
      details.open = false
      details.dispatchEvent(new Event('toggle'))
    })
    expect(host.querySelector('details')?.open).toBe(false)
  })

  it('and a step that predictions do without says so, with the reason', async () => {
    const why = 'Its ground was not written down.'
    const out = (i: number): LeftOut => ({
      panelId: panel.id,
      code: panel.code,
      stepId: panel.steps[i]!.id!,
      why,
    })
    const some = await holding([], [out(1), out(2), { ...out(3), panelId: 'other', stepId: 'elsewhere', why: 'No.' }])
    expect(some.textContent).toContain(
      `Predictions do without ${panel.steps[1]!.coats} and ${panel.steps[2]!.coats} coats: ${why}`,
    )
    expect(some.textContent).not.toContain('No.')
    await takeDown()
    const all = await holding(
      [],
      panel.steps.map((_, i) => out(i)),
    )
    expect(all.textContent).toContain(`Predictions do without this panel: ${why}`)
  })
})

const cup: Mixture = {
  name: '',
  basis: 'volume',
  parts: [
    { amount: 1, unit: 'parts', material: { id: 'tidewater', name: 'Tidewater', kind: 'concentrate' }, mixture: null },
    { amount: 6, unit: 'parts', material: { id: null, name: 'carrier', kind: 'carrier' }, mixture: null },
  ],
}
const plannedPanel: Panel = {
  ...panel,
  status: 'planned',
  sprayedOn: null,
  layers: panel.layers.map((layer) =>
    layer.kind === 'candy'
      ? { ...layer, mixture: cup }
      : layer.kind === 'ground'
        ? { ...layer, name: ' Gold ' }
        : layer,
  ),
  steps: [4, 0, 5].map((coats) => ({ id: `planned-${coats}`, coats, notes: '' })),
}
const openPlanned = (change: Partial<Panel> = {}, answers: Answers = {}) =>
  open({
    'panels.get': () => ({
      panel: { ...plannedPanel, ...change },
      summary: { ...panels[26]!, status: 'planned' },
      readings: [],
      photos: [],
    }),
    ...answers,
  })

describe('a planned panel', () => {
  beforeEach(() => localStorage.clear())

  it('shows what each step should come out as, marked as predicted, with how far the panel may read from it', async () => {
    const host = await openPlanned()
    const { formula, grounds, coats } = client.askedOf('film.predictTable')[0]!
    expect(formula).toMatchObject({ candies: [{ id: 'tidewater', parts: 1 }], carrierParts: 6, finish: 'cleared' })
    expect([grounds, coats]).toEqual([['gold'], [0, 4, 5]])
    const rows = [...host.querySelectorAll('.panel-predicted-steps > li')]
    expect(rows.map((row) => row.querySelector('[role=img]')?.getAttribute('aria-label'))).toEqual([
      'bare, predicted',
      '4 coats, predicted',
      '5 coats, predicted',
    ])
    // the bound of the next panel, which is the wider one
    for (const row of rows) expect(row.textContent).toContain('predicted ± 2.0')
    expect(rows[1]?.textContent).toContain('Sprayed already: P-0116')
    expect(rows[1]?.textContent).not.toContain('beyond')
    expect(rows[2]?.textContent).toContain('beyond anything sprayed')
    const text = host.querySelector('.panel-predicted')?.textContent ?? ''
    expect(text).toContain('Over gold no more than 4 coats were read.')
    expect(text).toContain('A prediction is not a panel: spray a check panel.')
    // nothing was read: nothing is held against it
    expect(client.askedOf('film.listSuspects')).toEqual([])
  })

  it('says why nothing can be predicted of it', async () => {
    const nowhere = await openPlanned({
      layers: plannedPanel.layers.map((layer) => (layer.kind === 'ground' ? { ...layer, name: 'gunmetal' } : layer)),
    })
    expect(nowhere.querySelector('.panel-predicted')?.textContent).toContain('No panel over gunmetal was read yet.')
    await takeDown()
    const unwritten = await openPlanned({
      layers: plannedPanel.layers.map((layer) => (layer.kind === 'candy' ? { ...layer, mixture: null } : layer)),
    })
    const text = unwritten.querySelector('.panel-predicted')?.textContent
    expect(text).toContain('The formula of its candy was not written down.')
    expect(client.askedOf('film.predictTable')).toEqual([])
  })

  it('says of a step that the rack knows nothing of it', async () => {
    const cells = [4, 0, 5].map((coats) => ({
      ...cellOf('gold', coats),
      sprayed: [],
      prediction: coats === 5 ? null : prediction(),
    }))
    const host = await openPlanned({}, { 'film.predictTable': () => ({ cells }) })
    expect(host.querySelector('.panel-predicted-steps > li:last-child')?.textContent).toContain('5 coats, not known')
  })

  it('prints a spray list of itself, and of others when they are ticked', async () => {
    const own = panels.find(({ status }) => status === 'planned')!
    const host = await openPlanned({ id: own.id }, { 'panels.list': ({ filter }) => listed(filter) })
    await click(buttonSaying(host, 'Print a spray list'))
    const dialog = host.querySelector('dialog')!
    const ticked = [...dialog.querySelectorAll<HTMLInputElement>('input[type=checkbox]')].filter((box) => box.checked)
    expect(ticked.map((box) => box.closest('label')?.querySelector('b')?.textContent)).toEqual([own.code])
    const other = listed({ ...noFilter, status: 'planned' }).panels.find(({ id }) => id !== own.id)!
    const boxOf = (code: string) =>
      [...dialog.querySelectorAll('label')].find((label) => label.querySelector('b')?.textContent === code)
    await click(boxOf(other.code)?.querySelector('input'))
    await click(buttonSaying(dialog, 'Save as PDF to print'))
    const asked = client.askedOf('plan.drawSprayList')
    expect(new Set(asked[0]?.panelIds)).toEqual(new Set([own.id, other.id]))
    expect(asked[0]?.wording).toEqual({ units: 'metric', decimal: 'point' })
    expect(host.querySelector('dialog')).toBeNull()
  })

  it('that was sprayed has no spray list, and says so', async () => {
    const host = await open({})
    expect(buttonSaying(host, 'Print a spray list')).toBeUndefined()
    expect(host.querySelector('.panel-predicted')).toBeNull()
    const command = commands.find(({ id }) => id === 'panel.printSprayList')
    expect(command?.missing(useStore.getState())).toContain('sprayed already')
  })
})

describe('the ground that the rack knows for what was written down', () => {
  const several = [
    { ...knows.grounds[0]!, id: 'gold over light grey', name: 'gold over light grey', stepCount: 4 },
    { ...knows.grounds[0]!, id: 'gold over black', name: 'gold over black', stepCount: 9 },
  ]
  it('is found by its name, however it is spaced, and by its undercoat where there are several', () => {
    expect(knownGround({ name: 'Bright  Silver', undercoat: 'grey' }, knows.grounds)?.id).toBe('bright silver')
    expect(knownGround({ name: 'Gold', undercoat: 'Light Grey' }, several)?.id).toBe('gold over light grey')
  })
  it('is the one that was read most where the undercoat is not said, and none where that one is new', () => {
    expect(knownGround({ name: 'gold', undercoat: null }, several)?.id).toBe('gold over black')
    expect(knownGround({ name: 'gold', undercoat: 'white' }, several)).toBeNull()
    expect(knownGround({ name: 'old gold', undercoat: null }, knows.grounds)).toBeNull()
  })
})
