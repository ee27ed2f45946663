import { rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import type { PhotoFormat } from '../../../../shared-core/records/photo.ts'
import { copyOwn } from '../../disk/copy-own.ts'
import { makeFolder, syncFile, syncFolder } from '../../disk/durable.ts'
import { extensions } from '../../disk/photo-store.ts'
import { withRetries } from '../../disk/with-retries.ts'
import { migrations } from '../../migrations/list.ts'
import { takeLock } from '../../opening/lock.ts'
import { mustBeFree } from '../../opening/open.ts'
import { backupsOf } from '../facts.ts'
import { listBackups } from '../list.ts'
import { listOriginals } from '../preview.ts'
import { proveBackup } from '../prove.ts'
import { backupNewer, noGoodBackup } from '../refusals.ts'
import { askWorker } from '../worker/ask.ts'
import { copyVerified, OtherBytes } from './copy-file.ts'

export type Made = {
  file: string
  photos: number
  /** Photos of the records that did not lie there, or were damaged there. */
  missing: number
}

type Making = { signal?: AbortSignal; onProgress?: (stage: string, done: number, total: number) => void }

/**
 * Makes a whole rack in a new folder from a second place (or from a rack's folder): photos and data sheets, each compared with its
 * hash, and a backup as its database. The database gets its name last, so the folder holds a rack only when all of it is there.
 * @param file  name of a backup there; null for the newest whole one
 * @throws Refusal `rack/folder-absent`, `rack/already-one`, `rack/folder-not-empty`, `backup/…`; the signal's reason. Nothing is left then
 */
export async function makeRackFrom(
  from: string,
  file: string | null,
  to: string,
  { signal, onProgress }: Making = {},
): Promise<Made> {
  const chosen = file ?? (await newestGood(from))
  const backup = join(backupsOf(from), chosen)
  const facts = await proveBackup(backup, true)
  if (facts.version > migrations.length) throw backupNewer(chosen, facts.version, migrations.length)
  await mustBeFree(to)
  const lock = await takeLock(to)
  try {
    const photos = await copyAll(from, to, { ...(signal && { signal }), ...(onProgress && { onProgress }) })
    const waiting = join(to, 'rack.sqlite.new')
    await copyOwn(backup, waiting)
    await syncFile(waiting)
    const { sha256 } = await askWorker('hash', { path: waiting })
    if (sha256 !== facts.sha256) throw noGoodBackup(from)
    const { photos: named } = await askWorker('compare', { rack: null, backup: waiting })
    signal?.throwIfAborted()
    await withRetries(() => rename(waiting, join(to, 'rack.sqlite')))
    await syncFolder(to)
    const missing = named.filter(({ sha256: one, format }) => photos.get(one) !== extensions[format as PhotoFormat])
    return { file: chosen, photos: photos.size, missing: missing.length }
  } catch (error) {
    for (const name of ['photos', 'data-sheets', 'rack.sqlite.new'])
      await rm(join(to, name), { recursive: true, force: true })
    throw signal?.aborted ? signal.reason : error
  } finally {
    await lock.release()
  }
}

async function newestGood(folder: string): Promise<string> {
  const backups = await listBackups(folder, 'thorough')
  const good = backups.find(({ state }) => state === 'whole') ?? backups.find(({ state }) => state === 'unproven')
  if (!good) throw noGoodBackup(folder)
  return good.file
}

/** @returns photos that are whole there now: hash → extension */
async function copyAll(from: string, to: string, { signal, onProgress }: Making): Promise<Map<string, string>> {
  const photos = await listOriginals(from, 'photos')
  const sheets = await listOriginals(from, 'data-sheets')
  const total = photos.size + sheets.size
  let done = 0
  for (const [kind, originals] of [
    ['photos', photos],
    ['data-sheets', sheets],
  ] as const)
    for (const [sha256, extension] of originals) {
      signal?.throwIfAborted()
      const shelf = join(kind, sha256.slice(0, 2))
      const name = `${sha256}.${extension}`
      await makeFolder(join(to, kind))
      await makeFolder(join(to, shelf))
      await copyVerified(join(from, shelf, name), join(to, shelf, name), sha256, signal ? { signal } : {}).catch(
        (error: unknown) => {
          if (!(error instanceof OtherBytes)) throw error
          originals.delete(sha256)
        },
      )
      onProgress?.('photos and data sheets', ++done, total)
    }
  return photos
}
