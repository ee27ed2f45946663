import { randomUUID } from 'node:crypto'
import { chmod, mkdir, open, readdir, rename, rm, rmdir, stat, unlink } from 'node:fs/promises'
import { basename, dirname, isAbsolute, join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { makeFolder, syncFolder } from '../disk/durable.ts'
import { mustFit } from '../disk/names.ts'
import { alreadyARack, folderNotEmpty, noFolderMade, refusalFrom } from '../refusals.ts'
import { namesFrom } from './file-words.ts'
import { databaseName, type Member, memberOf } from './form.ts'
import { mustHaveRoom } from './make-archive.ts'
import { type Archive, openArchive } from './open-archive.ts'

export type Unpacking = {
  path: string
  /** The folder that it is to become: not there yet, or empty. */
  folder: string
  /** Proves the records before they are given their place. */
  prove: (database: string) => Promise<void>
  onProgress: (stage: string, done: number, total: number) => void
  signal: AbortSignal
}

/** @throws Refusal `rack/folder-absent`, `rack/already-one`, `rack/folder-not-empty` */
export async function mustBeANewFolder(folder: string): Promise<void> {
  if (!isAbsolute(folder) || dirname(folder) === folder) throw noFolderMade(folder)
  mustFit(folder)
  const there = await stat(folder).catch(() => null)
  if (!there) return
  if (!there.isDirectory()) throw folderNotEmpty(folder)
  const names = await readdir(folder)
  if (names.includes(databaseName)) throw alreadyARack(folder)
  if (names.length > 0) throw folderNotEmpty(folder)
}

/**
 * Makes a rack of an archive. It grows under another name beside the folder and gets its own when every member was held
 * against its checksum and the records were proved: there is the whole rack, or nothing.
 * @returns the open archive's manifest is what it was made from
 */
export async function unpackArchive({
  path,
  folder,
  prove,
  onProgress,
  signal,
}: Unpacking): Promise<Archive['manifest']> {
  await mustBeANewFolder(folder)
  const above = dirname(folder)
  const archive = await openArchive(path, signal)
  const growing = join(above, `.${basename(folder)}.${randomUUID()}.part`)
  try {
    await refusing(folder, () => makeFolder(above))
    await sweepParts(above)
    await mustHaveRoom(above, archive.unpackedBytes + archive.manifest.members.length * 4096)
    await refusing(folder, () => mkdir(growing))
    const { members } = archive.manifest
    let done = 0
    const total = archive.unpackedBytes
    // the records first: what cannot be proved is refused before thousands of photos are written
    for (const member of members.toSorted((a, b) => order(a) - order(b))) {
      signal.throwIfAborted()
      await refusing(folder, () =>
        unpackMember(archive, member, growing, signal, (bytes) => {
          done += bytes
          onProgress('Unpacking', done, total)
        }),
      )
      if (member.name !== databaseName) continue
      onProgress('Looking through the records', done, total)
      await prove(join(growing, databaseName))
      for (const tail of ['-wal', '-shm', '-journal']) await rm(join(growing, databaseName + tail), { force: true })
      archive.nameBy(namesFrom(join(growing, databaseName)))
    }
    await refusing(folder, async () => {
      await syncAll(growing)
      signal.throwIfAborted()
      // an empty folder of that name gives way
      await rmdir(folder).catch((error: { code?: string }) => {
        if (error.code !== 'ENOENT') throw error
      })
      await rename(growing, folder)
      await syncFolder(above)
    })
    return archive.manifest
  } catch (error) {
    await removeTree(growing)
    throw error
  } finally {
    await archive.close()
  }
}

const order = ({ name }: Member): number => (name === databaseName ? 0 : 1)

/** Where a member goes is put together from what its name stands for, never from the name itself. */
async function unpackMember(
  archive: Archive,
  member: Member,
  root: string,
  signal: AbortSignal,
  onBytes: (bytes: number) => void,
): Promise<void> {
  const file = memberOf(member.name)
  if (file === null) throw new Error(`${member.name} is no member`)
  // the text and the manifest are about the archive
  const isKept = file !== 'plain' || member.name === databaseName
  const shelf = file === 'plain' ? root : join(root, file.kind, file.sha256.slice(0, 2))
  const target = file === 'plain' ? join(root, databaseName) : join(shelf, `${file.sha256}.${file.extension}`)
  if (!isKept) return archive.read(member, ({ length }) => onBytes(length), signal)
  await mkdir(shelf, { recursive: true })
  const handle = await open(target, 'wx', 0o644)
  try {
    await archive.read(
      member,
      async (piece) => {
        await handle.writeFile(piece)
        onBytes(piece.length)
      },
      signal,
    )
    await handle.sync()
  } finally {
    await handle.close()
  }
  if (file !== 'plain') await chmod(target, 0o444).catch(() => undefined)
}

async function syncAll(folder: string): Promise<void> {
  for (const entry of await readdir(folder, { withFileTypes: true }))
    if (entry.isDirectory()) await syncAll(join(folder, entry.name))
  await syncFolder(folder)
}

/** Windows removes nothing that is read-only. */
async function removeTree(folder: string): Promise<void> {
  const names = await readdir(folder, { withFileTypes: true }).catch(() => [])
  for (const entry of names) {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) await removeTree(path)
    else {
      await chmod(path, 0o644).catch(() => undefined)
      await unlink(path).catch(() => undefined)
    }
  }
  await rmdir(folder).catch(() => undefined)
}

const hourMs = 60 * 60 * 1000

/** What a process that was ended left half unpacked here. */
async function sweepParts(above: string): Promise<void> {
  for (const name of await readdir(above).catch(() => [])) {
    if (!/^\..+\.[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}\.part$/.test(name)) continue
    const path = join(above, name)
    const facts = await stat(path).catch(() => null)
    // only what looks like ours, and has not grown for an hour
    if (!facts?.isDirectory() || Date.now() - facts.mtimeMs < hourMs) continue
    if ((await stat(join(path, databaseName)).catch(() => null)) !== null) await removeTree(path)
  }
}

async function refusing<T>(folder: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw error instanceof Refusal ? error : refusalFrom(error, folder)
  }
}
