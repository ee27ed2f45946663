import { closeSync, openSync, readdirSync, readSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type Database from 'better-sqlite3'
import type { Kind } from '../disk/photo-store.ts'
import { hashesOfHistory, type KeptFile, keptFiles, pathOf, pictureHashes } from './kept-files.ts'

/** A file in a rack's folders that no record names. */
export type UnknownFile = {
  kind: Kind
  /** Inside the rack's folder, with `/`. */
  path: string
  byteCount: number
  /** By its first bytes. */
  isPicture: boolean
}

export type Amount = { count: number; byteCount: number }

export type Walked = {
  unknown: UnknownFile[]
  /** Left by copies that were cut short. */
  halfDone: Amount
  pictures: { known: Amount; unknown: Amount; missing: number }
  trash: Amount
}

/** Put everywhere by systems and by programs that keep folders in step. */
const ignorable = /^(\.DS_Store|Thumbs\.db|desktop\.ini|\._.*|\.stfolder|\.dropbox.*|\.sync.*|\.nomedia)$/i
/** Younger ones may belong to a copy under way. */
const halfDoneAfterMs = 60 * 60 * 1000
export const trashFolder = 'trash'
export const unknownFolder = 'unknown'

/** Compares what lies in a rack's folders with what its records name. Reads no file but for its first bytes. */
export function walkRack(folder: string, raw: Database.Database, now = Date.now()): Walked {
  const files = keptFiles(raw)
  const left = new Map(
    (raw.prepare('select path, byte_count from check_left').all() as Array<{ path: string; byte_count: number }>).map(
      (row) => [row.path, row.byte_count],
    ),
  )
  const walked: Walked = {
    unknown: [],
    halfDone: none(),
    pictures: { known: none(), unknown: none(), missing: 0 },
    trash: none(),
  }
  for (const file of under(folder, trashFolder)) count(walked.trash, file.byteCount)
  keptFolder('photos')
  keptFolder('data-sheets')
  walkPictures(folder, raw, files, walked, now)
  return walked

  function keptFolder(kind: Kind) {
    const known = new Set(files.filter((file) => file.kind === kind).map((file) => pathOf(folder, file)))
    const ofHistory = hashesOfHistory(raw)
    for (const { path, name, byteCount, mtimeMs } of under(folder, kind)) {
      const whole = join(folder, ...path.split('/'))
      if (known.has(whole) || ignorable.test(name) || left.get(path) === byteCount) continue
      const [stem = ''] = name.split('.')
      if (ofHistory.has(stem) && path.split('/').length === 3) continue
      if (isHalfDone(name)) {
        if (now - mtimeMs > halfDoneAfterMs) count(walked.halfDone, byteCount)
        continue
      }
      walked.unknown.push({ kind, path, byteCount, isPicture: looksLikePicture(whole) })
    }
  }
}

function walkPictures(
  folder: string,
  raw: Database.Database,
  files: readonly KeptFile[],
  { pictures, halfDone }: Walked,
  now: number,
): void {
  const { photos, cuts } = pictureHashes(raw)
  const thumbs = new Set<string>()
  for (const { path, name, byteCount, mtimeMs } of under(folder, 'renditions')) {
    if (isHalfDone(name)) {
      if (now - mtimeMs > halfDoneAfterMs) count(halfDone, byteCount)
      continue
    }
    if (!name.endsWith('.webp')) continue
    const hash = /^([0-9a-f]+)/.exec(name)?.[1] ?? ''
    const isKnown = (photos.has(hash) || cuts.has(hash)) && byteCount > 0
    // made of figures that are asked for one by one: nothing tells whether they will be again
    const isCorrected = path.startsWith('renditions/corrected/')
    count(isKnown || isCorrected ? pictures.known : pictures.unknown, byteCount)
    if (isKnown && name.endsWith('-thumb.webp')) thumbs.add(hash)
  }
  pictures.missing = files.filter(
    ({ kind, sha256, discarded }) => kind === 'photos' && !discarded && !thumbs.has(sha256),
  ).length
}

/** As `walkRack` counts them: small pictures that belong to nothing, or what was left half done. */
export function* removable(
  folder: string,
  raw: Database.Database,
  what: 'pictures' | 'half-done',
  now = Date.now(),
): Generator<{ path: string; byteCount: number }> {
  const { photos, cuts } = pictureHashes(raw)
  const places = what === 'pictures' ? ['renditions'] : ['photos', 'data-sheets', 'renditions', 'backups']
  for (const place of places)
    for (const file of under(folder, place)) {
      const half = isHalfDone(file.name)
      if (what === 'half-done') {
        if (half && now - file.mtimeMs > halfDoneAfterMs) yield file
        continue
      }
      const hash = /^([0-9a-f]+)/.exec(file.name)?.[1] ?? ''
      if (half || !file.name.endsWith('.webp') || file.path.startsWith('renditions/corrected/')) continue
      if (!(photos.has(hash) || cuts.has(hash)) || file.byteCount === 0) yield file
    }
}

type Found = { path: string; name: string; byteCount: number; mtimeMs: number }

/** Files in a folder of the rack and below it; links are not followed. */
export function* under(folder: string, place: string): Generator<Found> {
  const waiting = [place]
  for (let inside = waiting.pop(); inside !== undefined; inside = waiting.pop()) {
    let entries: ReturnType<typeof list>
    try {
      entries = list(join(folder, ...inside.split('/')))
    } catch (error) {
      if ((error as { code?: string }).code === 'ENOENT') continue
      throw error
    }
    for (const entry of entries) {
      const path = `${inside}/${entry.name}`
      if (entry.isDirectory()) waiting.push(path)
      else if (entry.isFile()) {
        const facts = statSync(join(folder, ...path.split('/')), { throwIfNoEntry: false })
        if (facts) yield { path, name: entry.name, byteCount: facts.size, mtimeMs: facts.mtimeMs }
      }
    }
  }
}

const list = (path: string) => readdirSync(path, { withFileTypes: true })
const isHalfDone = (name: string): boolean => /\.part(-wal|-shm|-journal)?$/.test(name)
const none = (): Amount => ({ count: 0, byteCount: 0 })
function count(amount: Amount, byteCount: number): void {
  amount.count++
  amount.byteCount += byteCount
}

/** JPEG, PNG, TIFF and raw files built like one, WebP, AVIF and HEIC: whether it is one that can be read is found as it is taken in. */
function looksLikePicture(path: string): boolean {
  const head = Buffer.alloc(12)
  const file = openSync(path, 'r')
  try {
    readSync(file, head, 0, head.length, 0)
  } finally {
    closeSync(file)
  }
  const text = head.toString('latin1')
  return (
    text.startsWith('\xff\xd8\xff') ||
    text.startsWith('\x89PNG') ||
    text.startsWith('II') ||
    text.startsWith('MM\0') ||
    text.startsWith('RIFF') ||
    text.slice(4, 8) === 'ftyp'
  )
}
