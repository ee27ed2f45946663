import type { Output } from '../../shared-core/contract/calls.ts'
import type { HistoryEntry } from '../../shared-core/records/history.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import {
  type Band,
  noFilter,
  type Panel,
  type PanelFilter,
  type PanelSummary,
} from '../../shared-core/records/panel.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import type { Reading } from '../../shared-core/records/reading.ts'
import type { PanelGroup } from '../../shared-core/records/wall.ts'

/** An invented rack for the screens: numbers are plausible, nothing is computed from them. */

export const rackInfo: RackInfo = {
  folder: '/racks/north-wall',
  name: 'North wall',
  panelCount: 60,
  trayCount: 2,
  revision: 7,
  undo: 'Rename panel',
  redo: null,
  access: { mode: 'full', why: null, asOf: null },
  cautions: [],
  keptInSync: false,
}

/** A change as the history tells of it. */
export const changeEntry = (id: string, more: Partial<HistoryEntry> = {}): HistoryEntry => ({
  id,
  at: '2031-05-03T12:00:00.000Z',
  who: '',
  label: `change ${id}`,
  brief: '',
  undone: false,
  kind: 'change',
  leftBehind: false,
  undoneAt: null,
  undoneBy: null,
  panel: null,
  ...more,
})

type Paint = { name: string; lab: [number, number, number] }
const grounds: Paint[] = [
  { name: 'bright silver', lab: [88, -0.5, 0.5] },
  { name: 'gold', lab: [76, 6, 42] },
  { name: 'copper', lab: [62, 24, 34] },
  { name: 'charcoal', lab: [34, 0, -1] },
  { name: 'white', lab: [95, -0.5, 1.5] },
]
const candies: Paint[] = [
  { name: 'Rosehip', lab: [34, 56, 30] },
  { name: 'Ember', lab: [46, 52, 54] },
  { name: 'Kestrel', lab: [36, 28, 38] },
  { name: 'Quince', lab: [66, 14, 66] },
  { name: 'Bracken', lab: [48, -20, 48] },
  { name: 'Juniper', lab: [44, -42, 30] },
  { name: 'Fenwater', lab: [52, -32, 4] },
  { name: 'Tidewater', lab: [42, -26, -14] },
  { name: 'Halyard', lab: [36, 8, -46] },
  { name: 'Nightjar', lab: [24, 30, -52] },
  { name: 'Damson', lab: [24, 34, -18] },
  { name: 'Foxglove', lab: [36, 54, -16] },
]

function bandsOf(panelId: string, ground: Paint, candy: Paint, coats: number[], withCuts: boolean): Band[] {
  return coats.map((coat) => {
    const share = 1 - 0.62 ** coat
    const [l, a, b] = [0, 1, 2].map(
      (i) => ground.lab[i]! + (candy.lab[i]! * (ground.lab[0] / 92) - ground.lab[i]!) * share,
    )
    return {
      stepId: `${panelId}-s${coat}`,
      coats: coat,
      lab: { l: l!, a: a!, b: b! },
      bound90: 0.9,
      cut: withCuts ? `${panelId}-s${coat}` : null,
    }
  })
}

const ladders = [[0, 1, 2, 3, 4], [2, 4], [1, 2, 3, 4], [4], [0, 2, 4], [0, 1, 2, 3, 4], [0, 2, 4, 6]]

/** Sixty panels over five grounds; the third of every seven hangs without a photo, every thirteenth is planned. */
export const panels: PanelSummary[] = grounds.flatMap((ground, g) =>
  candies.map((candy, c) => {
    const n = g * candies.length + c
    const id = `panel-${n + 1}`
    const coats = ladders[n % ladders.length]!
    const planned = n % 13 === 12
    return {
      id,
      code: `P-${String(12 + n * 5).padStart(4, '0')}`,
      title: planned ? `${candy.name}, to try` : candy.name,
      status: planned ? 'planned' : n % 29 === 28 ? 'retired' : 'sprayed',
      sprayedOn: planned ? null : `2031-0${1 + (n % 9)}-1${n % 10}`,
      ground: ground.name,
      candies: [candy.name],
      coatsFrom: coats[0]!,
      coatsTo: coats.at(-1)!,
      cleared: n % 3 === 0,
      tags: n % 10 === 4 ? ['helmet'] : [],
      bands: planned
        ? coats.map((coat) => ({ stepId: `${id}-s${coat}`, coats: coat, lab: null, bound90: null, cut: null }))
        : bandsOf(id, ground, candy, coats, n % 7 !== 3),
    }
  }),
)

export const words = {
  grounds: grounds.map((ground) => ground.name),
  candies: candies.map((candy) => candy.name),
  tags: ['helmet'],
}

/** The sample narrowed as the contract words it: several of a kind widen, kinds narrow each other. */
export function listed(filter: PanelFilter = noFilter): Output<'panels.list'> {
  const any = (wanted: string[], has: (string | null)[]) => wanted.length === 0 || wanted.some((w) => has.includes(w))
  return {
    total: panels.length,
    panels: panels.filter(
      (p) =>
        `${p.code} ${p.title}`.toLowerCase().includes(filter.words.toLowerCase()) &&
        any(filter.grounds, [p.ground]) &&
        any(filter.candies, p.candies) &&
        any(filter.tags, p.tags) &&
        (filter.cleared === null || p.cleared === filter.cleared) &&
        (filter.status === null || p.status === filter.status),
    ),
  }
}

/** The sample as it hangs: by code, grounds by name. */
export function ordered(filter: PanelFilter, group: PanelGroup): Output<'panels.order'> {
  const fitting = listed(filter).panels
  const nameOf = (panel: PanelSummary) => (group === 'none' ? null : panel.ground)
  const names = [...new Set(fitting.map(nameOf))].toSorted((a, b) => (a ?? '\uffff').localeCompare(b ?? '\uffff'))
  const ids: string[] = []
  const groups = names.map((name) => {
    const members = fitting.filter((panel) => nameOf(panel) === name)
    ids.push(...members.map(({ id }) => id))
    return { name, from: ids.length - members.length, count: members.length }
  })
  return { ids, groups, total: panels.length, corrected: [] }
}

/** What the wall asks. */
export const wallAnswers = {
  'panels.order': ({ filter, group }: { filter: PanelFilter; group: PanelGroup }) => ordered(filter, group),
  'panels.summaries': ({ ids }: { ids: string[] }) => ({
    panels: ids.flatMap((id) => panels.filter((panel) => panel.id === id)),
  }),
  'panels.listWords': () => words,
  'film.listSuspects': () => ({ suspects: [] }),
}

const parts = (
  name: string,
  kind: 'concentrate' | 'carrier' | 'clear' | 'hardener' | 'base' | 'reducer' | 'sealer',
  amount: number,
) => ({
  amount,
  unit: 'parts' as const,
  material: { id: null, name, kind },
  mixture: null,
})
const mixture = (...list: Mixture['parts']): Mixture => ({ name: '', basis: 'volume', parts: list })

const summary: PanelSummary = { ...panels[26]!, cleared: true }
/** A panel taped in steps, with its photo, readings in two views, and a build from sealer to clear. */
export const panel: Panel = {
  id: summary.id,
  code: summary.code,
  title: summary.title,
  status: 'sprayed',
  sprayedOn: '2031-05-14',
  sprayedBy: 'Wren',
  substrate: 'Steel, 100 × 200 mm',
  notes: 'Bled a little into white under tape.',
  tags: ['helmet'],
  steps: summary.bands.map((band) => ({ id: band.stepId, coats: band.coats, notes: '' })),
  layers: [
    {
      id: 'l1',
      kind: 'sealer',
      name: 'mid grey',
      coats: 1,
      mixture: mixture(parts('sealer', 'sealer', 4), parts('hardener', 'hardener', 1), parts('reducer', 'reducer', 1)),
      gunSetup: null,
      booth: null,
      notes: '',
    },
    {
      id: 'l2',
      kind: 'ground',
      name: 'copper',
      coats: 2,
      mixture: mixture(parts('base', 'base', 1), parts('reducer', 'reducer', 1)),
      gunSetup: null,
      booth: null,
      notes: '',
    },
    {
      id: 'l3',
      kind: 'candy',
      name: '',
      coats: summary.coatsTo,
      mixture: mixture(
        {
          amount: 1,
          unit: 'parts',
          material: null,
          mixture: { ...mixture(parts('Ember', 'concentrate', 4), parts('Kestrel', 'concentrate', 1)), name: 'blend' },
        },
        parts('carrier', 'carrier', 6),
        { amount: 5, unit: 'percent-on-top', material: { id: null, name: 'reducer', kind: 'reducer' }, mixture: null },
      ),
      gunSetup: {
        id: 'g1',
        name: 'Candy, small gun',
        gun: 'low-pressure gun',
        tipMm: 1.3,
        inletKpa: 110.3,
        capKpa: null,
        distanceMm: 150,
        overlapPercent: 75,
      },
      booth: { temperatureC: 21, humidityPercent: 48, flashOffMin: 8, reducerGrade: 'slow' },
      notes: '',
    },
    {
      id: 'l4',
      kind: 'clear',
      name: '',
      coats: 2,
      mixture: mixture(parts('clear', 'clear', 2), parts('hardener', 'hardener', 1)),
      gunSetup: null,
      booth: null,
      notes: '',
    },
  ],
}

export const lights = [
  { id: 'tubes', name: 'booth tubes', kelvin: 5000 },
  { id: 'sun', name: 'sun', kelvin: 5500 },
]

const reading = (i: number, view: Reading['view'], l: number, bound90: number): Reading => ({
  id: `reading-${view}-${i}`,
  stepId: summary.bands[i]!.stepId,
  referenceId: null,
  photoId: view === 'face' ? 'photo-1' : 'photo-2',
  areaId: `area-${i}`,
  cut: summary.bands[i]!.cut,
  lab: { ...summary.bands[i]!.lab!, l: summary.bands[i]!.lab!.l + l },
  illuminant: 'D50',
  observer: '2',
  geometry: 'photo',
  level: 'card',
  bound90,
  parts: [
    { cause: 'card', de00: 0.6, words: 'the grey card alone stands for the whole camera' },
    { cause: 'noise', de00: 0.2, words: 'grain and flake inside the area' },
  ],
  cautions: [
    {
      code: 'reading/blue-clipped',
      message: 'Blue is at 0 in 3 % of the area.',
      remedy: 'Take the photo in a wider colour space.',
    },
  ],
  lightId: 'tubes',
  view,
  stage: 'cleared',
  ageDays: 7,
  takenAt: '2031-05-21T09:30:00Z',
})

const photo = (id: string, view: Photo['view']): Photo => ({
  id,
  sha256: (id === 'photo-1' ? 'a' : 'b').repeat(64),
  name: `${id}.jpg`,
  format: 'jpeg',
  width: 3000,
  height: 4000,
  byteCount: 4_200_000,
  bits: 8,
  profile: 'Display P3',
  profileAssumed: false,
  exposure: {
    takenAt: null,
    camera: null,
    exposureS: null,
    fNumber: null,
    iso: null,
    whiteBalance: null,
    focalLengthMm: null,
  },
  lightId: 'tubes',
  view,
  stage: 'cleared',
  setupId: null,
  flatPhotoId: null,
  filed: true,
  layout: {
    areas: summary.bands.map((band, i) => {
      const high = 2800 / summary.bands.length
      const top = 600 + i * high
      return {
        stepId: band.stepId,
        shape: {
          kind: 'quad',
          quad: [
            [700, top + 40],
            [1900, top + 40],
            [1890, top + high - 40],
            [710, top + high - 40],
          ],
        },
      }
    }),
    card: {
      quad: [
        [2150, 1300],
        [2650, 1310],
        [2640, 2100],
        [2140, 2090],
      ],
      lab: { l: 50, a: 0, b: 0 },
    },
  },
  cautions: [],
  addedAt: '2031-05-21T09:31:00Z',
})

export const readings: Reading[] = [
  ...summary.bands.map((_, i) => reading(i, 'face', 0, 0.9 + i * 0.05)),
  reading(summary.bands.length - 1, 'near-glare', 13, 1.6),
]
export const shown: Output<'panels.get'> = {
  panel,
  summary,
  readings,
  photos: [photo('photo-1', 'face'), photo('photo-2', 'near-glare')],
}
