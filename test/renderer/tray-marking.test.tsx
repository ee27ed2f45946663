import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { supposePanel, useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { layOnDesk, renewPhoto } from '../../renderer/screens/tray/proposing/laying.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { buttonSaying, click, press, show, type } from './mounting.ts'
import { lights, panel, rackInfo } from './sample-rack.ts'
import {
  cardQuad,
  choosePanel,
  clearTray,
  drag,
  mainButton,
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

describe('a photo laid on the desk by an older answer', () => {
  it('shows its own marks as soon as they are known, not those proposed from another photo', () => {
    layOnDesk(waiting('w1'), proposed, null)
    expect(useDesk.getState().proposal).toBe(true)
    const own = { areas: [], card: { ...proposed.card!, lab: { l: 48, a: 0, b: 0 } } }
    renewPhoto(waiting('w1', own), proposed, null)
    const { proposal, marks } = useDesk.getState()
    expect(proposal).toBe(false)
    expect(marks.list).toEqual([])
    expect(marks.card?.lab.l).toBe(48)
  })

  it('stays the reference that somebody has said it is, when its panel or a newer answer arrives', () => {
    layOnDesk(waiting('w1'), proposed, null)
    useDesk.setState({ aim: 'reference', referenceId: 'r1', referenceName: 'Tank' })
    renewPhoto(waiting('w1', { areas: [], card: proposed.card }), proposed, null)
    supposePanel(panel)
    expect(useDesk.getState()).toMatchObject({ aim: 'reference', referenceId: 'r1', referenceName: 'Tank', panel })
  })

  it('is taken for its panel where nobody has said anything', () => {
    layOnDesk(waiting('w1'), null, null)
    supposePanel(panel)
    expect(useDesk.getState()).toMatchObject({ aim: 'panel', panel })
  })
})

describe('marking', () => {
  it('a drag marks the panel in the photo’s own pixels, and the colour is read', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [400, 700], [100, 100])
    await waitForReading()
    expect(tray.client.askedOf('photos.read').at(-1)?.layout).toEqual({
      areas: [{ stepId: null, shape: { kind: 'quad', quad: panelQuad } }],
      card: null,
      tiles: [],
      chart: null,
      mmPerPixel: null,
    })
    expect(host.textContent).toContain('Expect ± 0.9 dE00, by the grey card alone')
    expect(host.textContent).toContain('the colour will be uncalibrated')
  })

  it('four clicks mark the card, in any order, with the Lab of the settings', async () => {
    useStore.setState({ settings: { ...defaultSettings, card: { l: 49.5, a: 0.3, b: -0.2 } } })
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Grey card'))
    for (const i of [2, 0, 1, 3]) {
      await pointer(host, 'down', cardQuad[i]!)
      await pointer(host, 'up', cardQuad[i]!)
    }
    expect(useDesk.getState().marks.card).toEqual({ quad: cardQuad, lab: { l: 49.5, a: 0.3, b: -0.2 } })
  })

  it('a corner under a plate is set there: with a tool in hand plates let the pointer through', async () => {
    tray.photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await waitForReading()
    const plate = host.querySelector('.tray-plate')!
    const pressPlate = async () => {
      for (const kind of ['pointerdown', 'pointerup'])
        await act(async () => {
          plate.dispatchEvent(
            new PointerEvent(kind, { pointerId: 1, button: 0, bubbles: true, clientX: 90, clientY: 80 }),
          )
        })
    }
    await pressPlate()
    expect(useDesk.getState().corners).toHaveLength(0)
    await click(buttonSaying(host, 'White tile'))
    await pressPlate()
    expect(useDesk.getState().corners).toHaveLength(1)
  })

  it('panel and card are marked by keys alone', async () => {
    await show(<Place />)
    const keys = async (...list: string[]) => {
      for (const key of list) await press(key)
    }
    await keys('p', 'Enter', 'ArrowLeft', '3', 'ArrowDown')
    await keys('c', 'Enter')
    const { marks, photo } = useDesk.getState()
    const { width, height } = photo!
    const quad = (marks.list[0] as { quad: Quad }).quad
    expect(quad[0]).toEqual([width * 0.3 - 1, height * 0.2])
    expect(quad[2][0]).toBeCloseTo(width * 0.7 - 1, 9)
    expect(quad[2][1]).toBeCloseTo(height * 0.8 + 1, 9)
    expect(marks.card?.lab).toEqual(defaultSettings.card)
  })

  it('a panel’s steps cut the outline, each band with its step', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [100, 100], [400, 700])
    await choosePanel(host)
    const plates = [...host.querySelectorAll('.tray-plate')].map((plate) => plate.textContent?.trim())
    expect(plates).toEqual(panel.steps.map((step) => String(step.coats)))
    expect(host.querySelectorAll('[role=slider]')).toHaveLength(panel.steps.length - 1)
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
  })

  it('plates of narrow bands stand beside one another, with the figure alone, and none covers another', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [300, 100], [500, 700])
    const bands = [...host.querySelectorAll('.tray-cutting label')].find((l) => l.textContent === 'Cut into bands')!
    await type(bands.querySelector('input'), '30')
    const plates = [...host.querySelectorAll<HTMLElement>('.tray-plate:not(.vh)')]
    expect(plates.map((plate) => plate.textContent)).toEqual(Array.from({ length: 30 }, (_, i) => String(i + 1)))
    const boxes = plates.map(({ style }) => {
      const [left, top, width] = [style.left, style.top, style.width].map(Number.parseFloat) as [number, number, number]
      return { left, top, right: left + width, bottom: top + 24 }
    })
    const covered = boxes.filter((a, i) =>
      boxes.some((b, j) => i !== j && a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom),
    )
    expect(covered).toEqual([])
  })

  it('keys choose a corner and move it by a pixel or ten; one undo takes the run back', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [100, 100], [400, 700])
    await act(async () => stage(host).focus())
    await press('3')
    await press('ArrowRight')
    await press('ArrowUp', { shiftKey: true })
    const corner = () => (useDesk.getState().marks.list[0] as { quad: Quad } | undefined)?.quad[2]
    expect(corner()).toEqual([401, 690])
    expect(host.querySelector('.tray-loupe')?.textContent).toBe('Corner 3 of 4, bottom right')
    await press('z', { ctrlKey: true })
    expect(corner()).toEqual([400, 700])
    await press('z', { ctrlKey: true })
    expect(useDesk.getState().marks.list).toEqual([])
    await press('z', { ctrlKey: true, shiftKey: true })
    expect(corner()).toEqual([400, 700])
    // nothing of this went to the rack
    expect(tray.client.asked.filter(({ name }) => name.startsWith('history'))).toEqual([])
  })

  it('without marks of one’s own, undo is the rack’s', async () => {
    tray.client.answer({
      'history.undo': () => ({ label: 'Rename panel' }),
      'rack.describe': () => ({ rack: rackInfo }),
      'lights.list': () => ({ lights }),
    })
    await show(<Place />)
    await press('z', { ctrlKey: true })
    expect(tray.client.askedOf('history.undo')).toHaveLength(1)
  })

  it('a corner is dragged from where it was taken hold of, and Delete removes the mark', async () => {
    tray.proposals = {}
    tray.photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await drag(host, [408, 695], [458, 745])
    expect((useDesk.getState().marks.list[0] as { quad: Quad }).quad[2]).toEqual([450, 750])
    await act(async () => stage(host).focus())
    await press('Delete')
    expect(useDesk.getState().marks.list).toEqual([])
    expect(useDesk.getState().marks.card).not.toBeNull()
  })

  it('says why an area cannot be read, once for all areas that have the same fault', async () => {
    const dark = { code: 'area/too-dark', message: 'Too dark to read.', remedy: 'Expose longer.' }
    tray.client.answer({
      'photos.read': ({ layout }) => ({
        results: layout.areas.map(() => ({ colour: null, refused: dark })),
        photo: [],
        cardCheck: 'not-checked',
      }),
    })
    tray.photos = [
      waiting('first', {
        ...proposed,
        areas: [...proposed.areas, { stepId: null, shape: { kind: 'round', centre: [600, 600], radius: 30 } }],
      }),
    ]
    const host = await show(<Place />)
    await waitForReading()
    const said = [...host.querySelectorAll('.tray-readings .warn')].map((w) => w.textContent)
    expect(said).toEqual(['Area 1 and Round area 2: Too dark to read. Expose longer.'])
    expect(host.textContent).toContain('No colour could be read.')
  })

  it('what is wrong with the whole photo is said once, also when nothing can be read', async () => {
    const over = { code: 'photo/overexposed', message: 'Overexposed.', remedy: 'Expose less.' }
    tray.client.answer({
      'photos.read': ({ layout }) => ({
        results: layout.areas.map(() => ({ colour: null, refused: over })),
        photo: [over],
        cardCheck: 'not-checked',
      }),
    })
    tray.photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await waitForReading()
    const said = [...host.querySelectorAll('.tray-readings .warn')].map((w) => w.textContent)
    expect(said).toEqual(['Overexposed. Expose less.'])
  })

  it('tells what went into ± on demand', async () => {
    tray.photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await waitForReading()
    const parts = [...host.querySelectorAll('.tray-parts > div')].map((part) => part.textContent)
    expect(parts).toEqual(['the grey card alone stands for the whole camera0.6', 'grain and flake inside the area0.2'])
  })
})

describe('a proposal', () => {
  beforeEach(() => {
    tray.proposals = { first: proposed }
  })
  it('is drawn dashed and cannot be filed before somebody looked at it; Enter accepts it', async () => {
    const host = await show(<Place />)
    await choosePanel(host)
    expect(mainButton(host).textContent).toBe('Accept the proposed marks first')
    expect(host.querySelector('.tray-lines .tray-line')?.classList.contains('dashed')).toBe(true)
    await act(async () => stage(host).focus())
    await press('Enter')
    expect(host.querySelector('.tray-lines .tray-line')?.classList.contains('dashed')).toBe(false)
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
    expect(tray.client.askedOf('photos.file')).toEqual([])
  })
  it('is nobody’s work yet: going on keeps nothing of it', async () => {
    await show(<Place />)
    await press('PageDown')
    expect(tray.client.askedOf('photos.mark')).toEqual([])
  })
  it('can be put away to mark anew', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark it anew'))
    expect(useDesk.getState().marks.list).toEqual([])
    expect(mainButton(host).textContent).toBe('First mark where the panel is')
  })
})
