import { among } from '../../queries/among.ts'
import type { AreaRow, ReadingRow } from '../../tables.ts'
import type { Photos } from './photos.ts'
import type { Planning } from './plan.ts'

/** Readings of the panel's steps, and the places in photos that they were taken from. @param steps  ids of those that are there then */
export async function planReadings(planning: Planning, photos: Photos, steps: ReadonlySet<string>): Promise<void> {
  const { past, now } = planning
  for (const reading of past.own.all('reading')) await planThen(planning, reading, photos)
  for (const reading of now.own.all('reading'))
    if (!past.own.get('reading', reading.id)) planLater(planning, reading, steps)
  await planMarks(planning, photos, steps)
}

async function planThen(planning: Planning, then: ReadingRow, photos: Photos): Promise<void> {
  const { now, keepLater, alterations } = planning
  const here = now.own.get('reading', then.id)
  if (here) {
    // taken out then and there again now: it came later
    const stays = keepLater && here.deleted_at === null
    // what it was read from is named as it is named now
    const { photo_id, area_id, light_id, setup_id } = here
    const deleted_at = stays ? null : then.deleted_at
    const to = { ...then, photo_id, area_id, light_id, setup_id, deleted_at }
    alterations.push({ table: 'reading', id: then.id, to })
    return
  }
  // in the trash even then: nobody misses it
  if (then.deleted_at !== null) return
  const photoId = then.photo_id === null ? null : (photos.get(then.photo_id) ?? null)
  if (then.photo_id !== null && photoId === null) return
  const kept = await namedStill(planning, then)
  const areaId = photoId === null ? null : await areaFor(planning, then, photoId)
  alterations.push({ table: 'reading', id: then.id, to: { ...then, ...kept, photo_id: photoId, area_id: areaId } })
}

/** What came later: kept with its step, otherwise taken out, or gone with its step. */
function planLater({ keepLater, alterations }: Planning, reading: ReadingRow, steps: ReadonlySet<string>): void {
  const hasStep = reading.step_id !== null && steps.has(reading.step_id)
  if (!hasStep) alterations.push({ table: 'reading', id: reading.id, to: null })
  else if (!keepLater && reading.deleted_at === null)
    alterations.push({ table: 'reading', id: reading.id, to: { ...reading, deleted_at: new Date().toISOString() } })
}

/** A light or set-up that is not in the rack any more is not named. */
async function namedStill(
  { db, past, notes }: Planning,
  reading: ReadingRow,
): Promise<Pick<ReadingRow, 'light_id' | 'setup_id'>> {
  const there = async (table: 'light' | 'setup', id: string | null) =>
    id !== null && (await db.selectFrom(table).select('id').where('id', '=', id).executeTakeFirst()) ? id : null
  const kept = { light_id: await there('light', reading.light_id), setup_id: await there('setup', reading.setup_id) }
  if (reading.light_id !== null && kept.light_id === null) {
    const name = past.shared.get('light', reading.light_id)?.name ?? 'their light'
    const note = `The light ${name} is not in the rack any more: readings taken in it come back without a light.`
    if (!notes.includes(note)) notes.push(note)
  }
  return kept
}

/** The place in the photo; where it is not marked any more, it is known again but stays out of the marks. */
async function areaFor(
  { db, past, alterations }: Planning,
  reading: ReadingRow,
  photoId: string,
): Promise<string | null> {
  if (reading.area_id === null) return null
  const present = await db.selectFrom('area').select('id').where('id', '=', reading.area_id).executeTakeFirst()
  if (present) return present.id
  const area = past.shared.get('area', reading.area_id)
  if (!area) return null
  const isPlanned = alterations.some(({ table, id }) => table === 'area' && id === area.id)
  if (!isPlanned)
    alterations.push({
      table: 'area',
      id: area.id,
      to: { ...area, photo_id: photoId, position: null, step_id: reading.step_id },
    })
  return area.id
}

/** Marks on photos: those of steps that go name none, and those that named a step which comes back name it again. */
async function planMarks({ db, past, now, notes, alterations }: Planning, photos: Photos, steps: ReadonlySet<string>) {
  const going = now.own.all('step').filter(({ id }) => !steps.has(id))
  const freed = await db
    .selectFrom('area')
    .selectAll()
    .where('step_id', 'in', among(going.map(({ id }) => id)))
    .execute()
  for (const { id } of freed) alterations.push({ table: 'area', id, to: { id, step_id: null } })
  const before = past.shared.all('area').filter(({ step_id }) => step_id !== null && past.own.get('step', step_id))
  const present = await db
    .selectFrom('area')
    .selectAll()
    .where('id', 'in', among(before.map(({ id }) => id)))
    .execute()
  const isElsewhere = new Set<string>()
  for (const area of present) {
    const step_id = before.find(({ id }) => id === area.id)?.step_id ?? null
    if (area.step_id === step_id || photos.get(area.photo_id) === null) continue
    if (area.step_id === null || freed.some(({ id }) => id === area.id) || now.own.get('step', area.step_id))
      setStep(alterations, area, step_id)
    else isElsewhere.add(past.shared.get('photo', area.photo_id)?.name ?? 'a photo')
  }
  for (const name of isElsewhere) notes.push(`What is marked on ${name} belongs to another panel now and stays so.`)
}

function setStep(alterations: Planning['alterations'], area: AreaRow, stepId: string | null): void {
  const planned = alterations.find(({ table, id }) => table === 'area' && id === area.id)
  if (planned?.to) planned.to.step_id = stepId
  else alterations.push({ table: 'area', id: area.id, to: { id: area.id, step_id: stepId } })
}
