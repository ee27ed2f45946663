import type { Layout } from '../../../../shared-core/records/area.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Proposal } from '../../../../shared-core/records/proposal.ts'
import { isOnlyLookedAt } from '../../../commands/command.ts'
import { useStore } from '../../../state/store.ts'
import { type Circumstances, type Desk, emptyDesk, useDesk } from '../desk-state.ts'
import { type Marks, marksOf, noMarks } from '../marks.ts'
import { fitToSteps } from '../step-marks.ts'
import { sureSheet } from './found.ts'

const set = useDesk.setState
const get = useDesk.getState

/** What was found in a photo, with the panel that it names. */
export type Made = { proposal: Proposal; panel: Panel | null }

/** What may be laid beside a photo: what was found in it; `awaited` while it is still to come; null where it cannot be had. */
export type Offered = Made | 'awaited' | null

/**
 * Lays a photo on the desk: its own marks and set-up, or as a proposal what was found in it and the camera's set-up. Where
 * nobody could look at it the last layout is proposed: of a photo that was looked at it would say nothing.
 */
export function layOnDesk(
  photo: Photo,
  proposed: Layout | null,
  proposedSetupId: string | null,
  offered: Offered = null,
): void {
  const { waiting, onlyDoubtful, goneWith, filed, handing, room, snaps } = get()
  const own = isMarked(photo.layout)
  const made = offered === 'awaited' ? null : offered
  const mayPropose = !own && !photo.filed && !isOnlyLookedAt(useStore.getState())
  const isUnseen = offered === null || made?.proposal.state === 'failed'
  const offer = mayPropose ? offerOf(made, isUnseen ? proposed : null) : null
  const sheet = made && sureSheet(made.proposal)
  const marks = own ? ownMarks(photo.layout) : (offer?.marks ?? (mayPropose && sheet ? { ...noMarks, sheet } : noMarks))
  const asFound = mayPropose && made?.proposal.state === 'made' ? made.proposal : null
  const circumstances = asFound ? foundCircumstances(asFound, photo) : ownCircumstances(photo)
  // a photo that somebody marked without a set-up was meant to have none
  const setupProposed = photo.setupId === null && !own && !photo.filed && (asFound?.setupId ?? proposedSetupId) !== null
  if (setupProposed) circumstances.setupId = asFound?.setupId ?? proposedSetupId
  const fresh: Partial<Desk> = {
    photo,
    marks,
    offered: JSON.stringify([proposed, proposedSetupId, offered]),
    proposal: offer !== null,
    from: offer?.from ?? 'own',
    last: mayPropose ? proposed : null,
    made: made?.proposal ?? null,
    awaited: offered === 'awaited',
    circumstances,
    setupProposed,
    kept: { marks, circumstances },
    chosen: marks.list.length > 0 ? { key: 0, handle: null, band: 0 } : null,
    panel: mayPropose ? (made?.panel ?? null) : null,
    ageDays: asFound?.ageDays ?? null,
  }
  const news = filed && !filed.told ? { ...filed, told: true } : null
  set({ ...emptyDesk, waiting, onlyDoubtful, goneWith, filed: news, handing, room, snaps, ...fresh })
}

/** What was found; where nobody could look, what lay on the last photo. */
function offerOf(made: Made | null, last: Layout | null): { from: Desk['from']; marks: Marks } | null {
  const found = made?.proposal.layout
  const sheet = made && sureSheet(made.proposal)
  const on = (marks: Marks): Marks => (sheet && !marks.sheet ? { ...marks, sheet } : marks)
  if (found && isMarked(found)) {
    const marks = on(marksOf(found))
    return { from: 'found', marks: made.panel ? fitToSteps(marks, made.panel.steps) : marks }
  }
  return last ? { from: 'last', marks: on(marksOf(last)) } : null
}

const ownCircumstances = ({ lightId, view, stage, setupId, flatPhotoId }: Photo): Circumstances => ({
  lightId,
  view,
  stage,
  setupId,
  flatPhotoId,
})

const foundCircumstances = ({ lightId, view, stage }: Proposal, photo: Photo): Circumstances => ({
  ...ownCircumstances(photo),
  lightId: photo.lightId ?? lightId,
  view,
  stage,
})

/** A photo's marks without the references beside a panel: those stay as they were read, and are no steps of it. */
function ownMarks(layout: Layout): Marks {
  const isPanel = layout.areas.some(({ stepId }) => stepId !== null)
  return marksOf(isPanel ? { ...layout, areas: layout.areas.filter((area) => area.referenceId === undefined) } : layout)
}

export function isMarked({ areas, card, tiles = [], chart = null }: Layout): boolean {
  return areas.length > 0 || card !== null || tiles.length > 0 || chart !== null
}

/** Takes a newer record of the photo on the desk, and newer proposals; what somebody has begun stays. */
export function renewPhoto(
  photo: Photo,
  proposed: Layout | null,
  proposedSetupId: string | null,
  offered: Offered = null,
): void {
  const desk = get()
  const { photo: before, past, future, proposal, panel, aim, referenceName, referenceId } = desk
  if (!before || before.id !== photo.id) return
  const own = isMarked(photo.layout)
  const isNew = desk.offered !== JSON.stringify([proposed, proposedSetupId, offered])
  const offeredAnew = isUntouched(desk) && !own && isNew
  // its own marks arrive while another photo's are still proposed: an older answer had laid it here
  if (offeredAnew || (proposal && own)) {
    layOnDesk(photo, proposed, proposedSetupId, offered)
    keepWhatHolds(desk)
    const said = own || aim !== emptyDesk.aim ? { panel, aim, referenceName, referenceId } : {}
    set(said)
    return
  }
  // what was found is known all the same, for whoever asks for it
  if (offered !== null) {
    const made = offered === 'awaited' ? null : offered.proposal
    set({ made: made ?? desk.made, awaited: offered === 'awaited' })
  }
  const untouched = past.length === 0 && future.length === 0
  const changed = JSON.stringify(before.layout) !== JSON.stringify(photo.layout)
  if (untouched && changed) {
    const fresh = ownMarks(photo.layout)
    set((s) => ({ photo, marks: fresh, chosen: null, kept: { ...s.kept, marks: fresh } }))
  } else set({ photo })
}

/** The same photo was laid anew: what was told and read of it, and how it is looked at, stays. */
export function keepWhatHolds(before: Desk): void {
  const { filed, view, reading, asking, findsPanel, panelBefore } = before
  const bothKept = before.bothKept && before.panel?.id === get().panel?.id
  const same = JSON.stringify(before.marks) === JSON.stringify(get().marks)
  // a reading of other marks is asked anew as soon as they differ
  const seeking = { findsPanel, panelBefore }
  set({ filed, view, reading, asking, bothKept, ...seeking, ...(same ? { chosen: before.chosen } : {}) })
}

/** Nobody has marked, chosen or declined anything since the photo was laid here. */
export function isUntouched({ past, future, panel, made, marks, circumstances, kept, tool, aim }: Desk): boolean {
  const chose = panel !== null && panel.id !== made?.panelId
  const began = past.length > 0 || future.length > 0 || chose || tool !== null || aim !== emptyDesk.aim
  return !began && marks === kept.marks && circumstances === kept.circumstances
}
