import { createHash, randomUUID } from 'node:crypto'
import { mkdir, open, rm, stat } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { sniff } from '../../../../shared-core/exchange/read/signature.ts'
import { memberOf } from '../../../rack/archive/form.ts'
import { type Copy, type Kind, keepCopy, pathByHash, syncShelves } from '../../../rack/disk/photo-store.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import { refusalFrom } from '../../../rack/refusals.ts'
import type { Source } from './source.ts'

/** By what its first bytes are, a file may have one of these endings; a raw photo begins like a TIFF. */
const endings: Readonly<Record<string, readonly string[]>> = {
  jpeg: ['jpg'],
  png: ['png'],
  tiff: ['tif', 'dng'],
  webp: ['webp'],
  avif: ['avif'],
  heic: ['heic'],
}

const isWhatItSays = (head: Buffer, extension: string): boolean =>
  extension === 'pdf' ? head.toString('latin1', 0, 5) === '%PDF-' : (endings[sniff(head)] ?? []).includes(extension)

export type Brought = {
  /** Kept now, and not before: they go again when the rows do not come. */
  readonly added: string[]
  /** Not there, altered by a disk, or not what they say they are. */
  readonly missing: string[]
}

/**
 * Stores originals and data sheets durably before any row names them. One that lies here already is left alone.
 * @throws Refusal of the disk; then, and after a stop, nothing new is left
 */
export async function bringFiles(
  rack: Rack,
  source: Source,
  names: readonly string[],
  onProgress: (done: number, total: number) => void,
  signal: AbortSignal,
): Promise<Brought> {
  const brought: Brought = { added: [], missing: [] }
  try {
    for (const [at, name] of names.entries()) {
      signal.throwIfAborted()
      const stored = await bringFile(rack.folder, source, name, signal)
      if (stored.fate === 'missing') brought.missing.push(name)
      else if (stored.fate === 'kept') brought.added.push(stored.path)
      onProgress(at + 1, names.length)
    }
    for (const kind of ['photos', 'data-sheets'] satisfies Kind[]) {
      const hashes = names.flatMap((name) => {
        const file = memberOf(name)
        return file !== null && file !== 'plain' && file.kind === kind && !brought.missing.includes(name)
          ? [file.sha256]
          : []
      })
      if (hashes.length > 0) await syncShelves(rack.folder, kind, hashes)
    }
    return brought
  } catch (error) {
    await dropFiles(rack, brought)
    throw error
  }
}

/** Those that came for rows which did not; a photo that somebody took in meanwhile stays. */
export async function dropFiles(rack: Rack, { added }: Brought): Promise<void> {
  for (const path of added) {
    const sha256 = basename(path).slice(0, 64)
    const photo = await rack.db.selectFrom('photo').select('id').where('sha256', '=', sha256).executeTakeFirst()
    const sheet = await rack.db
      .selectFrom('material')
      .select('id')
      .where('data_sheet_sha256', '=', sha256)
      .executeTakeFirst()
    if (!photo && !sheet) await rm(path, { force: true })
  }
}

async function bringFile(
  folder: string,
  source: Source,
  name: string,
  signal: AbortSignal,
): Promise<{ fate: 'here' | 'missing' } | { fate: 'kept'; path: string }> {
  const file = memberOf(name)
  if (file === null || file === 'plain') throw new Error(`${name} is no photo and no data sheet`)
  const { kind, sha256, extension } = file
  const target = pathByHash(folder, kind, sha256, extension)
  const wasHere = await isWhole(target, sha256)
  if (wasHere) return { fate: 'here' }
  const part = join(folder, kind, `.${randomUUID()}.part`)
  try {
    await mkdir(join(folder, kind), { recursive: true })
    const handle = await open(part, 'wx')
    let byteCount = 0
    let head = Buffer.alloc(0)
    let isWholeThere: boolean
    try {
      isWholeThere = await source.read(
        name,
        async (piece) => {
          if (head.length < 4096) head = Buffer.concat([head, piece.subarray(0, 4096)])
          byteCount += piece.length
          await handle.writeFile(piece)
        },
        signal,
      )
      await handle.sync()
    } finally {
      await handle.close()
    }
    if (!isWholeThere || !isWhatItSays(head, extension)) return { fate: 'missing' }
    const copy: Copy = { kind, path: part, sha256, byteCount }
    return { fate: 'kept', path: (await keepCopy(folder, copy, extension)).path }
  } catch (error) {
    throw signal.aborted ? error : refusalFrom(error, folder)
  } finally {
    await rm(part, { force: true })
  }
}

async function isWhole(path: string, sha256: string): Promise<boolean> {
  if ((await stat(path).catch(() => null)) === null) return false
  const hash = createHash('sha256')
  const handle = await open(path, 'r')
  try {
    for await (const piece of handle.createReadStream({ autoClose: false })) hash.update(piece as Buffer)
  } finally {
    await handle.close()
  }
  return hash.digest('hex') === sha256
}
