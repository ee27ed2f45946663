import { create } from 'zustand'
import type { Failure } from '../../shared-core/contract/calls.ts'
import type { Light } from '../../shared-core/records/colour.ts'
import type { Job, JobReport } from '../../shared-core/records/job.ts'
import { noFilter, type PanelFilter, type PanelSort } from '../../shared-core/records/panel.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import { defaultSettings, type Settings } from '../../shared-core/records/settings.ts'
import type { PanelGroup } from '../../shared-core/records/wall.ts'
import { type KeptView, readKeptView } from './kept-view.ts'
import { type Route, readRoute } from './router.ts'

/** Something said to the user. What was said of an action goes with the place where it was taken. */
export type Notice = {
  id: number
  tone: 'said' | 'caution'
  message: string
  remedy: string
  /** The kind of action that failed: its caution goes once one of that kind succeeds. */
  about: string | null
  /** It is about the whole application, and stays until it is put away. */
  stays: boolean
  at: number
}
type Warned = { about?: string; stays?: boolean }

/** Host copies: what calls answered, by call and input, each with the rack revision, and the proposals, it belongs to. */
export type Kept = { value: unknown; error: Failure | null; revision: number; looked?: number }

type Entities = {
  answers: Record<string, Kept>
  keepAnswer: (key: string, kept: Kept) => void
  /** Answers that failed are asked again. */
  forgetFailures: () => void
  /** How often proposals have changed. */
  looked: number
  lights: Light[]
}
type Session = {
  /** undefined while nobody knows yet, null while no rack is open */
  rack: RackInfo | null | undefined
  settings: Settings
  setRack: (rack: RackInfo | null) => void
  setSettings: (settings: Settings) => void
  setLights: (lights: Light[]) => void
}
type View = {
  route: Route
  filter: PanelFilter
  sort: PanelSort
  group: PanelGroup
  cardSize: number
  /** The same panels in two forms. */
  rackView: 'wall' | 'map'
  /** A press chooses a panel instead of opening it. */
  choosing: boolean
  /** Ids of chosen panels, in the order chosen. */
  chosen: string[]
  /** Scroll offsets by place, so that going back returns to the same spot. */
  scrolls: Record<string, number>
  /** What is printed, and of which panels; none chosen is the whole wall. */
  printing: { kind: PrintKind; panelIds: string[] } | null
  /** The panel opened last from the wall, so that going back finds the focus there. */
  lastPanel: string | null
  setRoute: (route: Route) => void
  setView: (change: Partial<Omit<View, 'route' | 'scrolls' | 'setRoute' | 'setView' | 'keepScroll'>>) => void
  keepScroll: (place: string, offset: number) => void
}
export type PrintKind = 'label' | 'sheet' | 'card' | 'photo' | 'index'
type Jobs = {
  jobs: Record<string, Job>
  /** Jobs whose outcome the user has put away. */
  seenJobs: string[]
  setJob: (job: Job) => void
  /** Adds what is told of a job to what was told before. @returns false when something between was missed */
  followJob: (report: JobReport) => boolean
  putAwayJob: (id: string) => void
}
type Notices = {
  notices: Notice[]
  say: (message: string, remedy?: string) => void
  warn: (failure: { message: string; remedy: string }, how?: Warned) => void
  /** An action of this kind succeeded. */
  settle: (about: string) => void
  putAway: (id: number) => void
}
export type State = Entities & Session & View & Jobs & Notices

/** Outcomes put away stay away when the page is loaded again. */
const seenKey = 'overground-seen-jobs'
function readSeen(): string[] {
  const kept = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(seenKey)
  return kept === null ? [] : (JSON.parse(kept) as string[])
}

let nextNotice = 1
/** Of more than so many the oldest go: they take room from the place. */
const mostNotices = 3
/** The newest news takes the place of what was said before; a caution that of one of its kind. */
const addNotice = ({ notices }: State, notice: Omit<Notice, 'id' | 'at'>): Pick<State, 'notices'> => ({
  notices: [
    ...notices.filter(
      (n) =>
        n.message !== notice.message &&
        (notice.about === null || n.about !== notice.about) &&
        (n.tone === 'caution' || notice.tone === 'caution'),
    ),
    { ...notice, id: nextNotice++, at: Date.now() },
  ].slice(-mostNotices),
})

/** What is said while the place changes is about what led there. */
const justSaidMs = 1000
const placeOf = (route: Route): string =>
  `${route.at} ${'key' in route ? route.key : ''} ${'page' in route ? route.page : ''}`
const goneWith = (notices: readonly Notice[]): Notice[] =>
  notices.filter((n) => n.tone === 'said' || n.stays || Date.now() - n.at < justSaidMs)

/** How a rack is looked at when it is opened for the first time. */
const freshView = {
  filter: noFilter,
  rackView: 'wall',
  choosing: false,
  chosen: [],
  scrolls: {},
  lastPanel: null,
} satisfies Partial<KeptView> & Partial<View>

export const useStore = create<State>((set, get) => ({
  answers: {},
  keepAnswer: (key, kept) => set((s) => ({ answers: { ...s.answers, [key]: kept } })),
  forgetFailures: () =>
    set((s) => ({ answers: Object.fromEntries(Object.entries(s.answers).filter(([, kept]) => kept.error === null)) })),
  looked: 0,
  lights: [],
  rack: undefined,
  settings: defaultSettings,
  setRack: (rack) =>
    set((s) =>
      rack?.folder === s.rack?.folder
        ? // what could not be done while it was only looked at can be done now
          { rack, ...(rack?.access.mode === s.rack?.access.mode ? {} : { notices: goneWith(s.notices) }) }
        : { rack, answers: {}, ...freshView, ...s.settings.wall, ...(rack ? readKeptView(rack.folder) : {}) },
    ),
  setSettings: (settings) => set({ settings }),
  setLights: (lights) => set({ lights }),
  route: readRoute(typeof location === 'undefined' ? '/' : location.pathname),
  ...freshView,
  ...defaultSettings.wall,
  printing: null,
  setRoute: (route) =>
    set((s) => (placeOf(route) === placeOf(s.route) ? { route } : { route, notices: goneWith(s.notices) })),
  setView: (change) => set(change),
  keepScroll: (place, offset) => set((s) => ({ scrolls: { ...s.scrolls, [place]: offset } })),
  jobs: {},
  seenJobs: readSeen(),
  setJob: (job) => set((s) => ({ jobs: { ...s.jobs, [job.id]: job } })),
  followJob: ({ itemsBefore, ...report }) => {
    const before = get().jobs[report.id]?.items ?? []
    if (before.length < itemsBefore) return false
    get().setJob({ ...report, items: [...before.slice(0, itemsBefore), ...report.items] })
    return true
  },
  putAwayJob: (id) =>
    set((s) => {
      const seenJobs = [...s.seenJobs, id].slice(-100)
      sessionStorage.setItem(seenKey, JSON.stringify(seenJobs))
      return { seenJobs }
    }),
  notices: [],
  say: (message, remedy = '') => set((s) => addNotice(s, { tone: 'said', message, remedy, about: null, stays: false })),
  warn: ({ message, remedy }, { about = null, stays = false } = {}) =>
    set((s) => addNotice(s, { tone: 'caution', message, remedy, about, stays })),
  settle: (about) =>
    set((s) =>
      s.notices.some((n) => n.about === about) ? { notices: s.notices.filter((n) => n.about !== about) } : s,
    ),
  putAway: (id) => set((s) => ({ notices: s.notices.filter((n) => n.id !== id) })),
}))
