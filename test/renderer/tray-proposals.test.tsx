import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { Caution } from '../../shared-core/records/photo.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import { buttonSaying, click, press, settle, show } from './mounting.ts'
import { panel } from './sample-rack.ts'
import { doubt, filed, foundLayout, foundOf, good, onStage, steps, toldAnew } from './tray-found.ts'
import {
  cardQuad,
  choosePanel,
  clearTray,
  madeOf,
  mainButton,
  Place,
  panelQuad,
  setTray,
  tray,
  waitForReading,
} from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

describe('what was found in a photo', () => {
  it('is drawn as what it is, its panel chosen, and one key files it; the next comes by itself', async () => {
    tray.made = { first: good('first') }
    const host = await show(<Place />)
    expect(host.querySelector('.tray-lines .tray-line.dashed:not(.under)')?.closest('g')).not.toBeNull()
    const outlines = [...host.querySelectorAll('.tray-lines g > .tray-line:not(.under)')]
    expect(outlines[0]?.classList.contains('dashed')).toBe(false)
    expect(host.textContent).toContain('Proposed, from the code on its label')
    expect(host.querySelector('.tray-panel h1')?.textContent).toBe(`${panel.code} ${panel.title}`)
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
    await onStage()
    await press('Enter')
    expect(filed()).toHaveLength(1)
    expect(filed()[0]).toMatchObject({ photoId: 'first', panelId: panel.id, lightId: 'tubes', stage: 'cleared' })
    expect(filed()[0]?.layout.areas.map(({ stepId }) => stepId)).toEqual(steps)
    expect(location.pathname).toBe('/tray/second')
  })

  it('in a rack that is only looked at nothing is said to be looked at', async () => {
    const reading: RackInfo['access'] = { mode: 'reading', why: 'network', asOf: '2031-05-21T10:00:00Z' }
    tray.made = { first: { ...madeOf('first'), state: 'waiting' } }
    const host = await show(<Place />)
    expect(host.textContent).toContain('Being looked at')
    expect(host.textContent).toContain('1 still to be looked at')
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, access: reading } })))
    await settle()
    expect(host.textContent).not.toMatch(/looked at:|to be looked at|not looked at yet/)
  })

  it('a key that is held down files nothing', async () => {
    tray.made = { first: good('first') }
    await show(<Place />)
    await onStage()
    await press('Enter', { repeat: true })
    expect(filed()).toEqual([])
  })

  it('with a doubt it is accepted first; the doubt stands beside the button with what to do', async () => {
    tray.made = { first: good('first', { doubts: [doubt('place/bent-sheet', 'The photo sheet is bent.')] }) }
    const host = await show(<Place />)
    expect(host.querySelector('.tray-acts')?.textContent).toContain('The photo sheet is bent. Look at it.')
    expect(host.querySelector('.tray-acts .btn.main')?.textContent).toBe('Accept the proposed marks')
    await onStage()
    await press('Enter')
    expect(filed()).toEqual([])
    expect(host.querySelector('.tray-acts .btn.main')?.textContent).toBe(`File to ${panel.code}`)
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })

  it('a note asks for nothing and stands in no way', async () => {
    const note: Caution = { ...doubt('card/sheet-not-known', 'The sheet is not known.'), weight: 'note' }
    tray.made = { first: good('first', { doubts: [note], layout: { ...foundLayout, card: null } }) }
    const host = await show(<Place />)
    expect(host.querySelector('.tray-acts')?.textContent).not.toContain('The sheet is not known.')
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
    await onStage()
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })

  it('is awaited quietly, and taken in when it comes if nobody has begun', async () => {
    tray.proposals = { first: { areas: [], card: { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } } } }
    tray.made = { first: madeOf('first', { state: 'waiting' }) }
    const host = await show(<Place />)
    expect(host.textContent).toContain('Being looked at')
    expect(useDesk.getState().marks.card).toBeNull()
    tray.made = { first: good('first') }
    await toldAnew()
    expect(host.textContent).not.toContain('Being looked at')
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
  })

  it('told of again it keeps what was read, and the corner that is held', async () => {
    tray.made = { first: good('first') }
    const host = await show(<Place />)
    await waitForReading()
    await onStage()
    await press('3')
    expect(host.textContent).toContain('Expect ± 0.9 dE00')
    tray.made = { first: good('first', { lightId: 'sun' }) }
    await toldAnew()
    expect(useDesk.getState().circumstances.lightId).toBe('sun')
    expect(host.textContent).toContain('Expect ± 0.9 dE00')
    expect(useDesk.getState().chosen?.handle).toBe(2)
  })

  it('changes nothing for whoever has begun', async () => {
    tray.made = { first: madeOf('first', { state: 'waiting' }) }
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    tray.made = { first: good('first') }
    await toldAnew()
    expect(useDesk.getState()).toMatchObject({ proposal: false, tool: 'panel', panel: null })
    expect(useDesk.getState().marks.list).toEqual([])
  })

  it('the last photo’s marks are proposed where nobody could look', async () => {
    tray.proposals = { first: foundLayout }
    tray.made = { first: madeOf('first', { state: 'failed' }) }
    const host = await show(<Place />)
    expect(host.textContent).toContain('Proposed: marked as on the last photo.')
    expect(host.querySelector('.tray-lines .tray-line')?.classList.contains('dashed')).toBe(true)
  })

  it('where nothing was found nothing old is laid on the photo, and what was not found is said until it is marked', async () => {
    tray.proposals = { first: foundLayout }
    tray.made = { first: madeOf('first', { doubts: [doubt('place/no-panel', 'No panel was found.')] }) }
    const host = await show(<Place />)
    expect(useDesk.getState()).toMatchObject({ proposal: false, marks: { list: [], card: null } })
    await onStage()
    await press('Enter')
    expect(filed()).toEqual([])
    expect(useDesk.getState().marks.list).toEqual([])
    // whoever asks for them looks at them first
    await click(buttonSaying(host, 'As on the last photo'))
    expect(useDesk.getState()).toMatchObject({ proposal: true, from: 'last' })
    await onStage()
    await press('Enter')
    expect(useDesk.getState().proposal).toBe(false)
    expect(host.querySelector('.tray-doubts')?.textContent).toContain('No panel was found.')
    await press('1')
    await press('ArrowLeft')
    expect(host.querySelector('.tray-doubts')).toBeNull()
    // and undone they are gone
    await press('z', { ctrlKey: true })
    await press('z', { ctrlKey: true })
    expect(useDesk.getState()).toMatchObject({ proposal: false, marks: { list: [] } })
  })

  it('what is accepted is kept when the photo is left', async () => {
    const chart = { quad: cardQuad, table: 'avg30' } as const
    tray.made = {
      first: good('first', {
        layout: { areas: [], card: null, chart },
        panelId: null,
        doubts: [doubt('photo/overexposed', 'Overexposed.')],
      }),
    }
    await show(<Place />)
    await onStage()
    await press('Enter')
    await press('PageDown')
    await settle()
    expect(tray.client.askedOf('photos.mark')[0]).toMatchObject({ photoId: 'first', layout: { chart } })
  })

  it('a chart alone is kept as a set-up by one key', async () => {
    const chart = { quad: cardQuad, table: 'avg30' } as const
    tray.made = {
      first: madeOf('first', {
        layout: { areas: [], card: null, chart },
        found: foundOf({ panels: [], cards: [], chart: { quad: cardQuad, confidence: 0.9 }, symbols: [] }),
        doubts: [doubt('place/chart-alone', 'A chart alone.')],
      }),
    }
    const host = await show(<Place />)
    expect(mainButton(host).textContent).toBe('Keep it as a set-up…')
    await onStage()
    await press('Enter')
    expect(host.querySelector('.tray-keep')).not.toBeNull()
  })
})

describe('what is not sure', () => {
  const unsure = foundOf({
    panels: [],
    cards: [{ quad: cardQuad, confidence: 0.3 }],
    chart: null,
  })

  it('is drawn otherwise, said to be perhaps, and is no part of what is accepted', async () => {
    tray.made = { first: good('first', { found: unsure, layout: { ...foundLayout, card: null } }) }
    const host = await show(<Place />)
    expect(host.querySelectorAll('.tray-perhaps:not(.under)')).toHaveLength(1)
    expect(host.querySelector('.tray-guess')?.textContent).toBe('perhaps a grey card')
    await onStage()
    await press('Enter')
    expect(filed()[0]?.layout.card).toBeNull()
  })

  it('a chart that is surely seen is called what it is: there is no other', async () => {
    const seen = foundOf({ chart: { quad: cardQuad.toReversed() as Quad, confidence: 0.9 } })
    tray.made = { first: good('first', { found: seen }) }
    const host = await show(<Place />)
    expect(host.querySelector('.tray-guess')?.textContent).toBe('24-patch chart')
    await click(host.querySelector('.tray-guess'))
    // also in a mirror
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
  })

  it('is taken by its key or by a press, as one step of undo', async () => {
    tray.made = { first: good('first', { found: unsure, layout: { ...foundLayout, card: null } }) }
    const host = await show(<Place />)
    await onStage()
    await press('m')
    expect(useDesk.getState().marks.card?.quad).toEqual(cardQuad)
    expect(host.querySelector('.tray-guess')).toBeNull()
    await press('z', { ctrlKey: true })
    expect(useDesk.getState().marks.card).toBeNull()
    await click(host.querySelector('.tray-guess'))
    expect(useDesk.getState().marks.card?.quad).toEqual(cardQuad)
  })
})

describe('a panel of steps said of marks of one piece', () => {
  const onePiece: Layout = {
    areas: [{ stepId: null, shape: { kind: 'quad', quad: panelQuad } }],
    card: foundLayout.card,
  }
  const unnamed = (photoId: string) =>
    good(photoId, {
      layout: onePiece,
      panelId: null,
      panelCode: null,
      doubts: [doubt('panel/not-said', 'Which?'), doubt('place/bent-sheet', 'Bent.')],
    })
  const notFound = doubt('steps/not-found', 'The steps were not found.')

  it('wants one look at the strips, and says that the steps were not found', async () => {
    tray.made = { first: unnamed('first') }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId, { doubts: [notFound] }) }) })
    const host = await show(<Place />)
    await onStage()
    await press('Enter')
    expect(useDesk.getState().proposal).toBe(false)
    await choosePanel(host)
    await settle()
    expect(tray.client.askedOf('proposals.again')).toEqual([{ photoId: 'first', panelId: panel.id }])
    expect(host.querySelector('.tray-doubts')?.textContent).toContain('The steps were not found.')
    await onStage()
    await press('Enter')
    expect(filed()).toEqual([])
    // one look does not find them
    expect(host.querySelector('.tray-doubts')?.textContent).toContain('The steps were not found.')
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })

  it('files no strips before it is known whether they fit', async () => {
    tray.made = { first: { ...unnamed('first'), doubts: [doubt('panel/not-said', 'Which?')] } }
    tray.client.answer({ 'proposals.again': () => new Promise<never>(() => {}) })
    const host = await show(<Place />)
    await choosePanel(host)
    await onStage()
    await press('Enter')
    expect(filed()).toEqual([])
  })

  it('is cut where the steps were found', async () => {
    tray.made = { first: unnamed('first') }
    const [top, middle, bottom] = [100, 250, 700]
    const found: Layout = {
      ...foundLayout,
      areas: steps.map((stepId, i) => {
        const edges = [top, middle, ...steps.slice(2).map((_, n) => middle + 100 * (n + 1)), bottom]
        const quad: Quad = [
          [100, edges[i]!],
          [400, edges[i]!],
          [400, edges[i + 1]!],
          [100, edges[i + 1]!],
        ]
        return { stepId, shape: { kind: 'quad', quad } }
      }),
    }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId, { layout: found }) }) })
    const host = await show(<Place />)
    await onStage()
    await press('Enter')
    await choosePanel(host)
    await settle()
    const [mark] = useDesk.getState().marks.list
    expect(mark?.kind === 'bands' && mark.cuts[0]).toBeCloseTo((middle - top) / (bottom - top), 6)
    await onStage()
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })
})
