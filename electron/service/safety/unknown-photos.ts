import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { stat } from 'node:fs/promises'
import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { describePhoto, factsOf, type Inspected } from '../../photos/inspect.ts'
import { listOriginals } from '../../rack/backups/preview.ts'
import { extensions, pathByHash } from '../../rack/disk/photo-store.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { addPhoto } from '../../rack/queries/photos.ts'

export type Named = { sha256: string; name: string; addedAt: string; inTrash: boolean }
export type TakenUnknown = {
  /** Put into the tray. */
  taken: number
  /** They lay in the trash, or nobody ever knew them: they stay in the folder. */
  left: number
  /** Their bytes are not those of their name, or no picture. */
  unreadable: number
}

type Taking = {
  /** What is known of originals from elsewhere; null: nothing is, and every original goes into the tray. */
  named: ReadonlyMap<string, Named> | null
  signal?: AbortSignal
  onProgress?: (done: number, total: number) => void
}

/**
 * Puts originals that lie in the rack's folder and have no row into the tray: one change, with its undo. For records that went back
 * to an earlier state, or were made anew.
 */
export async function takeUnknown(rack: Rack, { named, signal, onProgress }: Taking): Promise<TakenUnknown> {
  const known = new Set((await rack.db.selectFrom('photo').select('sha256').execute()).map(({ sha256 }) => sha256))
  const unknown = [...(await listOriginals(rack.folder))].filter(([sha256]) => !known.has(sha256))
  const wanted = unknown.filter(([sha256]) => !named || named.get(sha256)?.inTrash === false)
  const found: { sha256: string; inspected: Inspected }[] = []
  for (const [i, [sha256, extension]] of wanted.entries()) {
    signal?.throwIfAborted()
    const inspected = await inspect(pathByHash(rack.folder, 'photos', sha256, extension), sha256, extension)
    if (inspected) found.push({ sha256, inspected })
    onProgress?.(i + 1, wanted.length)
  }
  if (found.length > 0) {
    const label =
      found.length === 1 ? 'put a photo back into the tray' : `put ${found.length} photos back into the tray`
    await rack.change({ label }, async (change) => {
      for (const { sha256, inspected } of found) {
        const its = named?.get(sha256)
        await addPhoto(change, {
          id: v7(),
          sha256,
          name: its?.name ?? `${sha256.slice(0, 8)}.${extensions[inspected.format]}`,
          ...inspected,
          lightId: null,
          view: 'face',
          stage: 'dry',
          addedAt: its?.addedAt ?? new Date().toISOString(),
        })
      }
    })
  }
  return { taken: found.length, left: unknown.length - wanted.length, unreadable: wanted.length - found.length }
}

/** @returns null for a file that is not what its name says, or no picture any more */
async function inspect(path: string, sha256: string, extension: string): Promise<Inspected | null> {
  try {
    if (!(await stat(path)).isFile() || (await hashOf(path)) !== sha256) return null
    const facts = await factsOf(path)
    if (extensions[facts.format] !== extension) return null
    return await describePhoto(path, facts)
  } catch (error) {
    if (error instanceof Refusal || (error as { code?: string }).code === 'EIO') return null
    throw error
  }
}

async function hashOf(path: string): Promise<string> {
  const hash = createHash('sha256')
  for await (const piece of createReadStream(path, { highWaterMark: 1 << 20 })) hash.update(piece as Buffer)
  return hash.digest('hex')
}
