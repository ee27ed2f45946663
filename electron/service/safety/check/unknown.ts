import { mkdir, rename, stat } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { noteFound, readRuns } from '../../../rack/check/progress.ts'
import { type UnknownFile, unknownFolder } from '../../../rack/check/walk.ts'
import { syncFolder } from '../../../rack/disk/durable.ts'
import { extensions, type Kind, pathByHash } from '../../../rack/disk/photo-store.ts'
import { withRetries } from '../../../rack/disk/with-retries.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { Jobs } from '../../jobs.ts'
import type { Log } from '../../log.ts'
import { takeInPhoto } from '../../take-in.ts'
import { counted } from './report/words.ts'
import type { Amount } from './unneeded.ts'

/** Files in the rack's folders that no record names. Only those that the last look through told of are ever touched. */

type Known = UnknownFile & { whole: string }

/** @throws Refusal `check/no-such-file` for a path that the last look through did not find */
async function toldOf(rack: Rack, paths: readonly string[]): Promise<Known[]> {
  const { last, underWay } = await readRuns(rack.db)
  const walked = underWay?.found.walked ?? last?.found.walked
  const unknown = new Map((walked?.unknown ?? []).map((file) => [file.path, file]))
  const found: Known[] = []
  for (const path of paths) {
    const file = unknown.get(path)
    const whole = join(rack.folder, ...path.split('/'))
    if (!file || !(await stat(whole).catch(() => null)))
      throw new Refusal(
        'check/no-such-file',
        `${path} is not among the unknown files (any more).`,
        'Look through the rack again: the list is then what lies there now.',
      )
    found.push({ ...file, whole })
  }
  return found
}

/** Moves unknown files to a folder “unknown” inside the rack, where nobody looks for anything. */
export async function setAside(rack: Rack, paths: readonly string[]): Promise<Amount> {
  const moved: Amount = { count: 0, byteCount: 0 }
  const files = await toldOf(rack, paths)
  const inside = join(rack.folder, unknownFolder)
  if (files.length > 0) await mkdir(inside, { recursive: true })
  for (const file of files) {
    await withRetries(async () => rename(file.whole, await freeName(inside, basename(file.path))))
    moved.count++
    moved.byteCount += file.byteCount
  }
  await syncFolder(inside)
  await forget(rack, paths)
  return moved
}

async function freeName(folder: string, name: string): Promise<string> {
  for (let count = 1; ; count++) {
    const path = join(folder, count === 1 ? name : `${count} ${name}`)
    if (!(await stat(path).catch(() => null))) return path
  }
}

/** Files that are fine where they are are not told of again, as long as they keep their size. */
export async function leave(rack: Rack, paths: readonly string[]): Promise<void> {
  const files = await toldOf(rack, paths)
  const left_at = new Date().toISOString()
  await rack.db.transaction().execute(async (tx) => {
    for (const { path, byteCount } of files)
      await tx
        .insertInto('check_left')
        .values({ path, byte_count: byteCount, left_at })
        .onConflict((conflict) => conflict.column('path').doUpdateSet({ byte_count: byteCount, left_at }))
        .execute()
  })
  await forget(rack, paths)
}

/** What was dealt with is no longer told of. */
async function forget(rack: Rack, paths: readonly string[]): Promise<void> {
  const gone = new Set(paths)
  for (const run of Object.values(await readRuns(rack.db))) {
    if (!run?.found.walked) continue
    run.found.walked.unknown = run.found.walked.unknown.filter(({ path }) => !gone.has(path))
    await noteFound(rack.db, run)
  }
}

/**
 * Takes unknown pictures into the tray as a job. One that lay under another name is then kept under its own, and what lay there is
 * moved to the folder “unknown”. @returns the job's id
 * @throws Refusal `check/no-such-file`
 */
export async function startTakeUnknown(
  rack: Rack,
  paths: readonly string[],
  { jobs, log }: { jobs: Jobs; log: Log },
): Promise<string> {
  const files = await toldOf(rack, paths)
  const id = v7()
  const label = `Taking ${counted(files.length, 'unknown photo')} into the tray`
  jobs.start({ id, kind: 'check', label, total: files.length, rackFolder: rack.folder }, async (job) => {
    let taken = 0
    for (const [i, file] of files.entries()) {
      if (job.signal.aborted) break
      const name = basename(file.path)
      try {
        const { photoId, sha256, format, fate } = await takeInPhoto(rack, file.whole, name)
        const own = pathByHash(rack.folder, 'photos' satisfies Kind, sha256, extensions[format])
        if (own === file.whole) await forget(rack, [file.path])
        else await setAside(rack, [file.path])
        taken += fate === 'taken' ? 1 : 0
        job.item({ name, photoId, fate, why: null })
      } catch (error) {
        if (error instanceof Refusal && error.code.startsWith('rack/')) throw error
        const why =
          error instanceof Refusal
            ? { code: error.code, message: error.message, remedy: error.remedy }
            : log.unexpected(error, 'taking an unknown photo in')
        job.item({ name, photoId: null, fate: 'refused', why })
      }
      job.progress(name, i + 1, files.length)
    }
    job.conclude(
      taken === 0 ? 'No photo was new.' : `${counted(taken, 'photo')} ${taken === 1 ? 'lies' : 'lie'} in the tray.`,
    )
  })
  return id
}
