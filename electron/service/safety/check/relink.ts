import { stat } from 'node:fs/promises'
import { join } from 'node:path'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../../../shared-core/records/photo.ts'
import { type BroughtBack, noteFiles, type TroubledFile, troubledFiles } from '../../../rack/check/progress.ts'
import { trashFolder } from '../../../rack/check/walk.ts'
import { withCheckWorker } from '../../../rack/check/worker/ask-worker.ts'
import { extensions, storeByHash } from '../../../rack/disk/photo-store.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { JobHandle, Jobs } from '../../jobs.ts'
import type { PlaceKeeper } from '../place-keeper.ts'
import { be, counted } from './report/words.ts'

type Lost = TroubledFile & { extension: string }

/** What is lost or damaged and is still wanted. */
async function lostFiles(rack: Rack): Promise<Lost[]> {
  return (await troubledFiles(rack.db))
    .filter(({ found, discarded }) => found !== 'cleared' || !discarded)
    .map((file) => ({
      ...file,
      extension: file.format ? extensions[file.format as PhotoFormat] : (file.name.split('.').at(-1) ?? 'pdf'),
    }))
}

/**
 * Looks for lost and damaged originals in what the user gives: files, or folders with all that is in them. Files are known by
 * their content, whatever they are called. @returns the job's id
 * @throws Refusal `check/nothing-missing`, `check/no-such-place`
 */
export async function startRelink(
  rack: Rack,
  paths: readonly string[],
  { jobs, backups }: { jobs: Jobs; backups: { readonly place: PlaceKeeper } },
): Promise<string> {
  const lost = await lostFiles(rack)
  if (lost.length === 0)
    throw new Refusal(
      'check/nothing-missing',
      'No original is known to be missing or damaged.',
      'Look through everything first, where you think that one is.',
    )
  for (const path of paths)
    if (!(await stat(path).catch(() => null)))
      throw new Refusal(
        'check/no-such-place',
        `There is nothing at ${path}.`,
        'Check that its card or drive is connected and that the path is whole.',
      )
  const id = v7()
  const label = `Looking for ${counted(lost.length, 'lost original')}`
  jobs.start({ id, kind: 'check', label, total: lost.length, rackFolder: rack.folder }, async (job) => {
    const found = await relinkFrom(rack, paths, lost, job)
    if (found.length > 0) backups.place.originalsMended(rack)
    job.conclude(inWords(found.length, lost.length))
  })
  return id
}

/**
 * Looks in places of which the rack knows itself: its own trash, and the second place of backups where it is connected.
 * @returns what came back from the second place
 */
export async function relinkFromKnown(rack: Rack, second: string | null, job: JobHandle): Promise<BroughtBack[]> {
  const lost = await lostFiles(rack)
  if (lost.length === 0) return []
  const places: string[] = []
  for (const place of [join(rack.folder, trashFolder), second])
    if (place !== null && (await stat(place).catch(() => null))) places.push(place)
  const back = places.length === 0 ? [] : await relinkFrom(rack, places, lost, job)
  return back
    .filter(({ place }) => place === second)
    .map(({ file }) => ({ name: file.name, was: file.found === 'damaged' ? 'damaged' : 'missing' }))
}

async function relinkFrom(
  rack: Rack,
  paths: readonly string[],
  lost: readonly Lost[],
  job: JobHandle,
): Promise<Array<{ file: Lost; place: string }>> {
  const wanted = new Map(lost.map((file) => [file.sha256, file]))
  const back: Array<{ file: Lost; place: string }> = []
  const total = lost.length
  await withCheckWorker(job.signal, async (worker) => {
    for (const path of paths) {
      if (wanted.size === 0 || job.signal.aborted) return
      job.progress(`Looking in ${path}`, back.length, total)
      const left = [...wanted.values()]
      const sizes = left.flatMap(({ byteCount }) => byteCount ?? [])
      const anySize = left.some(({ byteCount }) => byteCount === null)
      for (const { path: source, sha256 } of await worker.ask({ what: 'search', places: [path], sizes, anySize })) {
        const file = wanted.get(sha256)
        if (!file) continue
        await storeByHash(rack.folder, file.photoId === null ? 'data-sheets' : 'photos', source, file.extension)
        await noteFiles(rack.db, [{ sha256, found: 'whole' }])
        wanted.delete(sha256)
        back.push({ file, place: path })
        job.progress(file.name, back.length, total)
      }
    }
  })
  return back
}

function inWords(back: number, all: number): string {
  if (back === 0) return `None of the ${counted(all, 'lost original')} lies there. Nothing was changed.`
  const rest = all - back
  const found = `${counted(back, 'original')} ${be(back)} back in ${back === 1 ? 'its' : 'their'} place, byte for byte.`
  return rest === 0 ? `${found} Nothing is missing any more.` : `${found} ${counted(rest, 'other')} did not lie there.`
}
