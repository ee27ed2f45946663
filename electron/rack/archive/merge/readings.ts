import type { Row } from '../../history/rows.ts'
import { alter, comeIn, keyOf, type Merging } from './merging.ts'
import { derivedId } from './operations.ts'
import { bringArea, needPhoto } from './photos.ts'
import { text, textOrNull } from './sides.ts'
import { need } from './things.ts'

export type ReadingPlace = {
  of: 'step_id' | 'reference_id'
  /** Of the step or reference here. */
  here: string
  stepHere: (id: string) => string | null
  /** Theirs counts where both went on. */
  theirsCounts: boolean
  /** They come as another panel's: under other ids. */
  copy: boolean
}

/** What one measured is known by, whatever its id. */
const measured = [
  'l',
  'a',
  'b',
  'illuminant',
  'observer',
  'geometry',
  'level',
  'view',
  'stage',
  'taken_at',
  'bound90',
] as const

/** What would come in or change, without doing it. */
export function readingsToBring(m: Merging, of: ReadingPlace['of'], theirId: string, here: string | null): number {
  return m.theirs
    .all(`select * from reading where ${of} = ? and deleted_at is null`, theirId)
    .filter((row) => here === null || !sameReading(m, row, of, here)).length
}

function sameReading(m: Merging, row: Row, of: ReadingPlace['of'], here: string): Row | undefined {
  const itself = m.ours.get('reading', text(row.id))
  if (itself && itself[of] === here) return itself
  return m.ours
    .all(`select * from reading where ${of} = ? and taken_at = ? order by id`, here, text(row.taken_at))
    .find((other) => measured.every((name) => other[name] === row[name]))
}

/** Readings that are not here yet come in: whatever is chosen, nothing that was measured is lost. @returns how many */
export function bringReadings(m: Merging, theirId: string, place: ReadingPlace): number {
  let came = 0
  for (const row of m.theirs.all(`select * from reading where ${place.of} = ? order by id`, theirId)) {
    const same = place.copy ? undefined : sameReading(m, row, place.of, place.here)
    if (same) {
      if (same.id === row.id) bringState(m, row, place)
      continue
    }
    if (row.deleted_at !== null) continue
    const isTaken = m.ours.get('reading', text(row.id)) !== undefined || m.coming.has(keyOf('reading', text(row.id)))
    const id = place.copy || isTaken ? derivedId(text(row.id), `of ${place.here}`) : text(row.id)
    if (m.ours.get('reading', id)) continue
    comeIn(m, 'reading', { ...row, id, ...placeHere(m, row, place) })
    came++
  }
  return came
}

function placeHere(m: Merging, row: Row, { of, here, stepHere, copy }: ReadingPlace): Row {
  const photo_id = needPhoto(m, row.photo_id)
  const area = row.area_id === null ? undefined : m.theirs.get('area', text(row.area_id))
  const areaPhoto = area ? needPhoto(m, area.photo_id) : null
  return {
    step_id: of === 'step_id' ? here : null,
    reference_id: of === 'reference_id' ? here : null,
    photo_id,
    area_id: area && areaPhoto !== null ? bringArea(m, area, areaPhoto, stepHere, false, copy) : null,
    light_id: need(m, 'light', row.light_id),
    setup_id: need(m, 'setup', row.setup_id),
  }
}

/** The same reading in another state: removed there, or read anew. */
function bringState(m: Merging, row: Row, place: ReadingPlace): void {
  const old = m.ours.get('reading', text(row.id))
  if (!old || Object.keys(row).every((name) => row[name] === old[name])) return
  const verdict = m.verdict('reading', text(row.id))
  if (verdict === 'here' || (verdict === 'both' && !place.theirsCounts)) return
  const wanted = { ...row, ...placeHere(m, row, place) }
  if (textOrNull(row.area_id) === null) wanted.area_id = null
  alter(m, 'reading', text(row.id), wanted)
}
