import type { MarkedArea } from '../../../shared-core/records/area.ts'
import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { type Desk, hasUnkept, useDesk } from './desk-state.ts'
import { areasOf, faultIn, layoutOf } from './marks.ts'

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
  if (done && get().photo?.id === desk.photo.id) set({ kept: { marks, circumstances } })
  return done !== null
}

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
  if (desk.filing) return 'Filing…'
  if (desk.lacking === desk.photo.sha256) return 'Its original is not there'
  if (desk.proposal) return 'Accept the proposed marks first'
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

/** Files the photo to its panel or as a reference, then lays the next one on the desk. */
export async function filePhoto(): Promise<void> {
  const desk = get()
  if (!desk.photo || missingToFile(desk) !== null) return
  set({ filing: true })
  try {
    const filed = desk.aim === 'panel' ? await fileToPanel(desk) : await fileAsReference(desk)
    if (filed === null || get().photo?.id !== desk.photo.id) return
    const { marks, circumstances } = desk
    set({ filed, kept: { marks, circumstances } })
    if (!desk.photo.filed) goToPhoto(neighbour(desk, 1))
  } finally {
    set({ filing: false })
  }
}

async function fileToPanel({ photo, panel, marks, circumstances, ageDays }: Desk): Promise<Desk['filed']> {
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
  }
}

async function fileAsReference(desk: Desk): Promise<Desk['filed']> {
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
