import { proposedLayout } from '../../rack/queries/layouts.ts'
import { discardPhoto, listTray, readPhotoRecord } from '../../rack/queries/photos.ts'
import type { Handlers } from '../dispatch.ts'
import { filePhoto, fileReference, markPhoto, readOriginal } from '../filing.ts'
import { startIntake } from '../intake.ts'

/** Photos from the tray to a reading. */
export const photoHandlers = {
  'photos.takeIn': async ({ files }, context) => ({ jobId: await startIntake(context.rack(), files, context) }),
  'photos.listTray': async (_, context) => ({ photos: await context.rack().read(listTray) }),
  'photos.get': async ({ photoId }, context) =>
    context.rack().read(async (db) => {
      const photo = await readPhotoRecord(db, photoId)
      return { photo, proposed: await proposedLayout(db, photo) }
    }),
  'photos.read': async ({ photoId, layout }, context) => {
    const rack = context.rack()
    const photo = await readPhotoRecord(rack.db, photoId)
    return readOriginal(rack, photo, layout)
  },
  'photos.mark': async ({ photoId, layout, ...circumstances }, context) => {
    const rack = context.rack()
    await markPhoto(rack, await readPhotoRecord(rack.db, photoId), layout, circumstances)
    return { photo: await readPhotoRecord(rack.db, photoId) }
  },
  'photos.file': async (input, context) => filePhoto(context.rack(), input),
  'photos.fileReference': async (input, context) => ({ reference: await fileReference(context.rack(), input) }),
  'photos.discard': async ({ photoId }, context) => {
    const rack = context.rack()
    const { name } = await readPhotoRecord(rack.db, photoId)
    await rack.change({ label: `discard ${name}` }, (change) => discardPhoto(change, photoId))
    return {}
  },
} satisfies Partial<Handlers>
