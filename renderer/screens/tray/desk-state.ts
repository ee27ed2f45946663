import { create } from 'zustand'
import type { Output } from '../../../shared-core/contract/calls.ts'
import type { Layout, Point } from '../../../shared-core/records/area.ts'
import type { View as ColourView, Stage } from '../../../shared-core/records/colour.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
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
  /** The marks come from the last photo and nobody has looked at them yet. */
  proposal: boolean
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
  /** Photos waiting, in the pile's order. */
  waiting: string[]
  /** What was filed last: told on top of the next photo. */
  filed: { photoId: string; words: string; link: string; route: Route; told?: boolean; left?: boolean } | null
  /** Files being handed to the service; `total` is null while dropped folders are looked into. */
  handing: { done: number; total: number | null } | null
}

const plainly: Circumstances = { lightId: null, view: 'face', stage: 'dry', setupId: null, flatPhotoId: null }

export const emptyDesk: Desk = {
  photo: null,
  marks: noMarks,
  offered: '',
  proposal: false,
  past: [],
  future: [],
  tag: null,
  kept: { marks: noMarks, circumstances: plainly },
  chosen: null,
  tool: null,
  corners: [],
  drawing: null,
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
  filed: null,
  handing: null,
}

export const useDesk = create<Desk>(() => emptyDesk)

const set = useDesk.setState
const get = useDesk.getState

/** Lays a photo on the desk: its own marks and set-up, or the last layout and the camera's set-up as a proposal. */
export function layOnDesk(photo: Photo, proposed: Layout | null, proposedSetupId: string | null): void {
  const { waiting, filed, handing, room } = get()
  const own = isMarked(photo.layout)
  const proposal = !own && proposed !== null && !photo.filed && !isOnlyLookedAt(useStore.getState())
  const marks = own ? ownMarks(photo.layout) : proposal ? marksOf(proposed) : noMarks
  const { lightId, view, stage, flatPhotoId } = photo
  // a photo that somebody marked without a set-up was meant to have none
  const setupProposed = photo.setupId === null && proposedSetupId !== null && !own && !photo.filed
  const setupId = setupProposed ? proposedSetupId : photo.setupId
  const circumstances = { lightId, view, stage, setupId, flatPhotoId }
  const kept = { marks, circumstances }
  const chosen = marks.list.length > 0 ? { key: 0, handle: null, band: 0 } : null
  const news = filed && !filed.told ? { ...filed, told: true } : null
  const offered = JSON.stringify([proposed, proposedSetupId])
  const fresh = { photo, marks, offered, proposal, circumstances, setupProposed, kept, chosen }
  set({ ...emptyDesk, waiting, filed: news, handing, room, ...fresh })
}

/** A photo's marks without the references beside a panel: those stay as they were read, and are no steps of it. */
function ownMarks(layout: Layout): Marks {
  const isPanel = layout.areas.some(({ stepId }) => stepId !== null)
  return marksOf(isPanel ? { ...layout, areas: layout.areas.filter((area) => area.referenceId === undefined) } : layout)
}

export function isMarked({ areas, card, tiles = [], chart = null }: Layout): boolean {
  return areas.length > 0 || card !== null || tiles.length > 0 || chart !== null
}

/** Takes a newer record of the photo on the desk, and newer proposals; what somebody has begun stays. */
export function renewPhoto(photo: Photo, proposed: Layout | null, proposedSetupId: string | null): void {
  const desk = get()
  const { photo: before, past, future, proposal, panel, aim, referenceName, referenceId } = desk
  if (!before || before.id !== photo.id) return
  const own = isMarked(photo.layout)
  const offeredAnew = isUntouched(desk) && !own && desk.offered !== JSON.stringify([proposed, proposedSetupId])
  // its own marks arrive while another photo's are still proposed: an older answer had laid it here
  if (offeredAnew || (proposal && own)) {
    layOnDesk(photo, proposed, proposedSetupId)
    set({ filed: desk.filed, view: desk.view, panel, aim, referenceName, referenceId })
    return
  }
  const untouched = past.length === 0 && future.length === 0
  const changed = JSON.stringify(before.layout) !== JSON.stringify(photo.layout)
  if (untouched && changed) {
    const fresh = ownMarks(photo.layout)
    set((s) => ({ photo, marks: fresh, chosen: null, kept: { ...s.kept, marks: fresh } }))
  } else set({ photo })
}

/** Nobody has marked, chosen or declined anything since the photo was laid here. */
function isUntouched({ past, future, panel, marks, circumstances, kept, tool, aim }: Desk): boolean {
  const began = past.length > 0 || future.length > 0 || panel !== null || tool !== null || aim !== emptyDesk.aim
  return !began && marks === kept.marks && circumstances === kept.circumstances
}

/** Changes what is marked; the step can be undone. Nothing moves while nothing can be kept. */
export function changeMarks(marks: Marks, tag: string | null = null): void {
  const { marks: before, past, tag: lastTag } = get()
  if (marks === before || isOnlyLookedAt(useStore.getState())) return
  const same = tag !== null && tag === lastTag
  set({ marks, proposal: false, past: same ? past : [...past, before].slice(-200), future: [], tag })
}

export function acceptProposal(): void {
  if (get().proposal) set((s) => ({ proposal: false, past: [...s.past, noMarks], future: [], tag: null }))
}

export function declineProposal(): void {
  if (get().proposal) set({ proposal: false, marks: noMarks, chosen: null })
}

export function undoMarks(): void {
  const { past, marks, future } = get()
  const before = past.at(-1)
  if (before) set({ marks: before, past: past.slice(0, -1), future: [marks, ...future], tag: null, chosen: null })
}

export function redoMarks(): void {
  const { past, marks, future } = get()
  const [next, ...rest] = future
  if (next) set({ marks: next, past: [...past, marks], future: rest, tag: null, chosen: null })
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
  const { marks, proposal, photo, kept } = get()
  set({ panel, aim: 'panel', ageDays: panel && photo ? ageOn(photo, panel) : null })
  if (!panel) return
  supposeStage(panel)
  const fitted = fitToSteps(marks, panel.steps)
  if (JSON.stringify(fitted) === JSON.stringify(marks)) return
  // A proposal that is only cut to size stays one: nobody has looked at it yet.
  if (proposal) set({ marks: fitted, kept: { ...kept, marks: fitted } })
  else changeMarks(fitted)
}

/** A panel that has a clear was most likely photographed under it; what somebody chose by hand stays. */
function supposeStage(panel: Panel): void {
  const { photo, circumstances, kept } = get()
  const isCleared = panel.layers.at(-1)?.kind === 'clear'
  const untouched = circumstances.stage === 'dry' && kept.circumstances.stage === 'dry'
  if (isCleared && untouched && photo && !photo.filed) set({ circumstances: { ...circumstances, stage: 'cleared' } })
}

/** Whole days from spraying to the photo, or null when either is unknown. */
function ageOn(photo: Photo, panel: Panel): number | null {
  if (!panel.sprayedOn || !photo.exposure.takenAt) return null
  const days = Math.floor((Date.parse(photo.exposure.takenAt.slice(0, 10)) - Date.parse(panel.sprayedOn)) / 86_400_000)
  return days >= 0 ? days : null
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
