import type { Dirent } from 'node:fs'
import { lstat, opendir } from 'node:fs/promises'
import { dirname, extname, join } from 'node:path'
import type { SeenFile } from '../../rack/queries/watched.ts'
import { insideRack } from './refusals.ts'

/** How photos' names end; what a file is, its bytes say later. Half-written files of other programs end otherwise (.part, .tmp, .crdownload). */
const endings = new Set([
  '.jpg',
  '.jpeg',
  '.jpe',
  '.png',
  '.webp',
  '.tif',
  '.tiff',
  '.heic',
  '.heif',
  '.hif',
  '.avif',
  '.dng',
])
/** Bins, indexes and small pictures that systems and storage devices keep beside photos. */
const notForPhotos = new Set([
  '$recycle.bin',
  '#recycle',
  'system volume information',
  '@eadir',
  '#snapshot',
  'lost+found',
])
/** A rack and its second place keep photos themselves; so does a rack that is being made: its records come last. */
const ownMarks = ['rack.sqlite', 'rack.sqlite.new', 'second-place.json']
/** What a rack has besides while somebody is at it; other programs know the first, too. */
const ownPair = ['lock', 'photos']

const deepest = 8
/** A camera's card holds up to some ten thousand; more is somebody's whole archive. */
export const mostPhotos = 20_000
const mostFoldersBelow = 4_000

export type Below = {
  files: SeenFile[]
  /** The folders that were looked into, the watched one first. */
  folders: string[]
  isTooMany: boolean
  /** Of what could not be read below it, one; null: all was. */
  unread: string | null
}

/**
 * All photos in a folder and the folders below it. Hidden names and links are passed over: a link leads out of the folder. Only names and facts are
 * read, never the files.
 * @throws the system's error for the folder itself, and the signal's reason; what cannot be read below it is passed over;
 *   Refusal `watched/inside-rack` where a rack was made in it or around it since
 */
export async function photosBelow(root: string, signal: AbortSignal, most = mostPhotos): Promise<Below> {
  const found: Below = { files: [], folders: [], isTooMany: false, unread: null }
  if (await isInOurs(root)) throw insideRack()
  const waiting = [{ folder: root, within: '', depth: 0 }]
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const { folder, within, depth } = next
    signal.throwIfAborted()
    try {
      if (depth > 0 && (await isOurs(folder))) continue
      if (found.folders.length >= mostFoldersBelow) return { ...found, isTooMany: true }
      found.folders.push(folder)
      for await (const entry of await opendir(folder, { bufferSize: 64 })) {
        signal.throwIfAborted()
        if (entry.name.startsWith('.') || entry.name.startsWith('~')) continue
        const path = `${within}${entry.name}`
        const kind = await kindOf(entry, folder)
        if (kind === 'folder' && depth < deepest && !notForPhotos.has(entry.name.toLowerCase()))
          waiting.push({ folder: join(folder, entry.name), within: `${path}/`, depth: depth + 1 })
        if (kind !== 'file' || !endings.has(extname(entry.name).toLowerCase())) continue
        if (found.files.length >= most) return { ...found, isTooMany: true }
        const facts = await lstat(join(folder, entry.name)).catch((error: unknown) => {
          if (!isGone(error)) found.unread = path
          return null
        })
        // whole milliseconds: the database keeps these exactly
        if (facts?.isFile()) found.files.push({ path, byteCount: facts.size, modifiedMs: Math.floor(facts.mtimeMs) })
      }
    } catch (error) {
      if (signal.aborted || depth === 0) throw error
      if (!isGone(error)) found.unread = within.slice(0, -1)
    }
  }
  return found
}

/** Some file systems do not say in a folder what its entries are. */
async function kindOf(entry: Dirent, folder: string): Promise<'file' | 'folder' | 'other'> {
  const isKnown = entry.isFile() || entry.isDirectory() || entry.isSymbolicLink()
  const facts = isKnown ? entry : await lstat(join(folder, entry.name)).catch(() => null)
  return facts?.isFile() ? 'file' : facts?.isDirectory() ? 'folder' : 'other'
}

const isGone = (error: unknown): boolean => (error as { code?: string }).code === 'ENOENT'

/** Whether a folder is a rack's or its second place: what lies there has been taken in. */
async function isOurs(folder: string): Promise<boolean> {
  const lies = (name: string) =>
    lstat(join(folder, name)).then(
      () => true,
      () => false,
    )
  for (const mark of ownMarks) if (await lies(mark)) return true
  for (const half of ownPair) if (!(await lies(half))) return false
  return true
}

/** Whether it is one, or lies in one. */
async function isInOurs(folder: string): Promise<boolean> {
  if (await isOurs(folder)) return true
  const above = dirname(folder)
  return above !== folder && isInOurs(above)
}
