import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { PanelPlace } from '../../renderer/screens/panel/panel-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { Reading, Texture } from '../../shared-core/records/reading.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, show, takeDown } from './mounting.ts'
import { lights, panel, readings, shown } from './sample-rack.ts'

/** Readings of single steps, by the coats that they show. */
const of = (coats: number) => readings.find((one) => one.id === `reading-face-${coats}`)!
const again = (id: string, coats: number, change: Partial<Reading>): Reading => ({
  ...of(coats),
  cautions: [],
  id,
  photoId: `photo-${id}`,
  ...change,
})
const lighter = (reading: Reading, l: number) => ({ ...reading.lab, l: reading.lab.l + l })
const photo = (id: string, name: string): Photo => ({ ...shown.photos[0]!, id, name })

let client: FakeClient
const showing = (change: Partial<Output<'panels.get'>>) => {
  client = prepare({
    'panels.get': () => ({ ...shown, ...change }),
    'match.findNearest': () => ({ to: readings[0]!, considered: 0, matches: [] }),
    'history.list': () => ({ entries: [], next: null }),
    'setups.list': () => ({ setups: [] }),
    'readings.remove': () => ({}),
  })
  useStore.setState({
    route: { at: 'panel', key: panel.code },
    lights,
    settings: { ...defaultSettings, decimal: 'point' },
  })
  return show(<PanelPlace panelKey={panel.code} />)
}
beforeEach(() => {
  client = prepare({})
})
afterEach(takeDown)

const own = {
  parts: [{ cause: 'noise', de00: 1, words: 'grain' }],
  bound90: 1,
  photoId: null,
  level: 'instrument' as const,
}

describe('a step', () => {
  it('opens and closes where the browser answers scrolling into sight with a promise', async () => {
    const scrolling = vi.spyOn(Element.prototype, 'scrollIntoView').mockReturnValue(Promise.resolve() as never)
    try {
      const host = await showing({})
      const button = () => host.querySelector('.panel-open-reading')
      await click(button())
      expect(host.querySelectorAll('.panel-detail')).toHaveLength(1)
      await click(button())
      expect(host.querySelectorAll('.panel-detail')).toHaveLength(0)
      expect(button()).not.toBeNull()
    } finally {
      scrolling.mockRestore()
    }
  })
})

describe('repeated readings of a step', () => {
  const three = [0.3, 0, -0.3].map((l, i) =>
    again(`n${i}`, 2, {
      ...own,
      lab: lighter(of(2), l),
      instrument: `meter ${i}`,
      takenAt: `2031-06-0${i + 1}T09:00:00Z`,
    }),
  )

  it('stand as their mean with its bound, the single ones beneath when it is opened', async () => {
    const host = await showing({ readings: [...three, of(4)] })
    const row = [...host.querySelectorAll('.panel-table tbody tr')].find((tr) => tr.textContent?.startsWith('2'))!
    // three of ±1, each for itself: 1 / √3
    expect([...row.querySelectorAll('td')].at(-1)?.textContent).toBe((1 / Math.sqrt(3)).toFixed(1))
    expect([...row.querySelectorAll('td')][1]?.textContent).toBe(of(2).lab.l.toFixed(1))
    expect(row.nextElementSibling?.textContent).toContain('Mean of 3 readings')
    expect(host.querySelectorAll('.panel-single')).toHaveLength(0)
    await click(buttonSaying(host, '2 coats: what these 3 readings are made of'))
    const singles = [...host.querySelectorAll<HTMLElement>('.panel-single')]
    expect(singles.map((one) => one.querySelector('b')?.textContent)).toEqual(['meter 2', 'meter 1', 'meter 0'])
    expect(host.querySelector('.panel-detail')?.textContent).toContain('more readings make it smaller')
    await click(singles[1])
    await click(buttonSaying(host, 'Remove'))
    expect(client.askedOf('readings.remove')).toEqual([{ readingId: 'n1' }])
  })

  it('an outlier is said to be one, with how far off it is and how far it should be', async () => {
    const off = again('off', 2, { ...own, lab: lighter(of(2), 15), instrument: 'lent meter' })
    const host = await showing({ readings: [...three, off] })
    expect(host.querySelector('.panel-note-row')?.textContent).toContain('Mean of 3 readings, 1 left out')
    await click(buttonSaying(host, '2 coats: what these 4 readings are made of'))
    const single = [...host.querySelectorAll('.panel-single')].find((one) => one.textContent?.includes('lent meter'))
    // its own ±1 and 1 / √3 of the mean: 1.2
    expect(single?.textContent).toMatch(/Outlier, left out: 1\d\.\d off, 1\.2 expected/)
    expect(host.querySelectorAll('.panel-outlier')).toHaveLength(1)
  })

  it('two that do not fit are both said to disagree', async () => {
    const other = again('other', 2, { ...own, lab: lighter(of(2), 12), instrument: 'lent meter' })
    const host = await showing({ readings: [three[0]!, other] })
    expect(host.querySelector('.panel-note-row')?.textContent).toContain('2 readings that disagree')
    await click(buttonSaying(host, '2 coats: what these 2 readings are made of'))
    expect(host.querySelector('.panel-detail .warn')?.textContent).toMatch(
      /These two disagree: \d+\.\d apart, where 1\.4 was to be expected\. Read the step once more/,
    )
    expect(host.querySelectorAll('.panel-outlier')).toHaveLength(0)
  })
})

describe('what a reading says of itself', () => {
  it('photos of one view, light and stage are told apart by their names', async () => {
    const photos = [photo('photo-1', 'first.jpg'), photo('photo-later', 'later.jpg')]
    const host = await showing({ photos, readings: [of(1), again('later', 3, {})] })
    const notes = [...host.querySelectorAll('.panel-note-row .fine')].map((note) => note.textContent)
    expect(notes).toEqual(['first.jpg', 'later.jpg'])
    expect(host.querySelector('.panel-group-name')?.textContent).toContain('2 readings from 2 photos')
    expect([...host.querySelectorAll('.panel-photo-name')].map((name) => name.textContent)).toEqual([
      'first.jpg',
      'later.jpg',
    ])
  })

  it('uneven film or light stands at its step, what all steps have once above them', async () => {
    const uneven = { code: 'x/uneven', message: 'Uneven film or uneven light.', remedy: 'Turn the panel.' }
    const tiny = { code: 'x/tiny', message: 'The area is small.', remedy: 'Go nearer.' }
    const note = { code: 'x/note', message: 'Read as sRGB.', remedy: '', weight: 'note' as const }
    const plain = [1, 2, 3].map((coats) => again(`c${coats}`, coats, { photoId: 'photo-1', cautions: [tiny, note] }))
    plain[1] = { ...plain[1]!, cautions: [tiny, uneven] }
    const host = await showing({ readings: plain })
    const warned = [...host.querySelectorAll('.panel-row-warn')].map((one) => one.textContent)
    expect(warned).toEqual(['All steps: The area is small.', 'Uneven film or uneven light.'])
    const step = host.querySelector('.panel-note-row')?.previousElementSibling
    expect(step?.querySelector('button')?.getAttribute('aria-label')).toContain('2 coats')
  })

  it('parts of the ± come largest first, those that others share are named, tiles and set-up in words', async () => {
    const parts: Reading['parts'] = [
      { cause: 'noise', de00: 0.4, words: 'grain' },
      { cause: 'tone', de00: 2, words: 'tone of the camera', shared: 'set-up' },
      { cause: 'card', de00: 1, words: 'place of the card', shared: 'photo' },
    ]
    const host = await showing({ readings: [again('one', 2, { parts, level: 'tiles' })] })
    await click(buttonSaying(host, '2 coats: what this reading is made of'))
    expect([...host.querySelectorAll('.panel-detail li')].map((one) => one.textContent)).toEqual([
      '2.0 tone of the camera (shared by all of this set-up)',
      '1.0 place of the card (shared by all of this photo)',
      '0.4 grain',
    ])
    expect(host.querySelector('.panel-detail')?.textContent).toContain('by its white, grey and black tiles')
  })
})

describe('views side by side', () => {
  const texture: Texture = { coarsenessPercent: 12.4, grainMm: 0.42, glintsPerCm2: 3.1, glintContrast: 1 }
  const views = (['near-glare', 'face', 'flop'] as const).flatMap((view) =>
    [2, 4].map((coats) =>
      again(`${view}-${coats}`, coats, { view, texture: view === 'flop' ? { ...texture, grainMm: null } : texture }),
    ),
  )

  it('come from the glare to the flop, a line for each step, with the texture of each', async () => {
    const host = await showing({ readings: views })
    const sides = host.querySelector('[aria-label="Views side by side"]')!
    expect([...sides.querySelectorAll('.panel-sides-heads span')].map((head) => head.textContent)).toEqual([
      '',
      'Near glare 15°',
      'Face 45°',
      'Flop 110°',
    ])
    const names = [...sides.querySelectorAll('.panel-side-line')].map((line) =>
      [...line.querySelectorAll('button')].map((side) =>
        side.getAttribute('aria-label')?.split(',').slice(0, 2).join(),
      ),
    )
    expect(names).toEqual([
      ['Near glare 15°, 2 coats', 'Face 45°, 2 coats', 'Flop 110°, 2 coats'],
      ['Near glare 15°, 4 coats', 'Face 45°, 4 coats', 'Flop 110°, 4 coats'],
    ])
    const [first] = sides.querySelectorAll('.panel-texture-line')
    expect([...first!.querySelectorAll('.panel-texture')].map((one) => one.textContent)).toEqual([
      '12 % coarse0.4 mm grain3.1 glints/cm²',
      '12 % coarse0.4 mm grain3.1 glints/cm²',
      '12 % coarse3.1 glints/cm²',
    ])
    await click(sides.querySelectorAll<HTMLElement>('.panel-side')[5])
    const open = host.querySelector('.panel-more[open] .is-open')
    expect(open?.querySelector('button')?.getAttribute('aria-label')).toContain('4 coats')
    expect(host.querySelector('.panel-more[open]')?.textContent).toContain('Flop 110°')
  })

  it('say which view is missing, and are not there for one view alone', async () => {
    const two = await showing({ readings: views.filter(({ view }) => view !== 'flop') })
    expect(two.querySelector('.panel-sides')?.textContent).toContain('Not read yet: Flop 110°.')
    await takeDown()
    const one = await showing({ readings: views.filter(({ view }) => view === 'face') })
    expect(one.querySelector('.panel-sides')).toBeNull()
  })
})
