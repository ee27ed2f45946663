import type { Row } from '../../history/rows.ts'
import { originalName } from './files.ts'
import { alter, comeIn, freeId, keyOf, type Merging } from './merging.ts'
import { text, textOrNull } from './sides.ts'
import { need } from './things.ts'

const marks = ['card', 'tile', 'chart'] as const

/** Our photo of the same bytes, or theirs, which comes in with what is marked on it. */
export function needPhoto(m: Merging, id: Row[string] | undefined): string | null {
  const theirId = textOrNull(id)
  if (theirId === null) return null
  const known = m.ids.get(keyOf('photo', theirId))
  if (known !== undefined) return known
  const row = m.theirs.get('photo', theirId)
  if (!row) return null
  const [old] = m.ours.all('select * from photo where sha256 = ?', text(row.sha256))
  const here = old ? text(old.id) : freeId(m, 'photo', theirId, 'another photo')
  m.ids.set(keyOf('photo', theirId), here)
  if (old) {
    if (old.deleted_at !== null && row.deleted_at === null) alter(m, 'photo', here, { deleted_at: null })
    if (here === theirId && photoVerdict(m, theirId) === 'there') adopt(m, row)
    return here
  }
  comeIn(m, 'photo', {
    ...row,
    id: here,
    light_id: need(m, 'light', row.light_id),
    setup_id: null,
    flat_photo_id: null,
    filed: isFiledOtherwise(m, row) ? 1 : 0,
  })
  m.files.set(originalName(row), { byteCount: Number(row.byte_count) })
  const named = { setup_id: need(m, 'setup', row.setup_id), flat_photo_id: needPhoto(m, row.flat_photo_id) }
  if (named.setup_id !== null || named.flat_photo_id !== null)
    m.sink({ table: 'photo', kind: 'update', id: here, row: named })
  bringMarks(m, theirId, here)
  return here
}

/** A photo of a chart is filed to a set-up, which no filing says. */
const isFiledOtherwise = (m: Merging, photo: Row): boolean =>
  photo.filed === 1 && m.theirs.all('select id from filing where photo_id = ?', text(photo.id)).length === 0

function bringMarks(m: Merging, theirId: string, here: string): void {
  for (const table of marks)
    for (const mark of m.theirs.all(`select * from "${table}" where photo_id = ? order by id`, theirId))
      comeIn(m, table, { ...mark, id: freeId(m, table, text(mark.id), 'another photo'), photo_id: here })
}

/** Of the photo with all that is marked on it. */
function photoVerdict(m: Merging, id: string): 'there' | 'other' {
  const rows = m.photoRows.get(id) ?? []
  return rows.length > 0 && rows.every((row) => m.verdict(row.table, row.id) === 'there') ? 'there' : 'other'
}

/** They alone went on with it: filed it, or marked it anew. */
function adopt(m: Merging, row: Row): void {
  const id = text(row.id)
  alter(m, 'photo', id, {
    view: row.view ?? null,
    stage: row.stage ?? null,
    laid_out_at: row.laid_out_at ?? null,
    mm_per_pixel: row.mm_per_pixel ?? null,
    sheet: row.sheet ?? null,
    light_id: need(m, 'light', row.light_id),
    setup_id: need(m, 'setup', row.setup_id),
    flat_photo_id: needPhoto(m, row.flat_photo_id),
  })
  for (const table of marks)
    for (const mark of m.theirs.all(`select * from "${table}" where photo_id = ? order by id`, id)) {
      if (m.ours.get(table, text(mark.id))) alter(m, table, text(mark.id), mark)
      // one card and one chart to a photo
      else if (table === 'tile' || m.ours.all(`select id from "${table}" where photo_id = ?`, id).length === 0)
        comeIn(m, table, mark)
    }
}

/**
 * Areas of photos, once it is known which steps come in. On a photo that comes in all of them stand where they stood; on
 * one that is here, those stand that they alone went on with, and what only readings name is kept without being marked.
 */
export function bringAreas(m: Merging, stepHere: (id: string) => string | null): void {
  for (const [key, here] of m.ids) {
    if (!key.startsWith('photo ')) continue
    const theirId = key.slice('photo '.length)
    const isNew = m.coming.has(keyOf('photo', here))
    const areAdopted = !isNew && here === theirId && photoVerdict(m, theirId) === 'there'
    if (!isNew && !areAdopted) continue
    for (const area of m.theirs.all(
      'select * from area where photo_id = ? and position is not null order by position',
      theirId,
    ))
      bringArea(m, area, here, stepHere, true)
  }
}

/** @returns the area's id here */
export function bringArea(
  m: Merging,
  area: Row,
  photoHere: string,
  stepHere: (id: string) => string | null,
  isMarked: boolean,
  isCopy = false,
): string {
  const theirId = text(area.id)
  const key = keyOf('area', theirId)
  const known = m.ids.get(key)
  const theirStep = textOrNull(area.step_id)
  const step_id = theirStep === null ? null : stepHere(theirStep)
  if (known !== undefined) {
    // came in with a reading, before its photo was gone through
    if (isMarked && m.coming.has(keyOf('area', known)))
      m.sink({ table: 'area', kind: 'update', id: known, row: { position: area.position ?? null } })
    return known
  }
  const itself = m.ours.all('select * from area where photo_id = ? and id = ?', photoHere, theirId)[0]
  const same =
    (itself && (!isCopy || itself.step_id === step_id) ? itself : undefined) ??
    m.ours
      .all(
        'select * from area where photo_id = ? and cut_key = ? and kind = ? order by id',
        photoHere,
        text(area.cut_key),
        text(area.kind),
      )
      .find(({ step_id: at }) => at === step_id)
  if (same) {
    m.ids.set(key, text(same.id))
    if (isMarked && text(same.id) === theirId)
      alter(m, 'area', theirId, {
        position: area.position ?? null,
        step_id,
        kind: area.kind ?? null,
        points: area.points ?? null,
        radius: area.radius ?? null,
        cut_key: area.cut_key ?? null,
      })
    return text(same.id)
  }
  const here = freeId(m, 'area', theirId, `on ${photoHere}`)
  m.ids.set(key, here)
  comeIn(m, 'area', {
    ...area,
    id: here,
    photo_id: photoHere,
    step_id,
    position: isMarked ? (area.position ?? null) : null,
  })
  return here
}

/** A photo that was filed to a panel or reference there is filed to it here. */
export function bringFilings(
  m: Merging,
  of: 'panel_id' | 'reference_id',
  theirId: string,
  here: string,
  reason: string,
): number {
  let came = 0
  for (const filing of m.theirs.all(`select * from filing where ${of} = ? order by id`, theirId)) {
    const row = m.theirs.get('photo', text(filing.photo_id))
    if (!row || row.deleted_at !== null) continue
    const photo = needPhoto(m, filing.photo_id)
    if (photo === null) continue
    const there = m.ours.all(`select id from filing where photo_id = ? and ${of} = ?`, photo, here)
    const key = keyOf('filing', `${photo} ${here}`)
    if (there.length > 0 || m.coming.has(key)) continue
    m.coming.add(key)
    comeIn(m, 'filing', {
      ...filing,
      id: freeId(m, 'filing', text(filing.id), reason),
      photo_id: photo,
      panel_id: of === 'panel_id' ? here : null,
      reference_id: of === 'reference_id' ? here : null,
    })
    markFiled(m, photo)
    came++
  }
  return came
}

function markFiled(m: Merging, photo: string): void {
  if (m.coming.has(keyOf('photo', photo))) {
    if (m.altered.get(keyOf('photo', photo))?.filed === 1) return
    m.altered.set(keyOf('photo', photo), { filed: 1 })
    m.sink({ table: 'photo', kind: 'update', id: photo, row: { filed: 1 } })
  } else alter(m, 'photo', photo, { filed: 1 })
}
