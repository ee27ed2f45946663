import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { changeMarks, useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Point, Quad } from '../../shared-core/records/area.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { buttonSaying, click, press, show, type } from './mounting.ts'
import {
  cardQuad,
  clearTray,
  drag,
  Place,
  panelQuad,
  pointer,
  proposed,
  setTray,
  stage,
  tray,
  waitForReading,
  waiting,
} from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const chartQuad: Quad = [
  [500, 300],
  [920, 310],
  [910, 600],
  [510, 590],
]
const marks = () => useDesk.getState().marks
async function clickCorners(host: HTMLElement, corners: Point[]) {
  for (const corner of corners) {
    await pointer(host, 'down', corner)
    await pointer(host, 'up', corner)
  }
}
const fieldOf = (host: ParentNode, label: string) =>
  [...host.querySelectorAll('label')].find((one) => one.textContent === label)?.querySelector('input')

describe('the chart', () => {
  it('starts at the corner clicked first, shows a lattice of 24 middles and the number of that corner', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, '24-patch chart'))
    expect(host.querySelector('.tray-hint')?.textContent).toContain('first that of patch 1 (dark skin)')
    await clickCorners(host, [chartQuad[2], chartQuad[3], chartQuad[0], chartQuad[1]])
    expect(marks().chart).toEqual({
      quad: [chartQuad[2], chartQuad[3], chartQuad[0], chartQuad[1]],
      table: 'avg30',
    })
    expect(host.querySelectorAll('.tray-patch')).toHaveLength(24)
    expect(host.querySelector('text.tray-first')?.textContent?.trim()).toBe('1')
    const corners = [...host.querySelectorAll('.tray-handle')].map((handle) => handle.getAttribute('aria-label'))
    expect(corners).toEqual(['Patch 1, dark skin', 'Patch 6, bluish green', 'Patch 24, black', 'Patch 19, white'])
  })

  it('is turned by a quarter, by button and by key; undo turns it back', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, '24-patch chart'))
    await drag(host, [500, 300], [900, 560])
    expect(marks().chart?.quad[0]).toEqual([500, 300])
    await click(buttonSaying(host, 'Turn the chart’s outline by a quarter'))
    expect(marks().chart?.quad[0]).toEqual([900, 300])
    await act(async () => stage(host).focus())
    await press('r')
    expect(marks().chart?.quad[0]).toEqual([900, 560])
    await press('z', { ctrlKey: true })
    await press('z', { ctrlKey: true })
    expect(marks().chart?.quad[0]).toEqual([500, 300])
  })

  it('is marked and moved by keys alone', async () => {
    await show(<Place />)
    for (const key of ['h', 'Enter', '1', 'ArrowRight', 'ArrowDown']) await press(key)
    expect(marks().chart?.quad[0]).toEqual([251, 241])
    await press('Delete')
    expect(marks().chart).toBeNull()
  })

  it('its colours stand in the lattice only while it is worked on', async () => {
    tray.photos = [waiting('first', { ...proposed, chart: { quad: chartQuad, table: 'avg30' } })]
    const host = await show(<Place />)
    const fills = () =>
      new Set([...host.querySelectorAll<SVGPathElement>('.tray-patch')].map((patch) => patch.style.fill))
    expect(fills()).toEqual(new Set(['none']))
    await click([...host.querySelectorAll('.tray-plate')].find((plate) => plate.textContent === 'chart'))
    expect(fills().size).toBe(24)
  })
})

describe('tiles', () => {
  it('get the Lab of the settings, and their own where it is written', async () => {
    useStore.setState({
      settings: { ...defaultSettings, decimal: 'point', whiteTile: { l: 94.2, a: -0.4, b: 1.1 } },
    })
    const host = await show(<Place />)
    await click(buttonSaying(host, 'White tile'))
    await clickCorners(host, [...cardQuad])
    expect(marks().tiles).toEqual([{ quad: cardQuad, lab: { l: 94.2, a: -0.4, b: 1.1 }, kind: 'white' }])
    await type(fieldOf(host, 'L*'), '93,8')
    expect(marks().tiles[0]?.lab).toEqual({ l: 93.8, a: -0.4, b: 1.1 })
    await click(buttonSaying(host, 'Black tile'))
    await drag(host, [600, 400], [680, 480])
    expect(marks().tiles.map(({ kind, lab }) => [kind, lab.l])).toEqual([
      ['white', 93.8],
      ['black', defaultSettings.blackTile.l],
    ])
  })

  it('another grey asks for its own Lab until it has one', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Another grey'))
    await drag(host, [600, 400], [680, 480])
    expect(host.textContent).toContain('Write this grey’s own Lab')
    await type(fieldOf(host, 'L*'), '65')
    expect(host.textContent).not.toContain('Write this grey’s own Lab')
  })

  it('more than eight are refused with a word', async () => {
    const host = await show(<Place />)
    const tile = { quad: cardQuad, lab: { l: 50, a: 0, b: 0 }, kind: 'grey' as const }
    await act(async () => changeMarks({ ...marks(), tiles: Array.from({ length: 8 }, () => tile) }))
    await click(buttonSaying(host, 'White tile'))
    expect(useDesk.getState().tool).toBeNull()
    expect(useStore.getState().notices[0]?.message).toBe('8 tiles are marked already: remove one.')
  })
})

describe('what is known', () => {
  const all = {
    ...proposed,
    tiles: [{ quad: cardQuad, lab: { l: 95, a: 0, b: 0 }, kind: 'white' as const }],
    chart: { quad: chartQuad, table: 'avg30' as const },
  }
  it('goes with every reading, and is proposed with the marks of the last photo', async () => {
    tray.proposals = { first: all }
    const host = await show(<Place />)
    await waitForReading()
    expect(tray.client.askedOf('photos.read').at(-1)?.layout).toEqual({ ...all, mmPerPixel: null })
    const rows = [...host.querySelectorAll('.tray-known li')].map((row) => row.textContent)
    expect(rows).toEqual(['Grey card50.0, 0.0, 0.0', 'White tile95.0, 0.0, 0.0', '24-patch chartfirst corner: patch 1'])
  })

  it('gives the photo its scale by the size of the card', async () => {
    useStore.setState({ settings: { ...defaultSettings, decimal: 'point', cardSizeMm: { width: 50, height: 75 } } })
    tray.photos = [waiting('first', all)]
    const host = await show(<Place />)
    await waitForReading()
    expect(tray.client.askedOf('photos.read').at(-1)?.layout.mmPerPixel).toBeCloseTo(0.5, 12)
    expect(host.textContent).toContain('2.0 pixels to a millimetre')
  })

  it('is filed with a reference, too', async () => {
    tray.photos = [waiting('first', all)]
    const host = await show(<Place />)
    await click(buttonSaying(host, 'A reference to match'))
    await type(host.querySelector('.tray-slip-in > .change-fields > .field input'), 'Left tank')
    await click(buttonSaying(host, 'File as reference'))
    expect(tray.client.askedOf('photos.fileReference')[0]).toMatchObject({
      area: { shape: { quad: panelQuad } },
      tiles: all.tiles,
      chart: all.chart,
      setupId: null,
      flatPhotoId: null,
    })
  })

  it.each([
    ['agrees', 'Card agrees with the chart.'],
    ['disagrees', 'Card disagrees with the chart: see above'],
    ['not-checked', 'Card not checked: it could not be held against the chart.'],
  ] as const)('says when the card %s', async (cardCheck, words) => {
    const answer = tray.read
    tray.client.answer({ 'photos.read': (input) => ({ ...answer(input), cardCheck }) })
    tray.photos = [waiting('first', all)]
    const host = await show(<Place />)
    await waitForReading()
    expect(host.querySelector('.tray-known .tray-check')?.textContent).toContain(words)
  })
})
