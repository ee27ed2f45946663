import { act } from 'react'
import { vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { emptyDesk, useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { TrayPlace } from '../../renderer/screens/tray/tray-place.tsx'
import { useStore } from '../../renderer/state/store.ts'
import type { Input, Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { Proposal } from '../../shared-core/records/proposal.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Setup } from '../../shared-core/records/setup.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { click, prepare, settle, takeDown, type } from './mounting.ts'
import { lights, listed, panel, readings, shown } from './sample-rack.ts'

export const waiting = (id: string, layout: Layout = { areas: [], card: null }): Photo => ({
  ...shown.photos[0]!,
  setupId: null,
  flatPhotoId: null,
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
export const cardQuad: Quad = [
  [700, 100],
  [800, 100],
  [800, 250],
  [700, 250],
]
export const panelQuad: Quad = [
  [100, 100],
  [400, 100],
  [400, 700],
  [100, 700],
]
export const proposed: Layout = {
  areas: [{ stepId: null, shape: { kind: 'quad', quad: panelQuad } }],
  card: { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } },
}

/** A set-up as calibrating gives it; nothing is computed from its numbers. */
export const setupOf = (id: string, more: Partial<Setup> = {}): Setup => ({
  id,
  name: id,
  camera: 'Phone',
  lightId: null,
  notes: '',
  photoId: null,
  fit: {
    version: 1,
    profile: 'sRGB',
    camera: Array(18).fill(0),
    covariance: Array(18 * 18).fill(0),
    residual: { median: 1.24, p90: 2.96, patches: 24 },
    card: [0.18, 0.18, 0.18],
    exposure: shown.photos[0]!.exposure,
  },
  calibratedAt: '2031-05-20T09:00:00Z',
  createdAt: '2031-05-20T09:00:00Z',
  ...more,
})

/** What was found in a photo; nothing, unless it is said. */
export const madeOf = (photoId: string, more: Partial<Proposal> = {}): Proposal => ({
  photoId,
  state: 'made',
  found: null,
  layout: null,
  panelId: null,
  panelCode: null,
  panelTitle: null,
  lightId: null,
  setupId: null,
  view: 'face',
  stage: 'dry',
  ageDays: null,
  doubts: [],
  retakeOf: null,
  said: null,
  ...more,
})

/** A colour for each area, whatever it shows. */
const read = ({ layout }: Input<'photos.read'>): Output<'photos.read'> => ({
  results: layout.areas.map(({ shape }) => ({ colour: shape.kind === 'fade' ? null : readings[0]!, refused: null })),
  photo: [],
  cardCheck: 'not-checked',
})
/** What the tray of a test holds, and who answers it. */
export const tray: {
  photos: Photo[]
  /** Marked on the last photo, by the photo that it is proposed for. */
  proposals: Record<string, Layout>
  /** Found in the photos themselves. */
  made: Record<string, Proposal>
  setups: Setup[]
  proposedSetupId: string | null
  /** What a photo answers when nothing else is told. */
  read: (input: Input<'photos.read'>) => Output<'photos.read'>
  client: FakeClient
} = {
  photos: [],
  proposals: {},
  made: {},
  setups: [],
  proposedSetupId: null,
  read,
  client: fakeClient({}),
}
const table: Answers = {
  'photos.listWaiting': () => ({
    ids: tray.photos.map(({ id }) => id),
    sheetIds: tray.photos.flatMap(({ flatPhotoId }) => flatPhotoId ?? []),
  }),
  'photos.getMany': ({ photoIds }) => ({ photos: tray.photos.filter(({ id }) => photoIds.includes(id)) }),
  'photos.get': ({ photoId }) => {
    const photo = tray.photos.find((p) => p.id === photoId)
    if (!photo) throw new Refusal('photo/absent', 'This photo is not in the rack.', 'Take it in again.')
    return { photo, proposed: tray.proposals[photoId] ?? null, proposedSetupId: tray.proposedSetupId }
  },
  'proposals.get': ({ photoId }) => ({ proposal: tray.made[photoId] ?? madeOf(photoId, { state: 'failed' }) }),
  'proposals.say': ({ photoId }) => ({ proposal: tray.made[photoId] ?? madeOf(photoId, { state: 'failed' }) }),
  'proposals.again': ({ photoId, panelId }) => ({
    proposal: { ...(tray.made[photoId] ?? madeOf(photoId, { state: 'failed' })), panelId },
  }),
  'proposals.overview': () => {
    const made = tray.photos.flatMap(({ id }) => tray.made[id] ?? [])
    return {
      ready: made
        .filter(({ state, panelId, doubts }) => state === 'made' && panelId !== null && doubts.length === 0)
        .map(({ photoId, panelId, panelCode }) => ({ photoId, panelId: panelId!, panelCode: panelCode! })),
      doubtful: made
        .filter(({ state, doubts }) => state === 'made' && doubts.length > 0)
        .map(({ photoId, panelCode, doubts }) => ({ photoId, panelCode, why: doubts[0]!.message })),
      waiting: made.filter(({ state }) => state === 'waiting').length,
    }
  },
  'sheets.listKnown': () => ({ sheets: [] }),
  'photos.read': read,
  'photos.mark': ({ photoId, layout }) => ({ photo: { ...waiting(photoId), layout } }),
  'photos.file': ({ layout }) => ({
    readings: layout.areas.map((_, i) => readings[i]!),
    results: layout.areas.map(() => ({ colour: readings[0]!, refused: null })),
  }),
  'references.list': () => ({ references: [] }),
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
  'photos.listFlats': ({ photoId }) => ({ photos: tray.photos.filter(({ id }) => id !== photoId) }),
  'setups.list': () => ({ setups: tray.setups }),
  'lights.add': ({ name, kelvin }) => ({ light: { id: 'lamp', name, kelvin } }),
}

export function Place() {
  useKeyboard()
  const route = useStore((s) => s.route)
  return route.at === 'tray' ? <TrayPlace photoId={route.photoId} /> : null
}

/** The stage as in a window: 1056 × 856, so that the photo of 1000 × 800 lies on it at its own size, 28 from the edge. */
const free = 28
/** Three photos waiting, none marked, none proposed. */
export function setTray() {
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(1056)
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(856)
  tray.photos = [waiting('first'), waiting('second'), waiting('third')]
  tray.proposals = {}
  tray.made = {}
  tray.setups = []
  tray.proposedSetupId = null
  tray.client = prepare(table)
  useDesk.setState(emptyDesk, true)
  useStore.setState({
    route: { at: 'tray', photoId: null },
    lights,
    settings: { ...defaultSettings, decimal: 'point' },
  })
}

export async function clearTray() {
  await takeDown()
  localStorage.clear()
  vi.restoreAllMocks()
}

export const stage = (host: ParentNode) => host.querySelector<HTMLElement>('.tray-stage')!

export async function pointer(host: ParentNode, kind: 'down' | 'move' | 'up', [x, y]: [number, number]) {
  await act(async () => {
    const at = { clientX: x + free, clientY: y + free, pointerId: 1, button: 0, bubbles: true, cancelable: true }
    stage(host).dispatchEvent(new PointerEvent(`pointer${kind}`, at))
  })
}

export async function drag(host: ParentNode, from: [number, number], to: [number, number]) {
  await pointer(host, 'down', from)
  await pointer(host, 'move', [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2])
  await pointer(host, 'move', to)
  await pointer(host, 'up', to)
  await settle()
}

export async function waitForReading() {
  await act(async () => new Promise((resolve) => setTimeout(resolve, 350)))
  await settle()
}

export async function choosePanel(host: ParentNode, words = panel.code) {
  const field = [...host.querySelectorAll('label')].find((l) => l.textContent?.startsWith('Which panel'))!
  await type(field.querySelector('input'), words)
  await act(async () => new Promise((resolve) => setTimeout(resolve, 200)))
  await settle()
  await click(host.querySelector('.tray-find li button'))
}

export const mainButton = (host: ParentNode) => host.querySelector<HTMLButtonElement>('.tray-acts .btn')!
