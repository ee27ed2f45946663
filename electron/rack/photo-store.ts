import { createHash, randomUUID } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { mkdir, open, rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'
import { syncFolder } from './durable.ts'
import { diskFull, isDiskFull } from './refusals.ts'

const extensions: Record<PhotoFormat, string> = { jpeg: 'jpg', png: 'png', tiff: 'tif', webp: 'webp', avif: 'avif' }

/** Where the original with this hash lies in a rack. */
export const originalPath = (folder: string, sha256: string, format: PhotoFormat): string =>
  join(folder, 'photos', sha256.slice(0, 2), `${sha256}.${extensions[format]}`)

export type Stored = { sha256: string; byteCount: number; path: string }

/**
 * Copies a photo into the rack under its hash and makes it durable, before anything in the database names it. A file
 * that lies there already is left alone: its name says its content.
 * @throws Refusal `rack/disk-full`, `photo/unreadable`
 */
export async function storeOriginal(folder: string, source: string, format: PhotoFormat): Promise<Stored> {
  const photos = join(folder, 'photos')
  await mkdir(photos, { recursive: true })
  const temporary = join(photos, `.${randomUUID()}.part`)
  try {
    const { sha256, byteCount } = await copyHashing(source, temporary)
    const path = originalPath(folder, sha256, format)
    if (!(await isThere(path, byteCount))) {
      const shelf = join(photos, sha256.slice(0, 2))
      await mkdir(shelf, { recursive: true })
      await rename(temporary, path)
      await syncFolder(shelf)
      await syncFolder(photos)
    }
    return { sha256, byteCount, path }
  } catch (error) {
    throw isDiskFull(error) ? diskFull() : error
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

async function isThere(path: string, byteCount: number): Promise<boolean> {
  try {
    return (await stat(path)).size === byteCount
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return false
    throw error
  }
}
