import { v7 } from 'uuid'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'
import { lookForHarm } from '../photos/harm/look-for-harm.ts'
import { acceptedFormat, describePhoto, factsOf, type Inspected } from '../photos/inspect.ts'
import { smallPictures } from '../photos/renditions.ts'
import { openOrdinary } from '../rack/disk/ordinary-file.ts'
import { copyIn, dropCopy, extensions, keepCopy, syncShelves } from '../rack/disk/photo-store.ts'
import type { Changing } from '../rack/history/change.ts'
import type { Rack } from '../rack/opening/open.ts'
import { addPhoto, photoBySha } from '../rack/queries/photos.ts'
import { decodings, keepSmallPictures } from './pictures.ts'

/** A photo whose original lies in the rack, and which has no row yet. */
export type Prepared = { sha256: string; name: string; format: PhotoFormat; inspected: Inspected | null }
export type TakenIn = { photoId: string; sha256: string; format: PhotoFormat; fate: 'taken' | 'duplicate' }

type Preparing = {
  /** Ends the decoding of a HEIC. */
  signal?: AbortSignal
  /** Told what went wrong with the small pictures of a photo that is taken in all the same: they are made when asked for. */
  noPictures?: (error: unknown) => void
}

/**
 * First half of taking a photo in: copies it into the rack, decodes it once, small, from that copy (so that what was looked
 * at is what is kept), stores the original under its hash and its small pictures beside. Its bytes are durable, its name
 * is after `syncShelves`. A photo that is in the rack already is not decoded again.
 * @throws Refusal photo/… for a file that is not taken, `rack/disk-full`, `rack/read-only`; or the signal's reason
 */
export async function preparePhoto(
  rack: Rack,
  path: string,
  name: string,
  { signal, noPictures }: Preparing = {},
): Promise<Prepared> {
  // what is no photo at all is not copied
  await acceptedOriginal(path).catch(asRefusal)
  const copy = await copyIn(rack.folder, 'photos', path)
  try {
    const { sha256 } = copy
    const present = await photoBySha(rack.db, sha256)
    if (present) {
      await keepCopy(rack.folder, copy, extensions[present.format])
      return { sha256, name, format: present.format, inspected: null }
    }
    const facts = await factsOf(copy.path, signal)
    const pictures = await decodings.ahead(() => smallPictures(copy.path, facts, signal))
    const inspected = await describePhoto(copy.path, facts)
    await keepCopy(rack.folder, copy, extensions[facts.format])
    await keepSmallPictures(rack, sha256, pictures).catch((error: unknown) => noPictures?.(error))
    return { sha256, name, format: facts.format, inspected }
  } finally {
    await dropCopy(copy)
  }
}

/**
 * Second half: the photo's row, once the original's name is durable. A photo that is there already is a duplicate; one that lies in
 * the trash comes back, to the tray, also when it had been filed before it was thrown away.
 */
export async function addPrepared(change: Changing, prepared: Prepared, addedAt = new Date()): Promise<TakenIn> {
  const { sha256, name, format, inspected } = prepared
  const present = await photoBySha(change.db, sha256)
  if (present) {
    if (present.inTrash) await change.update('photo', present.id, { deleted_at: null, filed: 0 })
    return { photoId: present.id, sha256, format, fate: present.inTrash ? 'taken' : 'duplicate' }
  }
  if (!inspected) throw new Gone()
  const photoId = v7()
  await addPhoto(change, {
    id: photoId,
    sha256,
    name,
    ...inspected,
    lightId: null,
    view: 'face',
    stage: 'dry',
    addedAt: addedAt.toISOString(),
  })
  return { photoId, sha256, format, fate: 'taken' }
}

/** The photo's row was there as it was prepared, and its taking in has been undone since: it has to be prepared again. */
export class Gone extends Error {}

/** Takes one photo into the tray by itself. @throws Refusal as `preparePhoto` */
export async function takeInPhoto(rack: Rack, path: string, name: string): Promise<TakenIn> {
  const prepared = await preparePhoto(rack, path, name)
  await syncShelves(rack.folder, 'photos', [prepared.sha256])
  return rack.change({ label: `take in ${name}` }, (change) => addPrepared(change, prepared))
}

/** Before it is copied: an ordinary file, of a photo's size, and a photo by its first bytes. */
async function acceptedOriginal(path: string): Promise<void> {
  const file = await openOrdinary(path)
  await file.close()
  await lookForHarm(path, await acceptedFormat(path))
}

/** What the system says of a file that is not there, or not to be read, or no file; and of names that no file can have. */
const unreadable = new Set([
  'ENOENT',
  'EACCES',
  'EPERM',
  'EISDIR',
  'EIO',
  'ENOTDIR',
  'EBUSY',
  'ELOOP',
  'ENXIO',
  'ENODEV',
  'ENOTFILE',
  'ENAMETOOLONG',
  'ERR_INVALID_ARG_VALUE',
])

/** What the system said of the photo's file. */
function asRefusal(error: { code?: string }): never {
  if (unreadable.has(error.code ?? ''))
    throw new Refusal(
      'photo/unreadable',
      'The file could not be read: it is not there any more, may not be read, or is no file at all.',
      'Check that the card or drive is still connected, then take the photo in again.',
    )
  throw error
}
