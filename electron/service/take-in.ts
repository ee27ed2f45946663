import { v7 } from 'uuid'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'
import { inspectPhoto } from '../photos/inspect.ts'
import type { Changing, What } from '../rack/change.ts'
import type { Rack } from '../rack/open.ts'
import { storeOriginal } from '../rack/photo-store.ts'
import { addPhoto, photoBySha } from '../rack/queries/photos.ts'

export type TakenIn = { photoId: string; sha256: string; format: PhotoFormat; fate: 'taken' | 'duplicate' }
type Within = { what?: What; also?: (change: Changing, photoId: string) => Promise<void> }

/**
 * Takes one photo into the tray: looks at it, stores its original durably, and only then writes its row. A photo that is
 * there already is a duplicate; one that lies in the trash comes back.
 * @param within.what  the change that this is part of
 * @param within.also  done in the same transaction, unless it is a duplicate
 * @throws Refusal photo/… for a file that is not taken, `rack/disk-full`, `rack/read-only`
 */
export async function takeInPhoto(rack: Rack, path: string, name: string, within: Within = {}): Promise<TakenIn> {
  const { byteCount: seen, ...inspected } = await inspectPhoto(path).catch(asRefusal)
  const { sha256, byteCount } = await storeOriginal(rack.folder, path, inspected.format)
  if (byteCount !== seen) throw unreadable('It changed while it was being read.')
  return rack.change(within.what ?? { label: `take in ${name}` }, async (change) => {
    const present = await photoBySha(change.db, sha256)
    const photoId = present?.id ?? v7()
    // back in the tray, also when it had been filed before it was thrown away
    if (present?.inTrash) await change.update('photo', present.id, { deleted_at: null, filed: 0 })
    if (!present)
      await addPhoto(change, {
        id: photoId,
        sha256,
        name,
        ...inspected,
        byteCount,
        lightId: null,
        view: 'face',
        stage: 'dry',
        addedAt: new Date().toISOString(),
      })
    const fate = present && !present.inTrash ? 'duplicate' : 'taken'
    if (fate === 'taken') await within.also?.(change, photoId)
    return { photoId, sha256, format: inspected.format, fate }
  })
}

/** What the system said of the photo's file. */
function asRefusal(error: { code?: string }): never {
  if (['ENOENT', 'EACCES', 'EPERM', 'EISDIR', 'EIO', 'ENOTDIR', 'EBUSY'].includes(error.code ?? ''))
    throw unreadable('The file is not there any more, or may not be read.')
  throw error
}

const unreadable = (why: string): Refusal =>
  new Refusal(
    'photo/unreadable',
    `The file could not be read: ${why}`,
    'Check that the card or drive is still connected, then take the photo in again.',
  )
