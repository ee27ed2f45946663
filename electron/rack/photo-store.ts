import { createHash, randomUUID } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { chmod, mkdir, open, rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'
import { syncFolder } from './durable.ts'
import { refusalFrom } from './refusals.ts'

const extensions: Record<PhotoFormat, string> = {
  jpeg: 'jpg',
  png: 'png',
  tiff: 'tif',
  webp: 'webp',
  avif: 'avif',
  heic: 'heic',
  dng: 'dng',
}

/** Where the original with this hash lies in a rack. */
export const originalPath = (folder: string, sha256: string, format: PhotoFormat): string =>
  pathByHash(folder, 'photos', sha256, extensions[format])

export type Stored = { sha256: string; byteCount: number; path: string }

/**
 * Copies a photo into the rack under its hash and makes it durable, before anything in the database names it. Nobody
 * writes to it any more. One that lies there already is left alone, unless a bad disk has altered it.
 * @throws Refusal `photo/unreadable` for the source; `rack/disk-full`, `rack/read-only` for the rack
 */
export const storeOriginal = (folder: string, source: string, format: PhotoFormat): Promise<Stored> =>
  storeByHash(folder, 'photos', source, extensions[format])

/** Where a rack keeps files by their hash. */
export const pathByHash = (folder: string, kind: 'photos' | 'data-sheets', sha256: string, extension: string): string =>
  join(folder, kind, sha256.slice(0, 2), `${sha256}.${extension}`)

/** As `storeOriginal`, for any kind of file. @throws Refusal as `storeOriginal` */
export async function storeByHash(
  folder: string,
  kind: 'photos' | 'data-sheets',
  source: string,
  extension: string,
): Promise<Stored> {
  const all = join(folder, kind)
  await mkdir(all, { recursive: true })
  const temporary = join(all, `.${randomUUID()}.part`)
  try {
    const { sha256, byteCount } = await copyHashing(source, temporary)
    const path = pathByHash(folder, kind, sha256, extension)
    const shelf = join(all, sha256.slice(0, 2))
    if (!(await isWhole(path, sha256, byteCount))) {
      await mkdir(shelf, { recursive: true })
      // Windows does not put a file in place of one that is read-only
      await chmod(path, 0o644).catch(absentIsFine)
      await chmod(temporary, 0o444).catch(unsupportedIsFine)
      await rename(temporary, path)
    }
    // also when it was there already: whoever put it there may not have come this far yet
    await syncFolder(shelf)
    await syncFolder(all)
    return { sha256, byteCount, path }
  } catch (error) {
    throw refusalFrom(error, folder)
  } finally {
    await rm(temporary, { force: true })
  }
}

async function copyHashing(source: string, target: string): Promise<{ sha256: string; byteCount: number }> {
  const hash = createHash('sha256')
  let byteCount = 0
  const handle = await open(target, 'wx')
  try {
    for await (const chunk of readingFrom(source)) {
      hash.update(chunk)
      byteCount += chunk.length
      await handle.writeFile(chunk)
    }
    await handle.sync()
  } finally {
    await handle.close()
  }
  return { sha256: hash.digest('hex'), byteCount }
}

async function* readingFrom(source: string): AsyncGenerator<Buffer> {
  try {
    for await (const chunk of createReadStream(source, { highWaterMark: 1 << 20 })) yield chunk as Buffer
  } catch {
    throw new Refusal(
      'photo/unreadable',
      'The file could not be read to its end.',
      'Check that the card or drive is still connected, then take the photo in again.',
    )
  }
}

async function isWhole(path: string, sha256: string, byteCount: number): Promise<boolean> {
  try {
    if ((await stat(path)).size !== byteCount) return false
    const hash = createHash('sha256')
    for await (const chunk of createReadStream(path, { highWaterMark: 1 << 20 })) hash.update(chunk as Buffer)
    return hash.digest('hex') === sha256
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return false
    throw error
  }
}

const passing =
  (...codes: string[]) =>
  (error: { code?: string }): void => {
    if (!codes.includes(error.code ?? '')) throw error
  }
const absentIsFine = passing('ENOENT')
/** Drives formatted for cameras, and some on a network, know no rights. */
const unsupportedIsFine = passing('EPERM', 'ENOTSUP', 'EINVAL', 'ENOSYS')
