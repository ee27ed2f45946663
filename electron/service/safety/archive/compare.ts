import { rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { v7 } from 'uuid'
import { allParts, type Comparison, usualRules } from '../../../../shared-core/records/archive.ts'
import type { Caution } from '../../../../shared-core/records/photo.ts'
import { databaseName } from '../../../rack/archive/form.ts'
import { itself } from '../../../rack/archive/refusals.ts'
import { askWorker, mostWorkMs } from '../../../rack/archive/worker/ask-worker.ts'
import { isSameFolder } from '../../../rack/moving/rack-named.ts'
import type { Context } from '../../context.ts'
import { mustNotBeBusy } from './make.ts'
import { openSource, type Source } from './source.ts'
import { readyWorkFolder } from './work-folder.ts'

/** What was looked at last, with a proved copy of its records. */
export type Looked = { comparison: Comparison; rackFolder: string; records: string; fingerprint: string }

const looked = new WeakMap<Context, Looked>()

/** @returns null when nothing was looked at for the rack that is open now */
export function lookedAt(context: Context): Looked | null {
  const found = looked.get(context)
  return found && found.rackFolder === context.current.get()?.folder ? found : null
}

export async function forget(context: Context): Promise<void> {
  const old = looked.get(context)
  looked.delete(context)
  if (old) await dropRecords(old.records)
}

const dropRecords = async (path: string): Promise<void> => {
  for (const tail of ['', '-wal', '-shm', '-journal']) await rm(path + tail, { force: true })
}

/** Looks what another rack has that the open one has not. @returns the job's id */
export async function startComparing(context: Context, path: string): Promise<string> {
  const rack = context.rack()
  mustNotBeBusy(context)
  if (await isSameFolder(path, rack.folder)) throw itself()
  await (await openSource(path)).close()
  await forget(context)
  const id = v7()
  const what = {
    id,
    kind: 'import',
    label: 'Looking at what can be taken in',
    total: 0,
    rackFolder: rack.folder,
  } as const
  context.jobs.start(what, async (job) => {
    const records = join(await readyWorkFolder(context.appFiles.folder), `${id}.sqlite`)
    const source = await openSource(path, job.signal)
    try {
      job.progress('Reading its records', 0, 3)
      const broughtFrom = await source.records(records, job.signal)
      job.progress('Holding it against this rack', 1, 3)
      const merged = await askWorker(
        'merge',
        {
          theirs: records,
          ours: join(rack.folder, databaseName),
          wish: { rules: usualRules, choices: {}, parts: allParts },
          plan: null,
        },
        job.signal,
        mostWorkMs((await stat(records)).size),
      )
      job.progress('Looking for its photos', 2, 3)
      const { byteCount, missing } = await measureFiles(source, [...merged.files.keys()])
      const { name, rackId } = merged
      const cautions = cautionsOf(source, broughtFrom, missing)
      const comparison = {
        id,
        path,
        name,
        sameRack: rackId !== '' && rackId === rack.rackId,
        panels: merged.panels,
        ...merged.counts,
        photoBytes: byteCount,
        missingPhotos: missing,
        cautions,
      }
      looked.set(context, { comparison, rackFolder: rack.folder, records, fingerprint: source.fingerprint })
      job.progress('', 3, 3)
    } catch (error) {
      await dropRecords(records)
      throw error
    } finally {
      await source.close()
    }
  })
  return id
}

/** What its files come to, and how many of them are not there. */
export async function measureFiles(
  source: Source,
  names: readonly string[],
): Promise<{ byteCount: number; missing: number }> {
  let [byteCount, missing] = [0, 0]
  for (const name of names) {
    const size = await source.sizeOf(name)
    if (size === null) missing++
    else byteCount += size
  }
  return { byteCount, missing }
}

function cautionsOf({ heldBy }: Source, broughtFrom: number | null, missing: number): Caution[] {
  const cautions: Caution[] = []
  if (heldBy !== null)
    cautions.push({
      code: 'archive/open-there',
      message: `That rack is open at the moment (${heldBy}).`,
      remedy: 'What was read is how it stood just now; what is written there from now on does not come along.',
      weight: 'note',
    })
  if (broughtFrom !== null)
    cautions.push({
      code: 'archive/older',
      message: 'Its records were written by an earlier Overground.',
      remedy: 'A copy of them was brought to today’s form; the original was left as it is.',
      weight: 'note',
    })
  if (missing > 0)
    cautions.push({
      code: 'archive/photos-missing',
      message: `${missing} of its originals ${missing === 1 ? 'is' : 'are'} not there.`,
      remedy: 'Their readings come in without the picture. Once an original turns up, Check and repair puts it back.',
    })
  return cautions
}
