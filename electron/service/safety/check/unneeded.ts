import { mkdir, readdir, rename, rm, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import type { UnneededPhoto } from '../../../../shared-core/records/check.ts'
import type { PhotoFormat } from '../../../../shared-core/records/photo.ts'
import { noteFiles } from '../../../rack/check/progress.ts'
import { trashFolder } from '../../../rack/check/walk.ts'
import { syncFolder } from '../../../rack/disk/durable.ts'
import { extensions, originalPath } from '../../../rack/disk/photo-store.ts'
import { withRetries } from '../../../rack/disk/with-retries.ts'
import type { Rack } from '../../../rack/opening/open.ts'

/** Originals that only discarded photos name: kept for undo, until the painter asks to clear them. */

export type Amount = { count: number; byteCount: number }

/**
 * Discarded photos that nothing else needs: no reading, set-up or blank sheet that is still there.
 */
const unneeded = ({ db }: Rack) =>
  db
    .selectFrom('photo')
    .where('deleted_at', 'is not', null)
    .where((e) =>
      e.not(
        e.or([
          e.exists(
            e
              .selectFrom('reading')
              .select('reading.id')
              .whereRef('reading.photo_id', '=', 'photo.id')
              .where('reading.deleted_at', 'is', null),
          ),
          e.exists(
            e
              .selectFrom('setup')
              .select('setup.id')
              .whereRef('setup.photo_id', '=', 'photo.id')
              .where('setup.deleted_at', 'is', null),
          ),
          e.exists(
            e
              .selectFrom('known_sheet')
              .select('known_sheet.id')
              .whereRef('known_sheet.photo_id', '=', 'photo.id')
              .where('known_sheet.deleted_at', 'is', null),
          ),
          e.exists(
            e
              .selectFrom('photo as served')
              .select('served.id')
              .whereRef('served.flat_photo_id', '=', 'photo.id')
              .where('served.deleted_at', 'is', null),
          ),
          e.exists(
            e
              .selectFrom('file_check')
              .select('file_check.sha256')
              .whereRef('file_check.sha256', '=', 'photo.sha256')
              .where('file_check.found', 'in', ['cleared', 'missing']),
          ),
        ]),
      ),
    )

export async function unneededAmount(rack: Rack): Promise<Amount> {
  const { count, bytes } = await unneeded(rack)
    .select((e) => [e.fn.countAll<number>().as('count'), e.fn.sum<number | null>('byte_count').as('bytes')])
    .executeTakeFirstOrThrow()
  return { count, byteCount: bytes ?? 0 }
}

/** Longest discarded first. */
export async function listUnneeded(rack: Rack): Promise<UnneededPhoto[]> {
  const rows = await unneeded(rack)
    .select(['id', 'sha256', 'name', 'byte_count', 'deleted_at'])
    .orderBy('deleted_at')
    .orderBy('id')
    .execute()
  return rows.map((row) => ({
    photoId: row.id,
    sha256: row.sha256,
    name: row.name,
    byteCount: row.byte_count,
    discardedAt: row.deleted_at ?? '',
  }))
}

/** Moves the originals of these discarded photos to the rack's trash folder; others of the list are left alone. */
export async function clearUnneeded(rack: Rack, photoIds: readonly string[]): Promise<Amount> {
  const wanted = new Set(photoIds)
  const rows = (await unneeded(rack).select(['id', 'sha256', 'format', 'byte_count']).execute()).filter(({ id }) =>
    wanted.has(id),
  )
  const moved: Amount = { count: 0, byteCount: 0 }
  for (const { sha256, format, byte_count } of rows) {
    const from = originalPath(rack.folder, sha256, format as PhotoFormat)
    const to = trashPath(rack.folder, sha256, format)
    if (!(await stat(from).catch(() => null))) continue
    await mkdir(dirname(to), { recursive: true })
    // known as cleared first: a move that was cut short must not look like a loss
    await noteFiles(rack.db, [{ sha256, found: 'cleared' }])
    await withRetries(() => rename(from, to))
    await syncFolder(dirname(to))
    moved.count++
    moved.byteCount += byte_count
  }
  return moved
}

export const trashPath = (folder: string, sha256: string, format: string): string =>
  join(folder, trashFolder, 'photos', `${sha256}.${extensions[format as PhotoFormat]}`)

export async function trashAmount(rack: Rack): Promise<Amount> {
  const amount: Amount = { count: 0, byteCount: 0 }
  for await (const { byteCount } of trashed(rack)) {
    amount.count++
    amount.byteCount += byteCount
  }
  return amount
}

/** Deletes what lies in the trash for good. */
export async function emptyTrash(rack: Rack): Promise<Amount> {
  const removed: Amount = { count: 0, byteCount: 0 }
  for await (const { path, byteCount } of trashed(rack)) {
    await withRetries(() => rm(path, { force: true }))
    removed.count++
    removed.byteCount += byteCount
  }
  return removed
}

async function* trashed({ folder }: Rack): AsyncGenerator<{ path: string; byteCount: number }> {
  const inside = join(folder, trashFolder, 'photos')
  for (const name of await readdir(inside).catch(() => [])) {
    const found = await stat(join(inside, name)).catch(() => null)
    if (found?.isFile()) yield { path: join(inside, name), byteCount: found.size }
  }
}
