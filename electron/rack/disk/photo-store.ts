import { createHash, randomUUID } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { chmod, mkdir, open, rename, rm, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../../shared-core/records/photo.ts'
import { refusalFrom } from '../refusals.ts'
import { syncFolder } from './durable.ts'
import { openOrdinary } from './ordinary-file.ts'
import { withRetries } from './with-retries.ts'

/** By which a format's originals end. */
export const extensions: Readonly<Record<PhotoFormat, string>> = {
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

/** Folders in which a rack keeps files by their hash. */
export type Kind = 'photos' | 'data-sheets'

/** Where a rack keeps files by their hash. */
export const pathByHash = (folder: string, kind: Kind, sha256: string, extension: string): string =>
  join(folder, kind, sha256.slice(0, 2), `${sha256}.${extension}`)

/** As `storeOriginal`, for any kind of file. @throws Refusal as `storeOriginal` */
export async function storeByHash(folder: string, kind: Kind, source: string, extension: string): Promise<Stored> {
  const copy = await copyIn(folder, kind, source)
  try {
    const stored = await keepCopy(folder, copy, extension)
    await syncShelves(folder, kind, [copy.sha256])
    return stored
  } finally {
    await dropCopy(copy)
  }
}

/** A copy inside the rack that has no name yet: its bytes are on the drive, and nobody else writes to it. */
export type Copy = { kind: Kind; path: string; sha256: string; byteCount: number }

/**
 * First step of storing: copies a file into the rack and makes its bytes durable. Then `keepCopy` and `syncShelves`, and
 * `dropCopy` whatever happened.
 * @throws Refusal as `storeOriginal`
 */
export async function copyIn(folder: string, kind: Kind, source: string): Promise<Copy> {
  const all = join(folder, kind)
  const path = join(all, `.${randomUUID()}.part`)
  try {
    await mkdir(all, { recursive: true })
    return { kind, path, ...(await copyHashing(source, path)) }
  } catch (error) {
    await rm(path, { force: true })
    throw refusalFrom(error, folder)
  }
}

/** Gives a copy its name by its hash. The name is durable after `syncShelves`. @throws Refusal as `storeOriginal` */
export async function keepCopy(folder: string, copy: Copy, extension: string): Promise<Stored> {
  const { kind, sha256, byteCount } = copy
  const path = pathByHash(folder, kind, sha256, extension)
  try {
    if (!(await isWhole(path, sha256, byteCount))) {
      await mkdir(dirname(path), { recursive: true })
      // Windows does not put a file in place of one that is read-only
      await chmod(path, 0o644).catch(absentIsFine)
      await chmod(copy.path, 0o444).catch(unsupportedIsFine)
      await withRetries(() => rename(copy.path, path))
    }
    return { sha256, byteCount, path }
  } catch (error) {
    throw refusalFrom(error, folder)
  }
}

export const dropCopy = ({ path }: Copy): Promise<void> => withRetries(() => rm(path, { force: true }))

/**
 * Makes the names of kept files durable, of many at once. Also of those that were there already: whoever put them there
 * may not have come this far yet.
 * @throws Refusal as `storeOriginal`
 */
export async function syncShelves(folder: string, kind: Kind, hashes: readonly string[]): Promise<void> {
  try {
    for (const shelf of new Set(hashes.map((sha256) => sha256.slice(0, 2)))) await syncFolder(join(folder, kind, shelf))
    await syncFolder(join(folder, kind))
  } catch (error) {
    throw refusalFrom(error, folder)
  }
}

/** No photo and no data sheet is larger; what is, was looked at before and grew meanwhile. */
const mostFileBytes = 2_000_000_000
const pieceBytes = 1 << 20
/** Not in use at the moment. One for each of thousands of photos would fill the memory until it is cleared. */
const pieces: Buffer[] = []

async function copyHashing(source: string, target: string): Promise<{ sha256: string; byteCount: number }> {
  const hash = createHash('sha256')
  let byteCount = 0
  const from = await openOrdinary(source).catch(unreadable)
  const piece = pieces.pop() ?? Buffer.allocUnsafeSlow(pieceBytes)
  try {
    const to = await open(target, 'wx')
    try {
      for (;;) {
        const { bytesRead } = await from.read(piece, 0, pieceBytes, null).catch(unreadable)
        if (bytesRead === 0) break
        const bytes = piece.subarray(0, bytesRead)
        hash.update(bytes)
        byteCount += bytesRead
        // a file that grows while it is read would fill the drive
        if (byteCount > mostFileBytes) unreadable()
        await to.writeFile(bytes)
      }
      await to.sync()
    } finally {
      await to.close()
    }
  } finally {
    pieces.push(piece)
    await from.close()
  }
  return { sha256: hash.digest('hex'), byteCount }
}

function unreadable(): never {
  throw new Refusal(
    'photo/unreadable',
    'The file could not be read to its end.',
    'Check that the card or drive is still connected, then take the photo in again.',
  )
}

/** Whether a file is there, byte for byte. @throws system errors where it cannot be read */
export async function isWhole(path: string, sha256: string, byteCount: number): Promise<boolean> {
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
