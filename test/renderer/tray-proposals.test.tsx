import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { commands } from '../../renderer/commands/all.ts'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { HistoryButtons } from '../../renderer/frame/history-buttons.tsx'
import { Desk } from '../../renderer/screens/tray/desk/desk.tsx'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { usePhotoOnDesk } from '../../renderer/screens/tray/proposing/use-photo-on-desk.ts'
import { Slip } from '../../renderer/screens/tray/slip/slip.tsx'
import { go } from '../../renderer/state/router.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { Caution } from '../../shared-core/records/photo.ts'
import type { Found, Proposal } from '../../shared-core/records/proposal.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import { buttonSaying, click, press, settle, show, type } from './mounting.ts'
import { panel } from './sample-rack.ts'
import {
  cardQuad,
  choosePanel,
  clearTray,
  madeOf,
  mainButton,
  Place,
  panelQuad,
  setTray,
  stage,
  tray,
  waitForReading,
  waiting,
} from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const steps = panel.steps.map(({ id }) => id!)
/** The panel in as many bands as it has steps, named from the top. */
const foundLayout: Layout = {
  areas: steps.map((stepId, i) => {
    const [top, bottom] = [100 + (600 * i) / steps.length, 100 + (600 * (i + 1)) / steps.length]
    const quad: Quad = [
      [100, top],
      [400, top],
      [400, bottom],
      [100, bottom],
    ]
    return { stepId, shape: { kind: 'quad', quad } }
  }),
  card: { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } },
}
const symbol: Found['symbols'] = [
  {
    text: panel.code,
    quad: [
      [900, 10],
      [950, 10],
      [950, 60],
      [900, 60],
    ],
  },
]
const foundOf = (more: Partial<Found> = {}): Found => ({
  panels: [{ quad: panelQuad, confidence: 0.9, steps: [] }],
  cards: [{ quad: cardQuad, confidence: 0.9 }],
  chart: null,
  sheet: null,
  symbols: symbol,
  ...more,
})
/** All that filing needs, and nothing against it. */
const good = (photoId: string, more: Partial<Proposal> = {}): Proposal =>
  madeOf(photoId, {
    found: foundOf(),
    layout: foundLayout,
    panelId: panel.id,
    panelCode: panel.code,
    panelTitle: panel.title,
    lightId: 'tubes',
    stage: 'cleared',
    ...more,
  })
const doubt = (code: string, message: string): Caution => ({ code, message, remedy: 'Look at it.' })

/** A newer answer of the service is told of. */
async function toldAnew() {
  await act(async () => useStore.setState((s) => ({ looked: s.looked + 1 })))
  await settle()
  await settle()
}
const onStage = async () => act(async () => stage(document).focus())
const filed = () => tray.client.askedOf('photos.file')

/** Filing takes a photo out of the tray, as the service does. */
function takeOut() {
  tray.client.answer({
    'photos.file': ({ photoId, layout }) => {
      tray.photos = tray.photos.filter(({ id }) => id !== photoId)
      return { readings: [], results: layout.areas.map(() => ({ colour: null, refused: null })) }
    },
  })
}

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

describe('by keys alone', () => {
  it('the panel is picked by typing, and the keys go back to the photo', async () => {
    tray.made = {
      first: good('first', { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Which?')] }),
    }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }) })
    const host = await show(<Place />)
    await onStage()
    expect(mainButton(host).textContent).toBe('Say which panel this is')
    // all else is found: the key that goes on asks for what is wanting
    await press('Enter')
    const field = host.querySelector<HTMLInputElement>('.tray-find input')!
    expect(document.activeElement).toBe(field)
    await type(field, panel.code)
    // before any answer has come
    await press('Enter')
    await settle()
    await settle()
    expect(document.activeElement).toBe(stage(host))
    expect(tray.client.askedOf('proposals.again')).toEqual([{ photoId: 'first', panelId: panel.id }])
    expect(useDesk.getState().panel?.id).toBe(panel.id)
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })

  it('a tool that is taken meanwhile stays in the hand', async () => {
    tray.made = {
      first: good('first', { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Which?')] }),
    }
    let answer = () => {}
    tray.client.answer({
      'proposals.again': async ({ photoId }) => {
        await new Promise<void>((resolve) => {
          answer = resolve
        })
        return { proposal: good(photoId) }
      },
    })
    const host = await show(<Place />)
    await choosePanel(host)
    await click(buttonSaying(host, 'Mark the panel'))
    await act(async () => answer())
    await settle()
    expect(useDesk.getState()).toMatchObject({ tool: 'panel', panel: { id: panel.id } })
  })

  it('Escape in the field brings back the panel that was there', async () => {
    tray.made = { first: good('first') }
    const host = await show(<Place />)
    await onStage()
    await press('/')
    expect(useDesk.getState().panel).toBeNull()
    await press('Escape')
    expect(useDesk.getState().panel?.id).toBe(panel.id)
    expect(document.activeElement).toBe(stage(host))
  })

  it('a photo is looked at again; what was marked is brought back by undo', async () => {
    tray.made = { first: good('first', { layout: { ...foundLayout, card: null } }) }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }) })
    await show(<Place />)
    await onStage()
    await press('l')
    expect(tray.client.askedOf('proposals.again')).toEqual([{ photoId: 'first', panelId: null }])
    expect(useDesk.getState()).toMatchObject({ proposal: true, looking: false })
    expect(useDesk.getState().marks.card?.quad).toEqual(cardQuad)
    // with marks of one’s own it is a step like any other
    await press('1')
    await press('ArrowLeft')
    const mine = useDesk.getState().marks
    await press('l')
    await settle()
    expect(useDesk.getState().proposal).toBe(false)
    await press('z', { ctrlKey: true })
    expect(useDesk.getState().marks).toEqual(mine)
  })

  it('a photo is left for later and discarded from the desk', async () => {
    await show(<Place />)
    await onStage()
    await press('Enter', { shiftKey: true })
    expect(filed()).toEqual([])
    expect(location.pathname).toBe('/tray/second')
    await onStage()
    await press('Delete', { shiftKey: true })
    expect(tray.client.askedOf('photos.discard')).toEqual([{ photoId: 'second' }])
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

describe('the keys of the tray', () => {
  it('are each of one thing only', () => {
    // as `desk-keys.ts` has them
    const desk = [
      '1',
      '2',
      '3',
      '4',
      'a',
      'c',
      'h',
      'w',
      'b',
      'g',
      'r',
      'p',
      '0',
      'Enter',
      'Delete',
      'Backspace',
      'Escape',
      '+',
      '=',
      '-',
    ]
    const own = commands.filter(({ place }) => place === 'tray').flatMap(({ shortcut }) => shortcut ?? [])
    // undo and redo take the marks first and hand on what is no mark
    const shared = ['Mod+z', 'Mod+Shift+z']
    const anywhere = commands
      .filter(({ place }) => place === 'any')
      .flatMap(({ shortcut }) => shortcut ?? [])
      .filter((chord) => !shared.includes(chord))
    const all = [...desk, ...own, ...anywhere]
    expect(all.filter((chord, i) => all.indexOf(chord) !== i)).toEqual([])
  })
})

describe('a photo that was taken again', () => {
  const retake = (photoId: string) =>
    good(photoId, {
      retakeOf: { photoId: 'second', name: 'second.jpg', filed: false },
      doubts: [doubt('retake/same-sitting', 'second.jpg shows it too.')],
    })

  it('says of which, and one key files it and then discards the earlier', async () => {
    tray.made = { first: retake('first') }
    tray.client.answer({ 'proposals.replaceEarlier': () => ({}) })
    const host = await show(<Place />)
    await settle()
    expect(host.querySelector('.tray-retake')?.textContent).toContain('Taken again: second.jpg shows it too.')
    // said once, with what can be done about it
    expect(host.querySelectorAll('.tray-slip .warn')).toHaveLength(0)
    await onStage()
    await press('e')
    await settle()
    const asked = tray.client.asked.map(({ name }) => name)
    expect(asked.indexOf('photos.file')).toBeGreaterThan(0)
    expect(asked.indexOf('proposals.replaceEarlier')).toBeGreaterThan(asked.indexOf('photos.file'))
    expect(tray.client.askedOf('proposals.replaceEarlier')).toEqual([
      { photoId: 'first', earlierPhotoId: 'second', panelId: panel.id },
    ])
    // the earlier one is gone: the one after it comes
    expect(location.pathname).toBe('/tray/third')
  })

  it('what cannot be filed yet takes no place', async () => {
    tray.made = { first: retake('first') }
    tray.made.first!.doubts.push(doubt('place/bent-sheet', 'The sheet is bent.'))
    await show(<Place />)
    await onStage()
    await press('e')
    await settle()
    expect(tray.client.askedOf('proposals.replaceEarlier')).toEqual([])
    expect(filed()).toEqual([])
  })

  it('is no retake of another panel’s photo', async () => {
    tray.made = { first: { ...retake('first'), panelId: 'other', panelCode: 'P-0002' } }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }) })
    const host = await show(<Place />)
    await onStage()
    await press('/')
    await choosePanel(host)
    await settle()
    expect(host.querySelector('.tray-retake')).toBeNull()
    await onStage()
    await press('e')
    expect(tray.client.askedOf('proposals.replaceEarlier')).toEqual([])
  })

  it('both are kept by another key, which is remembered, and nothing is discarded', async () => {
    tray.made = { first: retake('first') }
    tray.client.answer({ 'proposals.say': ({ photoId }) => ({ proposal: good(photoId) }) })
    const host = await show(<Place />)
    await onStage()
    await press('v')
    expect(host.querySelector('.tray-retake')).toBeNull()
    expect(tray.client.askedOf('proposals.say')).toEqual([{ photoId: 'first', bothKept: true }])
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })
})

describe('Undo', () => {
  it('in the bar names what its key takes back', async () => {
    tray.made = { first: good('first') }
    const bar = await show(
      <>
        <HistoryButtons />
        <Place />
      </>,
    )
    const named = () => bar.querySelector('.history .btn')?.getAttribute('aria-label')
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, undo: 'file one.jpg' } })))
    expect(named()).toBe('Undo file one.jpg')
    await onStage()
    await press('1')
    await press('ArrowLeft')
    expect(named()).toBe('Undo marking')
    await press('z', { ctrlKey: true })
    expect(named()).toBe('Undo file one.jpg')
  })
})

/** Desk and keys without the pile; the slip while it is typed in: a hundred photos are laid here one after the other. */
function Bench() {
  useKeyboard()
  const photoId = useStore((s) => (s.route.at === 'tray' ? s.route.photoId : null))
  usePhotoOnDesk(photoId)
  const types = useDesk((s) => s.photo !== null && s.made !== null && s.panel === null)
  return (
    <>
      <Desk />
      {types ? <Slip /> : null}
    </>
  )
}

describe('a tray of 100 photos', () => {
  const ids = Array.from({ length: 100 }, (_, i) => `photo-${i}`)
  /** Every eighth is doubtful: four to be pulled straight, four without a panel, four with a card that is only guessed. */
  const trouble = (i: number) =>
    i % 8 === 3 && i < 96 ? (['corner', 'panel', 'card'] as const)[((i - 3) / 8) % 3]! : null
  const proposalFor = (id: string, i: number): Proposal => {
    switch (trouble(i)) {
      case 'corner':
        return good(id, { doubts: [doubt('place/unsure', 'It is not sure where the panel lies.')] })
      case 'panel':
        return good(id, { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Nothing says which.')] })
      case 'card':
        return good(id, {
          layout: { ...foundLayout, card: null },
          found: foundOf({ cards: [{ quad: cardQuad, confidence: 0.4 }] }),
          doubts: [doubt('card/none', 'No grey card was found.')],
        })
      default:
        return good(id)
    }
  }
  beforeEach(() => {
    tray.photos = ids.map((id) => waiting(id))
    tray.made = Object.fromEntries(ids.map((id, i) => [id, proposalFor(id, i)]))
    tray.client.answer({
      'photos.listFlats': () => ({ photos: [] }),
      'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }),
    })
    takeOut()
  })

  it('reviewed one by one costs one key for a good photo, and a handful for one that is put right', async () => {
    useDesk.setState({ waiting: ids })
    useStore.setState({ route: { at: 'tray', photoId: ids[0]! } })
    const host = await show(<Bench />)
    const spent = { good: 0, corrected: 0 }
    const counted = { good: 0, corrected: 0 }
    for (let i = 0; i < 100; i++) {
      const at = useDesk.getState().photo!.id
      const kind = trouble(Number(at.split('-').at(-1)))
      const of = kind === null ? 'good' : 'corrected'
      counted[of]++
      const key = async (name: string, how: KeyboardEventInit = {}) => {
        spent[of]++
        await press(name, how)
      }
      if (kind === 'corner') for (const name of ['2', 'ArrowRight', 'ArrowUp']) await key(name)
      if (kind === 'card') await key('m')
      if (kind === 'panel') {
        await key('/')
        const field = host.querySelector<HTMLInputElement>('.tray-find input')!
        for (let n = 1; n <= panel.code.length; n++) {
          spent[of]++
          await type(field, panel.code.slice(0, n))
        }
        await key('Enter')
        await settle()
      }
      await key('Enter')
      expect(useDesk.getState().photo?.id).not.toBe(at)
    }
    expect(counted).toEqual({ good: 88, corrected: 12 })
    expect(filed()).toHaveLength(100)
    expect(spent.good).toBe(88)
    // wanted: two for a good photo
    expect(spent.good).toBeLessThanOrEqual(2 * 88)
    expect(spent.corrected).toBe(4 * 4 + 4 * (1 + panel.code.length + 2) + 4 * 2)
  }, 120_000)

  it('those that are sure are filed by two keys, after a list that can be looked over; the others stay', async () => {
    tray.client.answer({
      'proposals.fileReady': ({ photoIds }) => {
        tray.photos = tray.photos.filter(({ id }) => !photoIds.includes(id))
        return { jobId: 'job' }
      },
    })
    const host = await show(<Place />)
    expect(host.querySelector('.tray-head')?.textContent).toContain('88 sure, 12 doubtful')
    await onStage()
    await press('f')
    const dialog = host.querySelector('[role=listbox]')!
    expect(document.activeElement).toBe(dialog)
    expect(dialog.querySelector('[role=option]')?.getAttribute('aria-setsize')).toBe('88')
    expect(dialog.querySelectorAll('svg path').length).toBeGreaterThan(0)
    expect(host.querySelector('.tray-staying')?.textContent).toContain('12 are doubtful and stay in the Tray')
    expect(host.querySelector('.tray-staying')?.textContent).toContain('Nothing says which.')
    // the second is left out
    await press('ArrowDown')
    await press(' ')
    expect(buttonSaying(host, 'File 87 photos')).toBeDefined()
    await press('Enter')
    const [asked] = tray.client.askedOf('proposals.fileReady')
    expect(asked?.photoIds).toHaveLength(87)
    expect(asked?.photoIds).not.toContain('photo-1')
    expect(host.querySelector('[role=listbox]')).toBeNull()
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, revision: s.rack!.revision + 1 } })))
    await settle()
    await settle()
    // what lay on the desk was filed with them: the first that stays comes
    expect(location.pathname).toBe('/tray/photo-1')
    // opened again by its address, as from the job's outcome, it stays
    await act(async () => go({ at: 'tray', photoId: 'photo-0' }))
    await settle()
    await settle()
    expect(location.pathname).toBe('/tray/photo-0')
  })

  it('the doubtful alone are shown and walked', async () => {
    const host = await show(<Place />)
    await onStage()
    await press('d')
    expect(host.querySelector('.tray-pile li a')?.getAttribute('aria-label')).toContain('It is not sure where')
    expect(useDesk.getState().waiting).toHaveLength(12)
    await press('PageDown')
    expect(location.pathname).toBe('/tray/photo-3')
    await press('PageDown')
    expect(location.pathname).toBe('/tray/photo-11')
    await press('d')
    expect(useDesk.getState().waiting).toHaveLength(100)
  })
})
