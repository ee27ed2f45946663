import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { bestReading } from '../../renderer/parts/best-reading.ts'
import { coatsFromTop } from '../../renderer/screens/panel/build/coats-from-top.ts'
import { factsOf } from '../../renderer/screens/panel/build/how-it-went-on.tsx'
import { frameOf } from '../../renderer/screens/panel/framing.ts'
import { PanelPlace } from '../../renderer/screens/panel/panel-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { defaultSettings, type Settings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, show, takeDown, type } from './mounting.ts'
import { lights, panel, panels, readings, shown } from './sample-rack.ts'

const near = (i: number, de00: number) => ({
  panel: panels[i]!,
  stepId: 'step',
  coats: 4,
  reading: { ...readings[0]!, id: `near-${i}-${de00}` },
  de00,
  bound90: 1.2,
  words: 'a little lighter',
  couldBeSame: de00 < 2,
  unlike: [],
  combined: null,
  candyLayers: [],
  chanceSame: 0.2,
  unlikeness: 0,
  metamerism: null,
  coarseness: null,
  why: [],
})
const table: Answers = {
  'panels.get': () => shown,
  // the panel itself, and one neighbour with two steps: three other panels are to be shown, each once
  'match.findNearest': () => ({
    to: readings[0]!,
    considered: 60,
    matches: [near(26, 0.2), near(3, 0.6), near(3, 0.9), near(14, 2.1), near(40, 2.4), near(41, 3)],
  }),
  'history.list': () => ({ entries: [], next: null }),
  'readings.remove': () => ({}),
  'readings.addTyped': () => ({ reading: readings[0]! }),
  'panels.remove': () => ({}),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  useStore.setState({ route: { at: 'panel', key: panel.code }, lights })
})
afterEach(takeDown)

const settings: Settings = { ...defaultSettings, decimal: 'point', units: 'metric' }

describe('a panel', () => {
  it('says what it is, from substrate to clear', async () => {
    const host = await show(<PanelPlace panelKey={panel.code} />)
    expect(host.querySelector('h1')?.textContent).toBe('P-0142 Kestrel')
    const build = [...host.querySelectorAll('.panel-build li')].map((row) => row.querySelector('b')?.textContent)
    expect(build).toEqual(['Clear', 'Candy', 'Ground, copper', 'Sealer, mid grey', 'Steel, 100 × 200 mm'])
    // 4 : 1 in 6 : 1 is 4, 1 and 30 of 35 parts (common practice, no source)
    const bar = host.querySelector('.panel-parts-bar')?.getAttribute('aria-label')
    expect(bar).toBe('Of 35 parts, 4 Ember, 1 Kestrel, 30 carrier')
  })

  it('opens a reading: its ± in words, largest first, and its cautions', async () => {
    const host = await show(<PanelPlace panelKey={panel.code} />)
    await click(buttonSaying(host, '4 coats: what this reading is made of'))
    const parts = [...host.querySelectorAll('.panel-detail li')].map((part) => part.textContent)
    expect(parts).toEqual([
      '0.6 the grey card alone stands for the whole camera',
      '0.2 grain and flake inside the area',
    ])
    expect(host.querySelector('.panel-detail .warn')?.textContent).toContain('Blue is at 0')
    await click(buttonSaying(host, 'Find near this'))
    expect(useStore.getState().route).toEqual({ at: 'match', referenceId: 'reading-reading-face-4' })
  })

  it('removes a reading and says how to get it back', async () => {
    const host = await show(<PanelPlace panelKey={panel.code} />)
    await click(buttonSaying(host, 'bare: what this reading is made of'))
    await click(buttonSaying(host, 'Remove'))
    expect(client.askedOf('readings.remove')).toEqual([{ readingId: 'reading-face-0' }])
    expect(useStore.getState().notices[0]?.remedy).toContain('Undo')
  })

  it('shows the three nearest other panels, each once', async () => {
    const host = await show(<PanelPlace panelKey={panel.code} />)
    const codes = [...host.querySelectorAll('.panel-near li b')].map((code) => code.textContent)
    expect(codes).toEqual([3, 14, 40].map((i) => panels[i]!.code))
  })

  it('adds a typed colour, comma or point, and refuses what is no number beside its field', async () => {
    const host = await show(<PanelPlace panelKey={panel.code} />)
    await click(buttonSaying(host, 'Add a typed colour'))
    const form = host.querySelector('form.typed')!
    const at = (name: string) => form.querySelector<HTMLInputElement>(`[name=${name}]`)
    await type(at('l'), '44,8')
    await type(at('a'), '52.9')
    await type(at('b'), 'much')
    await click(buttonSaying(form, 'Add to P-0142'))
    expect(at('b')?.getAttribute('aria-invalid')).toBe('true')
    expect(form.querySelector('[role=alert]')?.textContent).toContain('“much” at b is not a number.')
    expect(client.askedOf('readings.addTyped')).toEqual([])
    await type(at('b'), '−5')
    await click(buttonSaying(form, 'Add to P-0142'))
    expect(client.askedOf('readings.addTyped')).toEqual([
      {
        stepId: 'panel-27-s4',
        lab: { l: 44.8, a: 52.9, b: -5 },
        illuminant: 'D50',
        observer: '2',
        geometry: '45:0',
        bound90: null,
        view: 'face',
        stage: 'cleared',
        lightId: null,
      },
    ])
  })

  it('goes to the trash, and the place goes back to the rack', async () => {
    const host = await show(<PanelPlace panelKey={panel.code} />)
    await click(buttonSaying(host, 'Move to trash'))
    expect(client.askedOf('panels.remove')).toEqual([{ panelId: panel.id }])
    expect(useStore.getState().route).toEqual({ at: 'rack' })
  })

  it('that is not there is said in words', async () => {
    client.answer({
      'panels.get': () => {
        throw new Refusal('panel/absent', 'There is no panel P-0142 in this rack.', 'Look for it in the rack.')
      },
    })
    const host = await show(<PanelPlace panelKey={panel.code} />)
    expect(host.textContent).toContain('There is no panel P-0142 in this rack. Look for it in the rack.')
  })
})

describe('its parts', () => {
  it('the best reading is cleared, of the face, with the most coats, and the surest', () => {
    const best = bestReading(
      [
        { ...readings[4]!, id: 'wet', stage: 'wet', bound90: 0.1 },
        { ...readings[4]!, id: 'glare', view: 'near-glare', bound90: 0.1 },
        { ...readings[3]!, id: 'fewer', bound90: 0.1 },
        { ...readings[4]!, id: 'unsure', bound90: 3 },
        { ...readings[4]!, id: 'best', bound90: 1 },
      ],
      panel.steps,
    )
    expect(best?.id).toBe('best')
    expect(bestReading([], panel.steps)).toBeNull()
  })

  it('each coat is drawn as the first step that has it', () => {
    const ladder = panels[4]!.bands // bare, 2, 4
    expect(coatsFromTop(4, ladder).map((band) => band.coats)).toEqual([4, 4, 2, 2])
    // coats beyond what any step shows are not invented
    expect(coatsFromTop(6, ladder)).toEqual([])
  })

  it('gun and booth are said in the user’s units', () => {
    const candy = panel.layers[2]!
    const metric = new Map(factsOf(candy, settings))
    const us = new Map(factsOf(candy, { ...settings, units: 'us' }))
    // 16 psi are 1.10 bar and 110.3 kPa, 21 °C are 70 °F; 1 psi = 6.894757 kPa: NIST SP 811, appendix B.8
    expect([metric.get('Inlet'), us.get('Inlet')]).toEqual(['1.10 bar, trigger pulled', '16 psi, trigger pulled'])
    expect([metric.get('Booth'), us.get('Booth')]).toEqual(['21 °C, 48 %', '70 °F, 48 %'])
    expect(metric.has('Cap')).toBe(false)
  })

  it('a photo is framed to what is marked on it, within the photo', () => {
    const photo = shown.photos[0]!
    const frame = frameOf(photo.layout, photo)
    expect(frame.x).toBeLessThan(700)
    expect(frame.x + frame.width).toBeGreaterThan(2650)
    expect(frame.y).toBeGreaterThanOrEqual(0)
    expect(frame.x + frame.width).toBeLessThanOrEqual(photo.width)
    expect(frameOf({ areas: [], card: null }, photo)).toEqual({ x: 0, y: 0, width: 3000, height: 4000 })
  })
})
