import type { MarkedArea } from '../../../shared-core/records/area.ts'
import type { Proposal } from '../../../shared-core/records/proposal.ts'
import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { type Desk, hasUnkept, useDesk } from './desk-state.ts'
import { areasOf, faultIn, layoutOf } from './marks.ts'
import { dropDraft } from './marks-draft.ts'
import { isFilingAll } from './pile/row-state.ts'
import { isSureEnough } from './proposing/found.ts'
import { countOthers } from './proposing/other-panels.ts'

const get = useDesk.getState
const set = useDesk.setState

/** The marks as a layout, with the scale that the card's size gives. */
export const layoutNow = (marks: Desk['marks']) => layoutOf(marks, useStore.getState().settings.cardSizeMm)

/** Keeps what is marked on a photo that stays in the tray. @returns false when it could not be kept */
export async function keepMarks(): Promise<boolean> {
  const desk = get()
  if (!desk.photo || !hasUnkept(desk)) return true
  const { marks, circumstances } = desk
  const done = await act('photos.mark', { photoId: desk.photo.id, layout: layoutNow(marks), ...circumstances })
  if (done) dropDraft(desk.photo.id)
  if (done && get().photo?.id === desk.photo.id) set({ kept: { marks, circumstances } })
  // kept without any mark it would be filed unseen, with the marks that were taken away
  if (done && isEmptied(desk)) await act('proposals.say', { photoId: desk.photo.id, declined: true })
  return done !== null
}

/** All that was found in the photo was taken off it. */
const isEmptied = ({ marks, made, photo }: Desk): boolean =>
  !photo?.filed && marks.list.length === 0 && (made?.layout?.areas.length ?? 0) > 0

/** The photo after (or before) this one in the pile, round its end; null when no other waits. */
export function neighbour(desk: Desk, way: 1 | -1): string | null {
  const others = desk.waiting.filter((id) => id !== desk.photo?.id)
  const at = desk.photo ? desk.waiting.indexOf(desk.photo.id) : -1
  if (others.length === 0) return null
  if (at === -1) return others[0]!
  return desk.waiting[(at + way + desk.waiting.length) % desk.waiting.length]!
}

export function goToPhoto(photoId: string | null): void {
  go({ at: 'tray', photoId }, 'replace')
}

/** What is missing before the photo can be filed; null when nothing is. */
export function missingToFile(desk: Desk): string | null {
  if (!desk.photo) return 'No photo is open'
  if (desk.filing || (desk.goneWith.includes(desk.photo.id) && isFilingAll(useStore.getState()))) return 'Filing…'
  if (desk.lacking === desk.photo.sha256) return 'Its original is not there'
  if (desk.proposal && !isSureEnough(desk)) return 'Accept the proposed marks first'
  if (desk.cutUnseen) return 'Look at the steps first: they were cut into equal strips'
  const areas = areasOf(desk.marks)
  if (areas.length === 0) return 'First mark where the panel is'
  const fault = faultIn(desk.marks)
  if (fault) return fault
  if (desk.aim === 'reference') {
    if (desk.referenceId === null && desk.referenceName.trim() === '') return 'Give the reference a name'
    return areas.every(({ area }) => area.shape.kind === 'fade') ? 'A fade has no single colour: mark an area' : null
  }
  if (!desk.panel) return 'Say which panel this is'
  const open = areas.filter(({ area }) => area.stepId === null).length
  if (open === areas.length && open > 1) return 'Say which step each area shows'
  if (open > 0) return open === 1 ? 'Say which step the area shows' : `Say which steps ${open} areas show`
  return null
}

/** Deciding between this photo and the earlier one is all that may be open. */
export const missingToReplace = (desk: Desk): string | null => missingToFile({ ...desk, bothKept: true })

type Replaced = NonNullable<Proposal['retakeOf']>

/** Files the photo in the place of an earlier one of its panel; that one stays until this one stands there. */
export async function fileInPlaceOf(earlier: Replaced): Promise<void> {
  const desk = get()
  if (!desk.panel || missingToReplace(desk) !== null) return
  set({ bothKept: true })
  await filePhoto(earlier)
}

async function replace(photoId: string, panelId: string, { photoId: earlierPhotoId, name }: Replaced): Promise<void> {
  const done = await act('proposals.replaceEarlier', { photoId, earlierPhotoId, panelId })
  if (done) useStore.getState().say(`This photo takes the place of ${name}.`, 'Undo brings that one back.')
}

/** Files the photo to its panel or as a reference, then lays the next one on the desk. */
export async function filePhoto(earlier: Replaced | null = null): Promise<void> {
  const desk = get()
  if (!desk.photo || missingToFile(desk) !== null) return
  set({ filing: true })
  try {
    const filed = desk.aim === 'panel' ? await fileToPanel(desk) : await fileAsReference(desk)
    if (!filed) {
      // nothing was decided as long as it is not filed
      if (earlier && get().photo?.id === desk.photo.id) set({ bothKept: false })
      return
    }
    const gone = filed.isRead ? earlier : null
    if (gone && desk.panel) await replace(desk.photo.id, desk.panel.id, gone)
    else if (earlier) useStore.getState().say(`Nothing was read in this photo: ${earlier.name} stays.`)
    if (get().photo?.id !== desk.photo.id) return
    const { marks, circumstances } = desk
    const others = desk.aim === 'panel' && !desk.photo.filed ? countOthers(desk) : 0
    const { isRead: _, ...told } = filed
    set({ filed: { ...told, others }, kept: { marks, circumstances } })
    const waiting = desk.waiting.filter((id) => id !== gone?.photoId)
    if (!desk.photo.filed) goToPhoto(neighbour({ ...desk, waiting }, 1))
  } finally {
    set({ filing: false })
  }
}

type Filed = NonNullable<Desk['filed']> & { isRead: boolean }

async function fileToPanel({ photo, panel, marks, circumstances, ageDays }: Desk): Promise<Filed | null> {
  if (!photo || !panel) return null
  const layout = layoutNow(marks)
  const done = await act('photos.file', { photoId: photo.id, panelId: panel.id, layout, ...circumstances, ageDays })
  if (!done) return null
  const refused = done.results.filter((result) => result.refused !== null)
  const count = done.readings.length
  const read = count === 0 ? 'as a picture' : count === 1 ? '1 reading' : `${count} readings`
  const left = refused.length === 0 ? '' : ` ${refused.length} not read: ${refused[0]!.refused!.message}`
  return {
    photoId: photo.id,
    words: `Filed, ${read}.${left}`,
    link: `${panel.code} ${panel.title}`.trim(),
    route: { at: 'panel', key: panel.code },
    isRead: count > 0,
  }
}

async function fileAsReference(desk: Desk): Promise<Filed | null> {
  const { photo, marks, circumstances, referenceName, referenceId } = desk
  if (!photo) return null
  const area = referenceArea(desk)
  if (!area) return null
  const name = referenceName.trim()
  const { areas: _, ...known } = layoutNow(marks)
  const which = referenceId === null ? { name } : { name: name || 'reference', referenceId }
  const done = await act('photos.fileReference', { photoId: photo.id, ...which, area, ...known, ...circumstances })
  if (!done) return null
  return {
    photoId: photo.id,
    words: referenceId === null ? 'Filed as a reference.' : 'Filed as another reading of the reference.',
    link: `Match ${done.reference.name}`,
    route: { at: 'match', referenceId: done.reference.id },
    isRead: true,
  }
}

/** The colour wanted: the chosen area, or else the first that has a colour. */
export function referenceArea({ marks, chosen }: Pick<Desk, 'marks' | 'chosen'>): MarkedArea | null {
  const coloured = areasOf(marks).filter(({ area }) => area.shape.kind !== 'fade')
  const here = coloured.find((a) => a.mark === chosen?.key && a.band === chosen.band)
  const found = here ?? coloured[0]
  return found ? { ...found.area, stepId: null } : null
}

/** Moves the photo to the trash; undo brings it back. */
export async function discardPhoto(): Promise<void> {
  const desk = get()
  if (!desk.photo) return
  const done = await act('photos.discard', { photoId: desk.photo.id })
  if (!done) return
  const { marks, circumstances } = desk
  set({ kept: { marks, circumstances } })
  useStore.getState().say(`Discarded ${desk.photo.name}.`, 'Undo brings it back.')
  goToPhoto(neighbour(desk, 1))
}

/** Keeps the marks for another time and goes on. */
export async function setAside(): Promise<void> {
  const desk = get()
  if (!desk.photo || !(await keepMarks())) return
  const next = neighbour(desk, 1)
  if (next !== null) goToPhoto(next)
  else useStore.getState().say('Kept as it is.', 'No other photo waits.')
}
