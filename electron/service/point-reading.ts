import { v7 } from 'uuid'
import type { PhotoPoint } from '../../shared-core/contract/match-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { Reading, Reference } from '../../shared-core/records/reading.ts'
import type { Rack } from '../rack/open.ts'
import { saveLayout } from '../rack/queries/layouts.ts'
import { readPhotoRecord } from '../rack/queries/photos.ts'
import { addReading } from '../rack/queries/readings.ts'
import { addReference, getReference } from '../rack/queries/references.ts'
import { readOriginal } from './originals.ts'

/** Share of the photo's shorter side that a point reaches around itself. */
const reach = 1 / 50

/** A photo's marks and, after them, a small round area around a point of it. */
export function layoutWithPoint(photo: Photo, { x, y }: Pick<PhotoPoint, 'x' | 'y'>): { layout: Layout; at: number } {
  const radius = reach * Math.min(photo.width, photo.height)
  const within = (value: number, side: number) => Math.min(side - radius, Math.max(radius, value))
  const centre: [number, number] = [within(x * photo.width, photo.width), within(y * photo.height, photo.height)]
  const areas = [...photo.layout.areas, { stepId: null, shape: { kind: 'round' as const, centre, radius } }]
  return { layout: { ...photo.layout, areas }, at: areas.length - 1 }
}

/** Reads the colour at a point of a photo for the asking; nothing is kept. @throws Refusal where it cannot be read */
export async function readPointOf(rack: Rack, point: PhotoPoint): Promise<Reading> {
  const photo = await readPhotoRecord(rack.db, point.photoId)
  const { layout, at } = layoutWithPoint(photo, point)
  return readAt(rack, photo, layout, at, point)
}

async function readAt(rack: Rack, photo: Photo, layout: Layout, at: number, point: PhotoPoint): Promise<Reading> {
  const { setupId, flatPhotoId } = photo
  const result = (await readOriginal(rack, photo, layout, { setupId, flatPhotoId })).results[at]
  if (!result?.colour) {
    const why = result?.refused
    throw new Refusal(
      'photo/nothing-readable',
      why?.message ?? 'The colour at this point could not be read.',
      why?.remedy ?? 'Choose another point.',
    )
  }
  // off by 20 dE00 or more: the nearest panels to it would be no answer
  if (result.colour.level === 'uncalibrated')
    throw new Refusal(
      'photo/no-card',
      `No grey card is read in ${photo.name}, so a colour in it cannot be told yet.`,
      'Open the photo in the Tray and mark its card, or choose a photo with the card in it.',
    )
  return {
    ...result.colour,
    id: `point:${photo.id}:${point.x}:${point.y}`,
    stepId: null,
    referenceId: null,
    photoId: photo.id,
    areaId: null,
    cut: null,
    setupId,
    lightId: photo.lightId,
    view: photo.view,
    stage: photo.stage,
    ageDays: null,
    takenAt: photo.exposure.takenAt ?? photo.addedAt,
  }
}

/** Keeps the colour at a point of a photo as a reference. Whether the photo waits in the tray does not change. */
export async function keepPoint(rack: Rack, { name, ...point }: PhotoPoint & { name: string }): Promise<Reference> {
  const photo = await readPhotoRecord(rack.db, point.photoId)
  const { layout, at } = layoutWithPoint(photo, point)
  const reading = await readAt(rack, photo, layout, at, point)
  return rack.change({ label: `add reference ${name}` }, async (change) => {
    // reading a photo takes a while, in which its marks may have changed
    const now = layoutWithPoint(await readPhotoRecord(change.db, photo.id), point)
    const area = (await saveLayout(change, photo, now.layout))[now.at]
    if (!area) throw new Error('A point that was kept without its area')
    const referenceId = v7()
    await addReference(change, referenceId, name)
    await addReading(change, { ...reading, id: v7(), referenceId, areaId: area.id, cut: area.cutKey })
    return getReference(change.db, referenceId)
  })
}
