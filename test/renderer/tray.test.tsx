import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { emptyDesk, useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { readCoats } from '../../renderer/screens/tray/slip/new-panel.tsx'
import { factsOf } from '../../renderer/screens/tray/slip/photo-facts.tsx'
import { TrayPlace } from '../../renderer/screens/tray/tray-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Input, Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown, type } from './mounting.ts'
import { lights, listed, panel, readings, shown } from './sample-rack.ts'

const waiting = (id: string, layout: Layout = { areas: [], card: null }): Photo => ({
  ...shown.photos[0]!,
  id,
  name: `${id}.jpg`,
  width: 1000,
  height: 800,
  filed: false,
  lightId: null,
  view: 'face',
  stage: 'dry',
  layout,
})
const cardQuad: Quad = [
  [700, 100],
  [800, 100],
  [800, 250],
  [700, 250],
]
const panelQuad: Quad = [
  [100, 100],
  [400, 100],
  [400, 700],
  [100, 700],
]
const proposed: Layout = {
  areas: [{ stepId: null, shape: { kind: 'quad', quad: panelQuad } }],
  card: { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } },
}

let photos: Photo[]
let proposals: Record<string, Layout>
/** A colour for each area, whatever it shows. */
const read = ({ layout }: Input<'photos.read'>): Output<'photos.read'> => ({
  results: layout.areas.map(({ shape }) => ({ colour: shape.kind === 'fade' ? null : readings[0]!, refused: null })),
  photo: [],
})
const table: Answers = {
  'photos.listTray': () => ({ photos }),
  'photos.get': ({ photoId }) => {
    const photo = photos.find((p) => p.id === photoId)
    if (!photo) throw new Refusal('photo/absent', 'This photo is not in the rack.', 'Take it in again.')
    return { photo, proposed: proposals[photoId] ?? null }
  },
  'photos.read': read,
  'photos.mark': ({ photoId, layout }) => ({ photo: { ...waiting(photoId), layout } }),
  'photos.file': ({ layout }) => ({
    readings: layout.areas.map((_, i) => readings[i]!),
    results: layout.areas.map(() => ({ colour: readings[0]!, refused: null })),
  }),
  'photos.fileReference': ({ name }) => ({
    reference: { id: 'ref-1', name, notes: '', createdAt: '2031-05-21T09:30:00Z', readings: [readings[0]!] },
  }),
  'photos.discard': () => ({}),
  'photos.takeIn': () => ({ jobId: 'job' }),
  'panels.list': ({ filter }) => listed(filter),
  'panels.get': () => shown,
  'panels.nextCode': () => ({ code: 'P-0312' }),
  'panels.save': ({ draft }) => ({
    panel: {
      ...draft,
      id: 'new',
      code: 'P-0312',
      steps: draft.steps.map((step, i) => ({ ...step, id: `new-${i}` })),
    },
  }),
  'lights.add': ({ name, kelvin }) => ({ light: { id: 'lamp', name, kelvin } }),
}

function Place() {
  useKeyboard()
  const route = useStore((s) => s.route)
  return route.at === 'tray' ? <TrayPlace photoId={route.photoId} /> : null
}

/** The stage as in a window: 1056 × 856, so that the photo of 1000 × 800 lies on it at its own size, 28 from the edge. */
const free = 28
let client: FakeClient
beforeEach(() => {
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(1056)
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(856)
  photos = [waiting('first'), waiting('second'), waiting('third')]
  proposals = {}
  client = prepare(table)
  useDesk.setState(emptyDesk, true)
  useStore.setState({
    route: { at: 'tray', photoId: null },
    lights,
    settings: { ...defaultSettings, decimal: 'point' },
  })
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

const stage = (host: ParentNode) => host.querySelector<HTMLElement>('.tray-stage')!

async function pointer(host: ParentNode, kind: 'down' | 'move' | 'up', [x, y]: [number, number]) {
  await act(async () => {
    const at = { clientX: x + free, clientY: y + free, pointerId: 1, button: 0, bubbles: true, cancelable: true }
    stage(host).dispatchEvent(new PointerEvent(`pointer${kind}`, at))
  })
}

async function drag(host: ParentNode, from: [number, number], to: [number, number]) {
  await pointer(host, 'down', from)
  await pointer(host, 'move', [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2])
  await pointer(host, 'move', to)
  await pointer(host, 'up', to)
  await settle()
}

async function waitForReading() {
  await act(async () => new Promise((resolve) => setTimeout(resolve, 350)))
  await settle()
}

async function choosePanel(host: ParentNode, words = panel.code) {
  const field = [...host.querySelectorAll('label')].find((l) => l.textContent?.startsWith('Which panel'))!
  await type(field.querySelector('input'), words)
  await act(async () => new Promise((resolve) => setTimeout(resolve, 200)))
  await settle()
  await click(host.querySelector('.tray-find li button'))
}

const mainButton = (host: ParentNode) => host.querySelector<HTMLButtonElement>('.tray-acts .btn')!

describe('the pile', () => {
  it('says what to do while nothing waits, and that cameras are ignition sources', async () => {
    photos = []
    const host = await show(<Place />)
    expect(host.textContent).toContain('beside the grey card')
    expect(host.textContent).toContain('ignition sources: photograph after the booth has purged.')
  })

  it('opens the first photo waiting, and walks with Page Down', async () => {
    const host = await show(<Place />)
    expect(location.pathname).toBe('/tray/first')
    await press('PageDown')
    expect(location.pathname).toBe('/tray/second')
    await press('PageUp')
    await press('PageUp')
    expect(location.pathname).toBe('/tray/third')
    expect(host.querySelector('[aria-current="true"]')?.textContent).toContain('third.jpg')
  })

  it('takes in what is chosen and what is pasted', async () => {
    const host = await show(<Place />)
    const input = host.querySelector<HTMLInputElement>('input[type=file]')!
    expect(input.accept).toContain('.heic')
    const file = new File(['x'], 'panel.jpg', { type: 'image/jpeg' })
    Object.defineProperty(input, 'files', { value: [file] })
    await act(async () => input.dispatchEvent(new Event('change', { bubbles: true })))
    await settle()
    const paste = Object.assign(new Event('paste', { bubbles: true, cancelable: true }), {
      clipboardData: { files: [new File(['y'], 'image.png', { type: 'image/png' })] },
    })
    await act(async () => document.body.dispatchEvent(paste))
    await settle()
    const [chosen, pasted] = client.askedOf('photos.takeIn')
    expect(chosen?.files).toEqual([{ path: '/staged/panel.jpg', name: 'panel.jpg' }])
    expect(pasted?.files[0]?.name).toMatch(/^Pasted .+\.png$/)
  })

  it('says which file could not be handed over', async () => {
    const host = await show(<Place />)
    client.stage = async () => {
      throw new Error('unreadable')
    }
    const input = host.querySelector<HTMLInputElement>('input[type=file]')!
    Object.defineProperty(input, 'files', { value: [new File([], 'gone.jpg')] })
    await act(async () => input.dispatchEvent(new Event('change', { bubbles: true })))
    await settle()
    expect(client.askedOf('photos.takeIn')).toEqual([])
    expect(useStore.getState().notices[0]?.message).toBe('gone.jpg could not be read.')
  })

  it('says in words when a photo is gone', async () => {
    useStore.setState({ route: { at: 'tray', photoId: 'nowhere' } })
    const host = await show(<Place />)
    expect(host.textContent).toContain('This photo is not in the rack.')
  })
})

describe('marking', () => {
  it('a drag marks the panel in the photo’s own pixels, and the colour is read', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [400, 700], [100, 100])
    await waitForReading()
    expect(client.askedOf('photos.read').at(-1)?.layout).toEqual({
      areas: [{ stepId: null, shape: { kind: 'quad', quad: panelQuad } }],
      card: null,
    })
    expect(host.textContent).toContain('Expect ± 0.9 dE00')
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
    expect(client.asked.filter(({ name }) => name.startsWith('history'))).toEqual([])
  })

  it('without marks of one’s own, undo is the rack’s', async () => {
    client.answer({ 'history.undo': () => ({ label: 'Rename panel' }) })
    await show(<Place />)
    await press('z', { ctrlKey: true })
    expect(client.askedOf('history.undo')).toHaveLength(1)
  })

  it('a corner is dragged from where it was taken hold of, and Delete removes the mark', async () => {
    proposals = {}
    photos = [waiting('first', proposed)]
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
    client.answer({
      'photos.read': ({ layout }) => ({
        results: layout.areas.map(() => ({ colour: null, refused: dark })),
        photo: [],
      }),
    })
    photos = [
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

  it('tells what went into ± on demand', async () => {
    photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await waitForReading()
    const parts = [...host.querySelectorAll('.tray-parts > div')].map((part) => part.textContent)
    expect(parts).toEqual(['the grey card alone stands for the whole camera0.6', 'grain and flake inside the area0.2'])
  })
})

describe('a proposal', () => {
  beforeEach(() => {
    proposals = { first: proposed }
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
    expect(client.askedOf('photos.file')).toEqual([])
  })
  it('is nobody’s work yet: going on keeps nothing of it', async () => {
    await show(<Place />)
    await press('PageDown')
    expect(client.askedOf('photos.mark')).toEqual([])
  })
  it('can be put away to mark anew', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark it anew'))
    expect(useDesk.getState().marks.list).toEqual([])
    expect(mainButton(host).textContent).toBe('First mark where the panel is')
  })
})

describe('filing', () => {
  it('files with steps, light, view, stage and age, then says so on the next photo', async () => {
    photos = [waiting('first', proposed), waiting('second')]
    const host = await show(<Place />)
    expect(mainButton(host).textContent).toBe('Say which panel this is')
    await click(mainButton(host))
    expect(client.askedOf('photos.file')).toEqual([])
    await choosePanel(host)
    const selects = [...host.querySelectorAll<HTMLSelectElement>('.tray-circumstances select')]
    for (const [select, value] of [
      [selects[0], 'tubes'],
      [selects[1], 'flop'],
      [selects[2], 'cleared'],
    ] as const)
      await act(async () => {
        select!.value = value
        select!.dispatchEvent(new Event('change', { bubbles: true }))
      })
    await click(mainButton(host))
    const [asked] = client.askedOf('photos.file')
    expect(asked).toMatchObject({
      photoId: 'first',
      panelId: panel.id,
      lightId: 'tubes',
      view: 'flop',
      stage: 'cleared',
    })
    expect(asked?.layout.areas.map((area) => area.stepId)).toEqual(panel.steps.map((step) => step.id))
    expect(location.pathname).toBe('/tray/second')
    const told = host.querySelector('.tray-filed')!
    expect(told.textContent).toContain(`Filed, ${panel.steps.length} readings.`)
    expect(told.querySelector('a')?.getAttribute('href')).toBe(`/panel/${panel.code}`)
    // filed: nothing is left to keep
    expect(client.askedOf('photos.mark')).toEqual([])
  })

  it('stays on the photo and tells why when the service refuses', async () => {
    photos = [waiting('first', proposed)]
    client.answer({
      'photos.file': () => {
        throw new Refusal('photo/nothing-readable', 'No area could be read.', 'Take the photo again.')
      },
    })
    const host = await show(<Place />)
    await choosePanel(host)
    await click(mainButton(host))
    expect(location.pathname).toBe('/tray/first')
    expect(useStore.getState().notices[0]?.message).toBe('No area could be read.')
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
  })

  it('files one area as a reference, by name', async () => {
    photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await click(buttonSaying(host, 'A reference to match'))
    expect(mainButton(host).textContent).toBe('Give the reference a name')
    await type(host.querySelector('.tray-slip-in > .field input'), 'Left tank')
    await click(buttonSaying(host, 'File as reference'))
    expect(client.askedOf('photos.fileReference')[0]).toMatchObject({
      name: 'Left tank',
      area: { stepId: null, shape: { kind: 'quad', quad: panelQuad } },
      card: { quad: cardQuad },
    })
    expect(host.querySelector('.tray-filed a')?.getAttribute('href')).toBe('/match/ref-1')
  })

  it('makes a new panel on the spot, with its steps', async () => {
    photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await click(buttonSaying(host, 'New panel'))
    const [title, coats] = host.querySelectorAll<HTMLInputElement>('.tray-new input')
    await type(title, 'Slack Water')
    await type(coats, '0 2 2.5')
    await click(buttonSaying(host, 'Make P-0312'))
    expect(client.askedOf('panels.save')[0]?.draft).toMatchObject({
      id: null,
      title: 'Slack Water',
      steps: [{ coats: 0 }, { coats: 2 }, { coats: 2.5 }],
    })
    expect(mainButton(host).textContent).toBe('File to P-0312')
  })

  it('“Later” keeps the marks and goes on', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [100, 100], [400, 700])
    await click(buttonSaying(host, 'Later'))
    expect(client.askedOf('photos.mark')).toHaveLength(1)
    expect(client.askedOf('photos.mark')[0]).toMatchObject({ photoId: 'first', view: 'face', stage: 'dry' })
    expect(location.pathname).toBe('/tray/second')
  })

  it('marks are kept, too, when one simply takes another photo', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [100, 100], [400, 700])
    await click(host.querySelectorAll('.tray-pile li a')[2])
    expect(client.askedOf('photos.mark').map((asked) => asked.photoId)).toEqual(['first'])
  })

  it('discards, saying that undo brings it back', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Discard photo'))
    expect(client.askedOf('photos.discard')).toEqual([{ photoId: 'first' }])
    expect(useStore.getState().notices[0]).toMatchObject({
      message: 'Discarded first.jpg.',
      remedy: 'Undo brings it back.',
    })
  })

  it('a filed photo opens again with its panel, and can be filed anew', async () => {
    photos = [{ ...shown.photos[0]!, id: 'first', filed: true }]
    client.answer({ 'photos.listTray': () => ({ photos: [] }) })
    useStore.setState({ route: { at: 'tray', photoId: 'first' } })
    const host = await show(<Place />)
    await settle()
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
    expect(buttonSaying(host, 'Later')).toBeUndefined()
  })
})

describe('small words', () => {
  it('coats are read as they are typed', () => {
    expect(readCoats('0 1 2 3 4')).toEqual([0, 1, 2, 3, 4])
    expect(readCoats('0, 2, 4')).toEqual([0, 2, 4])
    expect(readCoats('2,5; 3')).toEqual([2.5, 3])
    expect(readCoats('four')).toBeNull()
    expect(readCoats('  ')).toBeNull()
  })
  it('facts of a photo are told with what is not known', () => {
    const facts = Object.fromEntries(
      factsOf(
        {
          ...waiting('x'),
          profileAssumed: true,
          profile: 'sRGB',
          exposure: { takenAt: null, camera: 'Phone', exposureS: 1 / 60, fNumber: 1.8, iso: 64 },
        },
        { ...defaultSettings, decimal: 'comma' },
      ),
    )
    expect(facts).toMatchObject({
      Format: 'JPEG, 8 bits, 4,2 MB',
      Colours: 'sRGB, assumed: the file names no profile',
      Taken: 'not in the file',
      Exposure: '1/60 s, f/1,8, ISO 64',
    })
  })
})
