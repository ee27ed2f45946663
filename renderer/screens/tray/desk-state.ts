import { create } from 'zustand'
import type { Output } from '../../../shared-core/contract/calls.ts'
import { ageOn, supposeStage } from '../../../shared-core/find/filing/suppose.ts'
import type { Layout, Point } from '../../../shared-core/records/area.ts'
import type { View as ColourView, Stage } from '../../../shared-core/records/colour.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
import type { Proposal } from '../../../shared-core/records/proposal.ts'
import { isOnlyLookedAt } from '../../commands/command.ts'
import type { Route } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import type { View } from './desk/zoom.ts'
import type { TileKind } from './known-marks.ts'
import { type Marks, marksOf, noMarks, type Size } from './marks.ts'
import type { MarkKey } from './moving.ts'
import { fitToSteps } from './step-marks.ts'

export type Tool = 'panel' | 'area' | 'round' | 'fade' | 'card' | TileKind | 'chart'
export type Chosen = { key: MarkKey; handle: number | null; band: number }
export type Circumstances = {
  lightId: string | null
  view: ColourView
  stage: Stage
  setupId: string | null
  flatPhotoId: string | null
}
export type LiveReading = Output<'photos.read'>

/** What lies on the desk: one photo, what is marked on it, and where it is to be filed. */
export type Desk = {
  photo: Photo | null
  marks: Marks
  /** What was proposed when the photo was laid here: a later answer may know more. */
  offered: string
  /** The marks were proposed and nobody has looked at them yet. */
  proposal: boolean
  /** Where the marks come from: found in the photo itself, marked on the last one, or neither. */
  from: 'found' | 'last' | 'own'
  /** What was marked on the last photo: laid here by itself only where nobody can look at this one. */
  last: Layout | null
  /** The panel's steps were cut evenly into an outline of one piece just now, and nobody has looked at the cuts yet. */
  cutUnseen: boolean
  /** What was found in the photo; null while nobody has looked, and where it could not be asked for. */
  made: Proposal | null
  /** The photo waits to be looked at, and whatever is found will be proposed. */
  awaited: boolean
  /** It is being looked at again. */
  looking: boolean
  /** An earlier photo of the same may stay beside this one. */
  bothKept: boolean
  past: Marks[]
  future: Marks[]
  /** Changes with the same tag are one step of undo: a drag, a run of arrow keys. */
  tag: string | null
  /** What the service has already; compared by identity. */
  kept: { marks: Marks; circumstances: Circumstances }
  chosen: Chosen | null
  tool: Tool | null
  /** Corners clicked so far with a tool. */
  corners: Point[]
  /** Where a drag with a tool began and is now. */
  drawing: { from: Point; to: Point } | null
  /** Corners are drawn to edges that lie near. */
  snaps: boolean
  /** The chosen corner was drawn to an edge just now. */
  snapped: boolean
  /** The pointer that holds a corner or a cut, on the screen. */
  held: { by: string; at: Point } | null
  /** Null is fitted to the desk. */
  view: View | null
  room: Size
  aim: 'panel' | 'reference'
  panel: Panel | null
  referenceName: string
  /** A reference that it is another reading of; null: a new one. */
  referenceId: string | null
  circumstances: Circumstances
  /** The set-up was proposed and nobody has chosen one: it follows the light. */
  setupProposed: boolean
  ageDays: number | null
  reading: LiveReading | null
  /** An answer is on its way for marks newer than `reading`. */
  asking: boolean
  filing: boolean
  /** The hash of a photo whose picture cannot be had: nothing can be read from it either. */
  lacking: string | null
  /** The sheet that keeps the chart's photo as a set-up is open. */
  keepingSetup: boolean
  /** Calibrated just now: the list of set-ups that is shown may still be without it. */
  freshSetupId: string | null
  /** Photos waiting, in the pile's order; of those that are doubtful alone when the others are hidden. */
  waiting: string[]
  onlyDoubtful: boolean
  /** The field for the panel's code is to take the keys; `panelBefore` comes back with Escape. */
  findsPanel: boolean
  panelBefore: Panel | null
  /** The sheet that files all that are sure is open. */
  filingReady: boolean
  /** Filed in one go just now: whichever of them lies on the desk gives way. */
  goneWith: readonly string[]
  /** What was filed last: told on top of the next photo. */
  filed: {
    photoId: string
    words: string
    link: string
    route: Route
    /** Panels in the same photo that it is not filed to. */
    others?: number
    told?: boolean
    left?: boolean
  } | null
  /** Files being handed to the service; `total` is null while dropped folders are looked into. */
  handing: { done: number; total: number | null } | null
}

const plainly: Circumstances = { lightId: null, view: 'face', stage: 'dry', setupId: null, flatPhotoId: null }

export const emptyDesk: Desk = {
  photo: null,
  marks: noMarks,
  offered: '',
  proposal: false,
  from: 'own',
  last: null,
  cutUnseen: false,
  made: null,
  awaited: false,
  looking: false,
  bothKept: false,
  past: [],
  future: [],
  tag: null,
  kept: { marks: noMarks, circumstances: plainly },
  chosen: null,
  tool: null,
  corners: [],
  drawing: null,
  snaps: true,
  snapped: false,
  held: null,
  view: null,
  room: { width: 0, height: 0 },
  aim: 'panel',
  panel: null,
  referenceName: '',
  referenceId: null,
  circumstances: plainly,
  setupProposed: false,
  ageDays: null,
  reading: null,
  asking: false,
  filing: false,
  lacking: null,
  keepingSetup: false,
  freshSetupId: null,
  waiting: [],
  onlyDoubtful: false,
  findsPanel: false,
  panelBefore: null,
  filingReady: false,
  goneWith: [],
  filed: null,
  handing: null,
}

export const useDesk = create<Desk>(() => emptyDesk)

const set = useDesk.setState
const get = useDesk.getState

/** Changes what is marked; the step can be undone. Nothing moves while nothing can be kept. */
export function changeMarks(marks: Marks, tag: string | null = null): void {
  const { marks: before, past, tag: lastTag } = get()
  if (marks === before || isOnlyLookedAt(useStore.getState())) return
  const same = tag !== null && tag === lastTag
  const steps = same ? past : [...past, before].slice(-200)
  set({ marks, proposal: false, cutUnseen: false, past: steps, future: [], tag, snapped: false })
}

/** Nothing marked; the sheet that lies under all of it is no mark of anybody's. */
const bare = ({ marks: { sheet } }: Desk): Marks => (sheet ? { ...noMarks, sheet } : noMarks)

/** Somebody has looked at what is drawn; from now on it is kept when the photo is left. */
export function acceptProposal(): void {
  const desk = get()
  if (desk.proposal) {
    const kept = { ...desk.kept, marks: bare(desk) }
    // asked for by hand they are a step already
    const past = desk.past.length > 0 ? desk.past : [kept.marks]
    set({ proposal: false, past, kept, future: [], tag: null })
  }
  set({ cutUnseen: false })
}

export function declineProposal(): void {
  if (get().proposal) set((s) => ({ proposal: false, marks: bare(s), chosen: null, from: 'own', cutUnseen: false }))
}

/** The last photo's marks, asked for by hand: proposed, so that somebody looks whether each line lies on its edge. */
export function layLast(): void {
  const desk = get()
  if (!desk.last || isOnlyLookedAt(useStore.getState())) return
  const sheet = desk.marks.sheet
  const marks = { ...marksOf(desk.last), ...(sheet ? { sheet } : {}) }
  const laid = desk.panel ? fitToSteps(marks, desk.panel.steps) : marks
  const past = [...desk.past, desk.proposal ? bare(desk) : desk.marks]
  set({ marks: laid, proposal: true, from: 'last', past, future: [], tag: null, cutUnseen: false })
  chooseMark(laid.list.length > 0 ? { key: 0, handle: null, band: 0 } : null)
}

/** What was marked so far cannot be undone any more: something else was done since, which Undo takes back first. */
export function closePast(): void {
  set({ past: [], future: [], tag: null })
}

export function undoMarks(): void {
  const { past, marks, future } = get()
  const before = past.at(-1)
  const rest = { past: past.slice(0, -1), future: [marks, ...future], proposal: false, cutUnseen: false }
  if (before) set({ marks: before, ...rest, tag: null, chosen: null })
}

export function redoMarks(): void {
  const { past, marks, future } = get()
  const [next, ...rest] = future
  if (next) set({ marks: next, past: [...past, marks], future: rest, tag: null, chosen: null, cutUnseen: false })
}

/** What the photo's own marks say of its panel; what somebody has said since stays. */
export function supposePanel(panel: Panel): void {
  const { aim, panel: chosen } = get()
  if (chosen) return
  if (aim === 'reference') set({ panel })
  else choosePanel(panel)
}

/** Says which panel the photo shows; single outlines are cut into its steps. */
export function choosePanel(panel: Panel | null): void {
  const { marks, proposal, photo, kept, from, panel: before } = get()
  // another panel has other photos
  if (panel?.id !== before?.id) set({ bothKept: false })
  set({ panel, aim: 'panel', ageDays: panel && photo ? ageOn(photo.exposure.takenAt, panel) : null })
  if (!panel) return
  sayStage(panel)
  const fitted = fitToSteps(marks, panel.steps)
  if (JSON.stringify(fitted) === JSON.stringify(marks)) return
  // A proposal that is only cut to size stays one: nobody has looked at it yet.
  if (proposal) set({ marks: fitted, kept: { ...kept, marks: fitted } })
  else changeMarks(fitted)
  if (from === 'found' && bandCount(fitted) > bandCount(marks)) set({ cutUnseen: true })
}

const bandCount = ({ list }: Marks): number =>
  list.reduce((sum, mark) => sum + (mark.kind === 'bands' ? mark.stepIds.length : 1), 0)

/** What somebody chose by hand stays. */
function sayStage(panel: Panel): void {
  const { photo, circumstances, kept } = get()
  const stage = supposeStage(panel, circumstances.stage)
  const untouched = kept.circumstances.stage === 'dry'
  if (stage !== circumstances.stage && untouched && photo && !photo.filed)
    set({ circumstances: { ...circumstances, stage } })
}

export function chooseMark(chosen: Chosen | null): void {
  set({ chosen, tag: null })
}

export function takeTool(tool: Tool | null): void {
  set((s) => ({ tool: s.tool === tool ? null : tool, corners: [], drawing: null }))
}

/** Whether something on the desk would be lost by taking another photo. */
export function hasUnkept(desk: Desk = get()): boolean {
  if (!desk.photo || desk.photo.filed || desk.proposal) return false
  return desk.kept.marks !== desk.marks || desk.kept.circumstances !== desk.circumstances
}
