import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Layout, Shape } from '../../../shared-core/records/area.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { sameShape, shapeOf } from '../../rack/queries/layouts.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'

/** Where a reading was read: its photo with all its marks, and which of them it is. */
export type Mark = { photo: Photo; layout: Layout; at: number; shape: Shape }

/** @returns null for a reading that comes of no photo, or whose photo is in the trash */
export async function markOf(db: Rack['db'], { photoId, areaId }: Reading): Promise<Mark | null> {
  if (photoId === null || areaId === null) return null
  const area = await db
    .selectFrom('area')
    .select(['kind', 'points', 'radius'])
    .where('id', '=', areaId)
    .executeTakeFirst()
  if (!area) return null
  const shape = shapeOf(area)
  try {
    const photo = await readPhotoRecord(db, photoId)
    const at = photo.layout.areas.findIndex((marked) => sameShape(marked.shape, shape))
    if (at >= 0) return { photo, layout: photo.layout, at, shape }
    // marked anew since, it still shows where this reading was taken
    const layout = { ...photo.layout, areas: [...photo.layout.areas, { stepId: null, shape }] }
    return { photo, layout, at: layout.areas.length - 1, shape }
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}
