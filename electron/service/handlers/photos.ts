import { proposedLayout } from '../../rack/queries/layouts.ts'
import { discardPhoto, listTray, listWaiting, readPhotoRecord, readPhotos } from '../../rack/queries/photos.ts'
import { proposedSetupId } from '../../rack/queries/setups.ts'
import { listFlatIds } from '../../rack/queries/tray.ts'
import type { Handlers } from '../dispatch.ts'
import { filePhoto, fileReference, markPhoto } from '../filing.ts'
import { startIntake } from '../intake.ts'
import { readOriginal } from '../originals.ts'
import { keepPoint, readPointOf } from '../point-reading.ts'

/** Photos from the tray to a reading. */
export const photoHandlers = {
  'photos.takeIn': async ({ files }, context) => ({ jobId: await startIntake(context.rack(), files, context) }),
  'photos.listWaiting': async (_, context) => context.rack().read(listWaiting),
  'photos.getMany': async ({ photoIds }, context) => {
    const found = new Map(
      (await context.rack().read((db) => readPhotos(db, photoIds))).map((photo) => [photo.id, photo]),
    )
    return { photos: photoIds.flatMap((id) => found.get(id) ?? []) }
  },
  'photos.listTray': async (_, context) => ({ photos: await context.rack().read(listTray) }),
  'photos.get': async ({ photoId }, context) =>
    context.rack().read(async (db) => {
      const photo = await readPhotoRecord(db, photoId)
      return {
        photo,
        proposed: await proposedLayout(db, photo),
        proposedSetupId: await proposedSetupId(db, photo),
      }
    }),
  'photos.listFlats': async ({ photoId }, context) =>
    context.rack().read(async (db) => {
      const { id, width, height, exposure, addedAt } = await readPhotoRecord(db, photoId)
      const { camera, takenAt } = exposure
      const ids = await listFlatIds(db, { id, width, height, camera, takenAt: takenAt ?? addedAt })
      const photos = new Map((await readPhotos(db, ids)).map((photo) => [photo.id, photo]))
      return { photos: ids.flatMap((flatId) => photos.get(flatId) ?? []) }
    }),
  'photos.read': async ({ photoId, layout, ...help }, context) => {
    const rack = context.rack()
    const photo = await readPhotoRecord(rack.db, photoId)
    return readOriginal(rack, photo, layout, help)
  },
  'photos.mark': async ({ photoId, layout, ...circumstances }, context) => {
    const rack = context.rack()
    await markPhoto(rack, await readPhotoRecord(rack.db, photoId), layout, circumstances)
    return { photo: await readPhotoRecord(rack.db, photoId) }
  },
  'photos.file': async (input, context) => {
    const { readings, results } = await filePhoto(context.rack(), input)
    return { readings, results }
  },
  'photos.fileReference': async (input, context) => ({ reference: await fileReference(context.rack(), input) }),
  'photos.readPoint': async (point, context) => ({ reading: await readPointOf(context.rack(), point) }),
  'references.addFromPoint': async (input, context) => ({ reference: await keepPoint(context.rack(), input) }),
  'photos.discard': async ({ photoId }, context) => {
    const rack = context.rack()
    const { name } = await readPhotoRecord(rack.db, photoId)
    await rack.change({ label: `discard ${name}` }, (change) => discardPhoto(change, photoId))
    return {}
  },
} satisfies Partial<Handlers>
