import { readdir, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { makeFolder, writeDurably } from '../../disk/durable.ts'
import type { Kind } from '../../disk/photo-store.ts'
import { roomAt } from '../../disk/room.ts'
import { backupsOf, factsPath, readFacts } from '../facts.ts'
import { listBackups } from '../list.ts'
import { listOriginals } from '../preview.ts'
import { pruneBackups } from '../prune.ts'
import { copyVerified, OtherBytes } from './copy-file.ts'
import { type Marker, placeAbsent, placeFull, placeNotWritable, readMarker, writeMarker } from './place.ts'

export type Mirrored = {
  /** When everything was there last; null for never. */
  wholeAt: string | null
  /** Files copied this time, and all that lie there. */
  copied: number
  files: number
  byteCount: number
  /** Originals of the rack that are damaged: what lies in the second place stays. */
  damaged: string[]
  /** Of how many of these something lies there, copied before. */
  copiedBefore: number
}

type Mirroring = {
  signal?: AbortSignal
  /** Files done of those that were missing. */
  onProgress?: (stage: string, done: number, total: number) => void
  /** Tells how much may still be written: for tests of a disk that is full. */
  room?: (folder: string) => Promise<number | null>
}

type Missing = { source: string; target: string; shelf: string; sha256: string; byteCount: number; wasThere: boolean }

/**
 * Brings a second place up to date: originals and data sheets that are not there yet, then the newest whole backup. Photos first, so that
 * no record there names a photo that is not. What is interrupted goes on where it stopped: files that have their name are whole.
 * @throws Refusal `second-place/absent`, `second-place/full`, `second-place/not-writable`; the signal's reason
 */
export async function mirror(
  rackFolder: string,
  place: { folder: string; placeId: string },
  { signal, onProgress, room = roomAt }: Mirroring = {},
): Promise<Mirrored> {
  const marker = await mustBeThere(place)
  try {
    const photos = await lookInto(rackFolder, place.folder, 'photos')
    const sheets = await lookInto(rackFolder, place.folder, 'data-sheets')
    const missing = [...photos.missing, ...sheets.missing]
    const needed = missing.reduce((sum, { byteCount }) => sum + byteCount, 0)
    const free = await room(place.folder)
    const isTooMuch = free !== null && needed > free
    const damaged: Missing[] = []
    let done = 0
    onProgress?.('photos to the second place', 0, missing.length)
    for (const file of isTooMuch ? [] : missing) {
      signal?.throwIfAborted()
      await makeFolder(file.shelf)
      await copyVerified(file.source, file.target, file.sha256, signal ? { signal } : {}).catch((error: unknown) => {
        if (!(error instanceof OtherBytes)) throw error
        damaged.push(file)
      })
      onProgress?.('photos to the second place', ++done, missing.length)
    }
    // the records are small, and worth the most: they are brought there all the same
    const revision = await mirrorRecords(rackFolder, place.folder, signal)
    if (isTooMuch) throw placeFull(needed, free)
    const copiedBefore = damaged.filter(({ wasThere }) => wasThere).length
    const lacking = damaged.filter(({ wasThere }) => !wasThere)
    const files = photos.files + sheets.files - lacking.length
    const byteCount = lacking.reduce((sum, one) => sum - one.byteCount, photos.byteCount + sheets.byteCount)
    // one that could not be copied is not there: not everything is
    const wholeAt = lacking.length > 0 ? marker.wholeAt : new Date().toISOString()
    await writeMarker(place.folder, { ...marker, wholeAt, revision, files, byteCount })
    return {
      wholeAt,
      copied: missing.length - damaged.length,
      files,
      byteCount,
      damaged: damaged.map(({ sha256 }) => sha256),
      copiedBefore,
    }
  } catch (error) {
    if (signal?.aborted) throw signal.reason
    throw await saidOf(error, place)
  }
}

async function mustBeThere({ folder, placeId }: { folder: string; placeId: string }): Promise<Marker> {
  const marker = await readMarker(folder)
  if (marker?.placeId !== placeId) throw placeAbsent()
  return marker
}

/** What the system said of the second place, in words: it may be pulled out at any moment. */
async function saidOf(error: unknown, place: { folder: string; placeId: string }): Promise<unknown> {
  const code = (error as { code?: string }).code ?? ''
  if (code === 'ENOSPC' || code === 'EDQUOT') return placeFull(0, null)
  if (code === '' || code.includes('/')) return error
  if ((await readMarker(place.folder))?.placeId !== place.placeId) return placeAbsent()
  return ['EACCES', 'EPERM', 'EROFS'].includes(code) ? placeNotWritable(place.folder) : error
}

async function lookInto(rackFolder: string, placeFolder: string, kind: Kind) {
  const missing: Missing[] = []
  let byteCount = 0
  const originals = await listOriginals(rackFolder, kind)
  const there = await sizesIn(join(placeFolder, kind))
  for (const [sha256, extension] of originals) {
    const name = `${sha256}.${extension}`
    const source = join(rackFolder, kind, sha256.slice(0, 2), name)
    const { size } = await stat(source)
    byteCount += size
    const shelf = join(placeFolder, kind, sha256.slice(0, 2))
    if (there.get(name) === size) continue
    const target = join(shelf, name)
    missing.push({ source, target, shelf, sha256, byteCount: size, wasThere: there.has(name) })
  }
  return { missing, files: originals.size, byteCount }
}

/** By name; what an earlier copying left half done is swept away. */
async function sizesIn(folder: string): Promise<Map<string, number>> {
  const sizes = new Map<string, number>()
  for (const shelf of await readdir(folder).catch(() => [])) {
    const inside = join(folder, shelf)
    for (const name of await readdir(inside).catch(() => [])) {
      const path = join(inside, name)
      if (/^\..*\.part$/.test(name)) await rm(path, { force: true })
      else sizes.set(name, (await stat(path)).size)
    }
  }
  return sizes
}

/** @returns the revision of the newest whole backup, which lies there now; null where the rack has none */
async function mirrorRecords(rackFolder: string, placeFolder: string, signal?: AbortSignal): Promise<number | null> {
  const newest = await newestWhole(rackFolder)
  if (!newest) return null
  const source = join(backupsOf(rackFolder), newest)
  const facts = await readFacts(source)
  if (!facts) return null
  const backups = backupsOf(placeFolder)
  await makeFolder(backups)
  const target = join(backups, newest)
  const size = await stat(target).then(
    (found) => found.size,
    () => null,
  )
  if (size !== facts.byteCount || !(await readFacts(target))) {
    await writeDurably(factsPath(target), (handle) => handle.writeFile(`${JSON.stringify(facts, null, 2)}\n`))
    await copyVerified(source, target, facts.sha256, signal ? { signal } : {})
  }
  await pruneBackups(placeFolder, new Date())
  return facts.revision
}

/** Read to its end: a damaged one is not carried on. */
async function newestWhole(folder: string): Promise<string | null> {
  const backups = await listBackups(folder, 'thorough')
  return backups.find(({ state, facts }) => state === 'whole' && facts !== null)?.file ?? null
}
