import { v7 } from 'uuid'
import type { z } from 'zod'
import type { AreaResult } from '../../shared-core/contract/photo-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout, MarkedArea } from '../../shared-core/records/area.ts'
import type { Stage, View } from '../../shared-core/records/colour.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { ReadColour, Reading, Reference } from '../../shared-core/records/reading.ts'
import type { Changing } from '../rack/history/change.ts'
import type { Rack } from '../rack/opening/open.ts'
import { otherAreas, sameShape, saveLayout, withoutLostSteps } from '../rack/queries/layouts.ts'
import { readPanel } from '../rack/queries/panel-read.ts'
import { readPhotoRecord } from '../rack/queries/photos.ts'
import { addReading, removeReading } from '../rack/queries/readings.ts'
import { addReference, getReference } from '../rack/queries/references.ts'
import { mustBeLight } from '../rack/queries/shelf.ts'
import { type Help, mustBeAtHand, readOriginal } from './originals.ts'

export type Circumstances = Help & { lightId: string | null; view: View; stage: Stage }
type Results = Array<z.infer<typeof AreaResult>>

export type FilePhoto = Circumstances & {
  photoId: string
  panelId: string
  layout: Layout
  ageDays: number | null
}

/** How a photo is filed among others: as part of one change, and only while it waits in the tray unmarked. */
export type AmongOthers = { label: string; partOf: string }

/**
 * Files a photo to a panel: keeps its layout, and one reading for each area whose colour could be read. A panel that was
 * planned has then been sprayed.
 * @returns also the change that it became part of
 */
export async function filePhoto(
  rack: Rack,
  input: FilePhoto,
  among?: AmongOthers,
): Promise<{ readings: Reading[]; results: Results; changeId: string }> {
  const { layout } = input
  const { photo, panel } = await whatIsFiled(rack.db, input)
  const { results } = await readOriginal(rack, photo, layout, input)
  mustBeReadable(layout.areas, results)
  let changeId = ''
  const what = among ?? { label: `file ${photo.name} to ${panel.code}`, panelId: panel.id }
  const noted = (id: string) => void (changeId = id)
  const readings = await rack.change({ ...what, kept: noted }, async (change): Promise<Reading[]> => {
    // reading a photo takes a while, in which the panel may have been altered or the photo undone
    const now = await whatIsFiled(change.db, input)
    if (among) mustWait(now.photo)
    const areas = await keepLayout(change, photo, await withReferences(change.db, photo.id, layout), input)
    await change.insert('filing', {
      id: v7(),
      photo_id: photo.id,
      panel_id: panel.id,
      reference_id: null,
      filed_at: new Date().toISOString(),
    })
    if (panel.status === 'planned') await change.update('panel', panel.id, { status: 'sprayed' })
    await dropReadings(change, photo.id, panel.id)
    const kept: Reading[] = []
    for (const [i, { colour }] of results.entries()) {
      const area = areas[i]
      if (!colour || !area) continue
      const reading = readingOf(colour, photo, area, input, input.ageDays)
      kept.push({ ...reading, stepId: layout.areas[i]?.stepId ?? null })
    }
    for (const reading of kept) await addReading(change, reading)
    return kept
  })
  return { readings, results, changeId }
}

/** @throws Refusal `photo/changed-meanwhile` */
function mustWait({ filed, layout }: Photo): void {
  const { areas, card, chart, sheet, tiles = [] } = layout
  if (!filed && areas.length + tiles.length === 0 && !card && !chart && !sheet) return
  throw new Refusal(
    'photo/changed-meanwhile',
    'It was filed or marked by somebody meanwhile.',
    'Look at it in the tray, or on its panel.',
  )
}

/** @throws Refusal when anything named is not there, or an area names none of the panel's steps */
async function whatIsFiled(db: Rack['db'], { photoId, panelId, layout, ...circumstances }: FilePhoto) {
  const photo = await readPhotoRecord(db, photoId)
  await mustBeKnown(db, photoId, circumstances)
  const panel = await readPanel(db, panelId)
  mustBeMarked(
    layout,
    panel.steps.flatMap((step) => step.id ?? []),
  )
  return { photo, panel }
}

async function mustBeKnown(db: Rack['db'], photoId: string, circumstances: Help & { lightId: string | null }) {
  await mustBeLight(db, circumstances.lightId)
  await mustBeAtHand(db, circumstances, photoId)
}

/** What a photo said of a panel gives way: filing it again is a correction, and a retake is read in its place. */
export async function dropReadings(change: Changing, photoId: string, panelId: string): Promise<void> {
  const earlier = await change.db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .select('reading.id')
    .where('reading.photo_id', '=', photoId)
    .where('step.panel_id', '=', panelId)
    .where('reading.deleted_at', 'is', null)
    .execute()
  for (const { id } of earlier) await removeReading(change, id)
}

export type FileReference = Circumstances &
  Omit<Layout, 'areas'> & { photoId: string; name: string; referenceId?: string | undefined; area: MarkedArea }

/** Files a photo as a colour somebody wants, or as another reading of one. */
export async function fileReference(rack: Rack, input: FileReference): Promise<Reference> {
  const { card, tiles, chart, mmPerPixel, sheet } = input
  const photo = await readPhotoRecord(rack.db, input.photoId)
  await mustBeKnown(rack.db, photo.id, input)
  const layout: Layout = { areas: [{ ...input.area, stepId: null }], card, tiles, chart, mmPerPixel, sheet }
  const { results } = await readOriginal(rack, photo, layout, input)
  mustBeReadable(layout.areas, results)
  const colour = results[0]?.colour
  if (!colour)
    throw new Refusal(
      'photo/nothing-readable',
      'A fade has no single colour, so it cannot be a reference.',
      'Mark a small area of one colour.',
    )
  const { referenceId } = input
  const id = referenceId ?? v7()
  const name = referenceId === undefined ? input.name : (await getReference(rack.db, referenceId)).name
  return rack.change({ label: `file ${photo.name} as reference ${name}` }, async (change) => {
    await readPhotoRecord(change.db, photo.id)
    if (referenceId !== undefined) await getReference(change.db, referenceId)
    await mustBeKnown(change.db, photo.id, input)
    const others = await otherAreas(change.db, photo.id, 'reference')
    const there = others.findIndex(({ shape }) => sameShape(shape, input.area.shape))
    const areas = there < 0 ? [...others, ...layout.areas] : others
    const saved = await keepLayout(change, photo, { ...layout, areas }, input)
    const area = saved.at(there)
    if (referenceId === undefined) await addReference(change, id, name)
    await change.insert('filing', {
      id: v7(),
      photo_id: photo.id,
      panel_id: null,
      reference_id: id,
      filed_at: new Date().toISOString(),
    })
    if (area) await addReading(change, { ...readingOf(colour, photo, area, input, null), referenceId: id })
    return getReference(change.db, id)
  })
}

/**
 * Keeps what is marked on a photo without filing it. An area whose step was dropped meanwhile belongs to none. A set-up or
 * blank sheet that was removed meanwhile is no reason to lose marks where the photo names it already.
 */
export async function markPhoto(rack: Rack, photo: Photo, layout: Layout, circumstances: Circumstances): Promise<void> {
  await rack.change({ label: `mark ${photo.name}` }, async (change) => {
    const { setupId, flatPhotoId } = await readPhotoRecord(change.db, photo.id)
    await mustBeKnown(change.db, photo.id, {
      ...circumstances,
      setupId: circumstances.setupId === setupId ? null : circumstances.setupId,
      flatPhotoId: circumstances.flatPhotoId === flatPhotoId ? null : circumstances.flatPhotoId,
    })
    const known = await withoutLostSteps(change.db, layout)
    await saveLayout(change, photo, await besideReferences(change.db, photo.id, known))
    await change.update('photo', photo.id, told(circumstances))
  })
}

const told = ({ lightId, view, stage, setupId, flatPhotoId }: Circumstances) => ({
  light_id: lightId,
  view,
  stage,
  setup_id: setupId,
  flat_photo_id: flatPhotoId,
})

/** Marks that name steps are a panel's, and say nothing of the references beside it. */
export async function besideReferences(db: Rack['db'], photoId: string, layout: Layout): Promise<Layout> {
  return layout.areas.some(({ stepId }) => stepId !== null) ? withReferences(db, photoId, layout) : layout
}

/** A panel's areas, and after them those of references that were read in the same photo. */
async function withReferences(db: Rack['db'], photoId: string, layout: Layout): Promise<Layout> {
  const others = await otherAreas(db, photoId, 'panel')
  const apart = others.filter((other) => !layout.areas.some(({ shape }) => sameShape(shape, other.shape)))
  return { ...layout, areas: [...layout.areas, ...apart] }
}

async function keepLayout(change: Changing, photo: Photo, layout: Layout, circumstances: Circumstances) {
  const areas = await saveLayout(change, photo, layout)
  await change.update('photo', photo.id, { ...told(circumstances), filed: 1 })
  return areas
}

function readingOf(
  colour: ReadColour,
  photo: Photo,
  area: { id: string; cutKey: string },
  { lightId, view, stage, setupId }: Circumstances,
  ageDays: number | null,
): Reading {
  return {
    ...colour,
    id: v7(),
    stepId: null,
    referenceId: null,
    photoId: photo.id,
    areaId: area.id,
    cut: area.cutKey,
    setupId,
    lightId,
    view,
    stage,
    ageDays,
    takenAt: photo.exposure.takenAt ?? photo.addedAt,
  }
}

function mustBeMarked(layout: Layout, stepIds: readonly string[]): void {
  if (layout.areas.length === 0)
    throw new Refusal(
      'photo/nothing-marked',
      'No area is marked on this photo.',
      'Draw a frame around the paint that is to be read.',
    )
  // a fade is a picture of the panel as a whole and may belong to no step
  const lost = layout.areas.some(({ stepId, shape }) =>
    stepId === null ? shape.kind !== 'fade' : !stepIds.includes(stepId),
  )
  if (lost)
    throw new Refusal(
      'photo/area-without-step',
      'It is not said which step of the panel each marked area shows.',
      'Choose the step beside each area.',
    )
}

function mustBeReadable(areas: readonly MarkedArea[], results: Results): void {
  const readable = areas.some((area, i) => area.shape.kind === 'fade' || results[i]?.colour)
  if (readable) return
  const why = results.find((result) => result.refused)?.refused
  throw new Refusal(
    'photo/nothing-readable',
    why ? `No marked area could be read: ${why.message}` : 'No marked area could be read.',
    why?.remedy ?? 'Mark another area, or take the photo again.',
  )
}
