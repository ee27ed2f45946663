import { randomUUID } from 'node:crypto'
import { access, mkdir, readdir, rename, rm, stat, statfs } from 'node:fs/promises'
import { basename, dirname, isAbsolute, join } from 'node:path'
import { syncFolder } from '../disk/durable.ts'
import { versionOf } from '../opening/migrate.ts'
import type { Rack } from '../opening/open.ts'
import { countPanels } from '../queries/wall/order.ts'
import { namesFrom } from './file-words.ts'
import { archiveEnding, archiveForm, archiveKind, databaseName, type Manifest } from './form.ts'
import { listFiles } from './list-files.ts'
import { openArchive, verifyAll } from './open-archive.ts'
import { badTarget, noRoom, targetExists, targetFailed } from './refusals.ts'
import { fileOf } from './snapshot.ts'
import { askWorker } from './worker/ask-worker.ts'
import { writeArchive } from './write-archive.ts'

export type Making = {
  /** The file that it is to become: a whole path. */
  target: string
  /** What lies there already was agreed to be replaced. */
  replace: boolean
  history: boolean
  madeBy: string
  /** Where a copy of the records waits meanwhile. */
  workFolder: string
  onProgress: (stage: string, done: number, total: number) => void
  signal: AbortSignal
}
export type Made = { path: string; byteCount: number; manifest: Manifest }

/** @throws Refusal `archive/bad-target`, `archive/target-exists` */
export async function mustBeATarget(target: string, replace: boolean): Promise<void> {
  if (!isAbsolute(target)) throw badTarget('The path is not whole.')
  if (!target.endsWith(archiveEnding)) throw badTarget('An archive’s name ends in .overground.zip.')
  const above = await stat(dirname(target)).catch(() => null)
  if (!above?.isDirectory()) throw badTarget(`There is no folder at ${dirname(target)}.`)
  const there = await stat(target).catch(() => null)
  if (there?.isDirectory()) throw badTarget('There is a folder of that name.')
  if (there && !replace) throw targetExists(target)
}

/**
 * The whole rack as one file. It gets its name when it has been read back and every checksum holds; until then, and after
 * a stop or a failure, there is none.
 */
export async function makeArchive(rack: Rack, making: Making): Promise<Made> {
  const { target, history, madeBy, workFolder, onProgress, signal } = making
  await mustBeATarget(target, making.replace)
  const folder = dirname(target)
  await sweepParts(folder)
  await mkdir(workFolder, { recursive: true })
  const snapshot = join(workFolder, `${randomUUID()}.sqlite`)
  const part = join(folder, `.${basename(target)}.${randomUUID()}.part`)
  try {
    onProgress('Copying the records', 0, 0)
    await mustHaveRoom(workFolder, (await stat(join(rack.folder, databaseName))).size * 1.1)
    await askWorker('snapshot', { database: await fileOf(rack.db), path: snapshot, history }, signal)
    signal.throwIfAborted()
    const { files, missing } = await listFiles(rack.db, rack.folder, history)
    const records = { name: databaseName, path: snapshot, byteCount: (await stat(snapshot)).size }
    const all = [records, ...files]
    const total = all.reduce((sum, { byteCount }) => sum + byteCount, 0)
    // names, heads and the manifest come to less than 600 bytes for each file
    await mustHaveRoom(folder, total + all.length * 600 + 65_536)
    const info = await rack.db.selectFrom('rack_info').select('name').executeTakeFirstOrThrow()
    const manifest = await writeArchive({
      path: part,
      about: {
        kind: archiveKind,
        form: archiveForm,
        rackId: rack.rackId,
        name: info.name,
        madeAt: new Date().toISOString(),
        madeBy,
        schema: await versionOf(rack.db),
        history,
        panels: await countPanels(rack.db),
        photos: files.filter(({ name }) => name.startsWith('photos/')).length,
        missing,
      },
      files: all,
      nameOf: namesFrom(snapshot),
      onProgress: (done) => onProgress('Writing the archive', done, total * 2),
      signal,
    })
    const written = await openArchive(part, signal)
    try {
      await verifyAll(
        written,
        (done) => onProgress('Reading it back', total + Math.min(done, total), total * 2),
        signal,
      )
    } finally {
      await written.close()
    }
    signal.throwIfAborted()
    await rename(part, target)
    await syncFolder(folder)
    return { path: target, byteCount: written.byteCount, manifest }
  } catch (error) {
    throw signal.aborted ? error : targetFailed(error, folder)
  } finally {
    await rm(part, { force: true })
    await rm(snapshot, { force: true })
  }
}

/** @throws Refusal `archive/no-room` before anything is begun that could not be ended */
export async function mustHaveRoom(folder: string, needed: number): Promise<void> {
  const { bavail, bsize } = await statfs(folder)
  const free = bavail * bsize
  // some network drives do not say how much there is
  if (bsize > 0 && free < needed && !(bavail === 0 && (await says(folder)) === 0)) throw noRoom(folder, needed, free)
}

const says = async (folder: string): Promise<number> => (await statfs(folder)).blocks

const hourMs = 60 * 60 * 1000

/** What a process that was ended left half done here. */
async function sweepParts(folder: string): Promise<void> {
  for (const name of await readdir(folder).catch(() => [])) {
    if (!/^\..+\.overground\.zip\.[0-9a-f-]{36}\.part$/.test(name)) continue
    const path = join(folder, name)
    const facts = await stat(path).catch(() => null)
    // another computer may be writing one at this moment
    if (facts && Date.now() - facts.mtimeMs > hourMs) await rm(path, { force: true })
  }
}

/** Whether a path is there, for whoever suggests one. */
export const isThere = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  )
