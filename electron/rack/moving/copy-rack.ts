import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { chmod, mkdir, open, readdir, rename, rm, rmdir, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { syncFile, syncFolder } from '../disk/durable.ts'
import type { Kind } from '../disk/photo-store.ts'
import { roomAt } from '../disk/room.ts'
import { withRetries } from '../disk/with-retries.ts'
import { databaseOf } from '../opening/examine.ts'
import { takeLock } from '../opening/lock.ts'
import { mustBeFree, mustBeHere, type Options, refusing } from '../opening/open.ts'
import { copyDatabase } from '../opening/snapshot.ts'

export type Copying = Pick<Options, 'whereIs'> & {
  onProgress?: (stage: string, done: number, total: number) => void
  signal?: AbortSignal
  /** Writes the records into a new file, for a rack that is open: its database is not to be read past SQLite. */
  copyRecords?: (target: string) => Promise<void>
}
/** `leftOut`: files whose bytes are not those that their name says, as they lie in the original rack. */
export type Copied = { photos: number; dataSheets: number; bytes: number; leftOut: string[] }

type Original = { kind: Kind; shelf: string; name: string; size: number }

/**
 * Copies a rack into a new folder, without writing into the old one: the originals first, each looked through as it is copied,
 * then its records. The folder is a rack only at the very end; stopped before, it is as it was.
 * @throws Refusal as `createRack`; `rack/disk-full` before a byte is copied when there is no room; `rack/damaged`
 */
export async function copyRack(
  from: string,
  to: string,
  { onProgress, signal, whereIs, copyRecords }: Copying = {},
): Promise<Copied> {
  const wasThere = await stat(to).then(
    () => true,
    () => false,
  )
  await mustBeFree(to)
  return refusing(to, async () => {
    await mustBeHere(to, whereIs ? { whereIs } : {})
    const lock = await takeLock(to)
    try {
      onProgress?.('Looking what there is', 0, 0)
      const originals = await listOriginals(from)
      const bytes = originals.reduce((sum, { size }) => sum + size, (await stat(databaseOf(from))).size * 2)
      await mustHaveRoom(to, bytes)
      const copied: Copied = { photos: 0, dataSheets: 0, bytes: 0, leftOut: [] }
      for (const [i, original] of originals.entries()) {
        signal?.throwIfAborted()
        onProgress?.('Copying photos and data sheets', i, originals.length)
        if (await copyOriginal(from, to, original)) {
          copied.bytes += original.size
          if (original.kind === 'photos') copied.photos++
          else copied.dataSheets++
        } else copied.leftOut.push(original.name)
      }
      for (const kind of kinds) await syncShelvesOf(to, kind)
      onProgress?.('Copying the records', originals.length, originals.length)
      const unfinished = `${databaseOf(to)}.new`
      await (copyRecords ? copyRecords(unfinished) : copyDatabase(from, unfinished, signal))
      await chmod(unfinished, 0o644)
      await syncFile(unfinished)
      signal?.throwIfAborted()
      await withRetries(() => rename(unfinished, databaseOf(to)))
      await syncFolder(to)
      await syncFolder(dirname(to))
      return copied
    } catch (error) {
      await removeCopied(to)
      throw error
    } finally {
      await lock.release()
    }
  }).catch(async (error: unknown) => {
    if (!wasThere) await rmdir(to).catch(() => undefined)
    throw error
  })
}

const kinds: readonly Kind[] = ['photos', 'data-sheets']

/** What lies under its hash; other files in these folders are none of the rack's. */
async function listOriginals(folder: string): Promise<Original[]> {
  const found: Original[] = []
  for (const kind of kinds) {
    const shelves = await readdir(join(folder, kind)).catch(() => [])
    for (const shelf of shelves.filter((name) => /^[0-9a-f]{2}$/.test(name)).toSorted()) {
      for (const name of (await readdir(join(folder, kind, shelf))).toSorted()) {
        if (!/^[0-9a-f]{64}\.[a-z0-9]+$/.test(name)) continue
        const facts = await stat(join(folder, kind, shelf, name))
        if (facts.isFile()) found.push({ kind, shelf, name, size: facts.size })
      }
    }
  }
  return found
}

async function mustHaveRoom(folder: string, bytes: number): Promise<void> {
  const free = await roomAt(folder)
  if (free === null || free > bytes + 50_000_000) return
  const inWords = (count: number) => (count < 1e9 ? `${Math.ceil(count / 1e6)} MB` : `${(count / 1e9).toFixed(1)} GB`)
  throw new Refusal(
    'rack/disk-full',
    `The rack takes ${inWords(bytes)}, and only ${inWords(free)} are free there. Nothing was copied.`,
    'Make room, or choose a folder on a larger drive.',
  )
}

const pieceBytes = 1 << 20

/** @returns false when its bytes are not those that its name says, also at a second look */
async function copyOriginal(from: string, to: string, { kind, shelf, name }: Original): Promise<boolean> {
  const source = join(from, kind, shelf, name)
  const target = join(to, kind, shelf, name)
  await mkdir(dirname(target), { recursive: true })
  const half = join(to, kind, `.${name}.part`)
  for (let attempt = 0; attempt < 2; attempt++) {
    if ((await copyHashing(source, half)) === name.slice(0, 64)) {
      await chmod(half, 0o444).catch(() => undefined)
      await withRetries(() => rename(half, target))
      return true
    }
    await rm(half, { force: true })
  }
  return false
}

async function copyHashing(source: string, target: string): Promise<string> {
  const hash = createHash('sha256')
  const handle = await open(target, 'w')
  try {
    for await (const chunk of createReadStream(source, { highWaterMark: pieceBytes })) {
      hash.update(chunk as Buffer)
      await handle.writeFile(chunk as Buffer)
    }
    await handle.sync()
  } finally {
    await handle.close()
  }
  return hash.digest('hex')
}

async function syncShelvesOf(folder: string, kind: Kind): Promise<void> {
  await mkdir(join(folder, kind), { recursive: true })
  for (const shelf of await readdir(join(folder, kind))) await syncFolder(join(folder, kind, shelf))
  await syncFolder(join(folder, kind))
}

async function removeCopied(folder: string): Promise<void> {
  for (const kind of kinds) await rm(join(folder, kind), { recursive: true, force: true })
  for (const tail of ['', '-wal', '-shm', '-journal']) await rm(`${databaseOf(folder)}.new${tail}`, { force: true })
}
