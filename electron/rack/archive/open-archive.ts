import { type FileHandle, open } from 'node:fs/promises'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { migrations } from '../migrations/list.ts'
import { fileInWords } from './file-words.ts'
import { archiveForm, databaseName, Manifest, ManifestHead, type Member, manifestName, memberOf } from './form.ts'
import {
  archiveAbsent,
  archiveDamaged,
  archiveNewer,
  archiveSuspicious,
  archiveUnreadable,
  notAnArchive,
  recordsNewer,
} from './refusals.ts'
import { type Entry, readDirectory } from './zip/directory.ts'
import { unpackEntry } from './zip/unpack-entry.ts'

/** An archive whose table of contents and manifest hold together. Its contents are looked at when they are read. */
export type Archive = {
  readonly path: string
  readonly byteCount: number
  readonly manifest: Manifest
  /** Of the manifest's own bytes: the same for the same archive. */
  readonly fingerprint: string
  /** Bytes of all members, unpacked. */
  readonly unpackedBytes: number
  /** Unpacks one member piece by piece. @throws Refusal when it is not what the manifest says */
  read(member: Member, take: (piece: Buffer) => Promise<void> | void, signal?: AbortSignal): Promise<void>
  /** Once its records can be asked: by what names a painter knows its files, by their hash. */
  nameBy(nameOf: NameOf): void
  close(): Promise<void>
}
type NameOf = (sha256: string) => string | null | Promise<string | null>

/**
 * Opens an archive of a rack. It may come from a stranger: nothing of it is believed that is not looked at.
 * @throws Refusal `archive/absent`, `archive/unreadable`, `archive/not-one`, `archive/damaged`, `archive/suspicious`, `archive/newer`
 */
export async function openArchive(path: string, signal?: AbortSignal): Promise<Archive> {
  const file = await open(path, 'r').catch((error: { code?: string }) => {
    throw error.code === 'ENOENT' || error.code === 'ENOTDIR' ? archiveAbsent(path) : archiveUnreadable(path)
  })
  try {
    const facts = await file.stat()
    if (!facts.isFile()) throw notAnArchive('it is a folder')
    const entries = await readDirectory(file, facts.size, signal)
    const { manifest, fingerprint } = await readManifest(file, entries, signal)
    const unpackedBytes = compare(manifest, entries)
    let nameOf: NameOf = () => null
    return {
      path,
      byteCount: facts.size,
      manifest,
      fingerprint,
      unpackedBytes,
      read: async (member, take, stop) => {
        const entry = entries.get(member.name)
        if (!entry) throw archiveDamaged(`${fileInWords(member.name)} is missing`)
        try {
          const sha256 = await heeding(path, () => unpackEntry(file, entry, take, stop))
          if (sha256 !== member.sha256)
            throw archiveDamaged(`${member.name} is not what it was when the archive was made`)
        } catch (error) {
          throw await inWords(error, member.name, nameOf)
        }
      },
      nameBy: (by) => {
        nameOf = by
      },
      close: () => file.close(),
    }
  } catch (error) {
    await file.close()
    throw error instanceof Refusal ? error : unreadableFrom(error, path)
  }
}

/** A refusal that names a member as a painter would. */
async function inWords(error: unknown, name: string, nameOf: NameOf): Promise<unknown> {
  if (!(error instanceof Refusal) || !error.message.includes(name)) return error
  const file = memberOf(name)
  const known = file === null || file === 'plain' ? null : await nameOf(file.sha256)
  return new Refusal(
    error.code,
    error.message.replaceAll(
      name,
      fileInWords(name, () => known),
    ),
    error.remedy,
  )
}

async function heeding<T>(path: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw unreadableFrom(error, path)
  }
}

/** A card pulled out in the middle, a share that went away. */
const unreadableFrom = (error: unknown, path: string): unknown =>
  ['EIO', 'EISDIR', 'ENXIO', 'ESTALE', 'EACCES'].includes((error as { code?: string }).code ?? '')
    ? archiveUnreadable(path)
    : error

async function readManifest(file: FileHandle, entries: ReadonlyMap<string, Entry>, signal?: AbortSignal) {
  const entry = entries.get(manifestName)
  if (!entry) throw notAnArchive('it has no manifest.json')
  const pieces: Buffer[] = []
  const fingerprint = await unpackEntry(file, entry, (piece) => void pieces.push(piece), signal)
  let said: unknown
  try {
    said = JSON.parse(Buffer.concat(pieces).toString('utf8'))
  } catch {
    throw archiveDamaged('its manifest cannot be read')
  }
  const head = ManifestHead.safeParse(said)
  if (!head.success) throw notAnArchive('its manifest is another program’s')
  if (head.data.form > archiveForm) throw archiveNewer(head.data.form, archiveForm)
  const whole = Manifest.safeParse(said)
  if (!whole.success)
    throw archiveSuspicious(`its manifest makes no sense (${whole.error.issues[0]?.path.join('.') ?? ''})`)
  if (whole.data.schema > migrations.length) throw recordsNewer(whole.data.schema, migrations.length)
  return { manifest: whole.data, fingerprint }
}

/** Manifest and table of contents have to name the same files with the same sizes. @returns bytes of all of them */
function compare({ members }: Manifest, entries: ReadonlyMap<string, Entry>): number {
  const named = new Set<string>()
  let bytes = 0
  for (const { name, byteCount } of members) {
    if (named.has(name)) throw archiveSuspicious(`its manifest names ${name} twice`)
    named.add(name)
    const entry = entries.get(name)
    if (!entry || name === manifestName) throw archiveDamaged(`${fileInWords(name)} is not in it`)
    if (entry.byteCount !== byteCount)
      throw archiveSuspicious(`${fileInWords(name)} has another size than its list of files says`)
    bytes += byteCount
  }
  if (!named.has(databaseName)) throw notAnArchive('it has no records (rack.sqlite)')
  for (const name of entries.keys())
    if (name !== manifestName && !named.has(name))
      throw archiveSuspicious(`it holds a file that its manifest does not name (${name})`)
  return bytes
}

/** Reads every member and holds it against its checksum. @throws Refusal for the first that is not as it was */
export async function verifyAll(
  archive: Archive,
  onProgress: (doneBytes: number) => void = () => undefined,
  signal?: AbortSignal,
): Promise<void> {
  let done = 0
  for (const member of archive.manifest.members) {
    await archive.read(
      member,
      (piece) => {
        done += piece.length
        onProgress(done)
      },
      signal,
    )
  }
}
