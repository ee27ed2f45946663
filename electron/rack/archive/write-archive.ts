import { createHash } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { open, rm } from 'node:fs/promises'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { ZipFile } from 'yazl'
import { fileInWords } from './file-words.ts'
import { type Manifest, type Member, manifestName, memberOf, readmeName, readmeText } from './form.ts'
import type { RackFile } from './list-files.ts'
import { sourceFailed } from './refusals.ts'

type About = Omit<Manifest, 'members' | 'kind' | 'form'> & Pick<Manifest, 'kind' | 'form'>

export type ToWrite = {
  /** A new file; whoever calls gives it its name when it has been proved. */
  path: string
  about: About
  files: readonly RackFile[]
  /** What a painter calls an original or a data sheet, by its hash. */
  nameOf?: (sha256: string) => string | null
  onProgress?: (doneBytes: number) => void
  signal?: AbortSignal
}

/** Trouble of reading is told from trouble of writing. */
async function* readable(what: () => string, pieces: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  try {
    yield* pieces
  } catch {
    throw sourceFailed(what())
  }
}

/**
 * Writes an archive in one pass: each file is read once, and the manifest, which comes last, says what was really read.
 * Records, manifest and text are deflated; originals and data sheets are stored, they are compressed already.
 * @returns the manifest; nothing is left behind after a failure or a stop
 */
export async function writeArchive({ path, about, files, nameOf, onProgress, signal }: ToWrite): Promise<Manifest> {
  const zip = new ZipFile()
  const members: Member[] = []
  const failure = new AbortController()
  const stop = AbortSignal.any([failure.signal, ...(signal ? [signal] : [])])
  let done = 0
  // a date that every system can read; the originals' own dates are in their EXIF
  const settings = { mtime: new Date(about.madeAt), mode: 0o100644 }
  const add = (name: string, pieces: () => AsyncIterable<Buffer>, compress: boolean) => {
    zip.addReadStreamLazy(name, { ...settings, compress }, (give) => {
      const stream = Readable.from(pieces(), { objectMode: false, highWaterMark: 1 << 20 })
      stream.on('error', (error) => failure.abort(error))
      give(null, stream)
    })
  }
  async function* through(name: string, pieces: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
    const hash = createHash('sha256')
    let byteCount = 0
    for await (const piece of readable(() => fileInWords(name, nameOf), pieces)) {
      stop.throwIfAborted()
      hash.update(piece)
      byteCount += piece.length
      done += piece.length
      onProgress?.(done)
      yield piece
    }
    const sha256 = hash.digest('hex')
    const file = memberOf(name)
    const isAltered = file !== null && file !== 'plain' && file.sha256 !== sha256
    members.push({ name, byteCount, sha256, ...(isAltered ? { damaged: true as const } : {}) })
  }
  async function* one(bytes: Buffer): AsyncGenerator<Buffer> {
    yield bytes
  }
  let manifest: Manifest | undefined
  const ending = async function* (): AsyncGenerator<Buffer> {
    manifest = { ...about, members: members.toSorted((a, b) => (a.name < b.name ? -1 : 1)) }
    yield Buffer.from(`${JSON.stringify(manifest, null, 1)}\n`)
  }
  add(readmeName, () => through(readmeName, one(Buffer.from(readmeText(about)))), true)
  for (const { name, path: source } of files)
    add(name, () => through(name, createReadStream(source, { highWaterMark: 1 << 20 })), memberOf(name) === 'plain')
  add(manifestName, ending, true)
  zip.on('error', (error: Error) => failure.abort(error))
  zip.end()
  try {
    await pipeline(zip.outputStream, createWriteStream(path, { flags: 'wx', highWaterMark: 1 << 20 }), { signal: stop })
    const handle = await open(path, 'r+')
    try {
      await handle.sync()
    } finally {
      await handle.close()
    }
    if (!manifest) throw new Error('The archive ended before its manifest')
    return manifest
  } catch (error) {
    await rm(path, { force: true })
    throw stop.aborted ? stop.reason : error
  }
}
