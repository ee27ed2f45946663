import { rm, stat } from 'node:fs/promises'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../../../shared-core/records/photo.ts'
import { factsOf } from '../../../photos/inspect.ts'
import { smallPictures } from '../../../photos/renditions.ts'
import { originalPath } from '../../../rack/disk/photo-store.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { Jobs } from '../../jobs.ts'
import { pictureFile } from '../../link/picture-files.ts'
import type { Log } from '../../log.ts'
import { decodings, keepSmallPictures } from '../../pictures.ts'
import { counted } from './report/words.ts'

/**
 * Makes small pictures of photos anew as a job: of all, or of those that have none. Cut-outs and larger ones are made when
 * they are looked at; with `all` the old ones go first. @returns the job's id
 */
export async function startRebuild(
  rack: Rack,
  which: 'missing' | 'all',
  { jobs, log }: { jobs: Jobs; log: Log },
): Promise<string> {
  const id = v7()
  const label = which === 'all' ? 'Making all small pictures anew' : 'Making the missing small pictures'
  const photos = await rack.db
    .selectFrom('photo')
    .select(['sha256', 'format', 'name'])
    .where('deleted_at', 'is', null)
    .orderBy('added_at')
    .orderBy('id')
    .execute()
  jobs.start({ id, kind: 'check', label, total: photos.length, rackFolder: rack.folder }, async (job) => {
    let made = 0
    for (const [i, { sha256, format, name }] of photos.entries()) {
      if (job.signal.aborted) break
      try {
        if (which === 'all') await dropPictures(rack, sha256)
        if (which === 'all' || (await isWithout(rack, sha256))) {
          await makeBoth(rack, sha256, format as PhotoFormat, job.signal)
          made++
        }
      } catch (error) {
        if (job.signal.aborted) break
        if (error instanceof Refusal && error.code.startsWith('rack/')) throw error
        const why =
          error instanceof Refusal
            ? { code: error.code, message: error.message, remedy: error.remedy }
            : log.unexpected(error, 'making small pictures')
        job.item({ name, photoId: null, fate: 'refused', why })
      }
      job.progress(name, i + 1, photos.length)
    }
    job.conclude(
      made === 0 ? 'No small picture was missing.' : `Small pictures of ${counted(made, 'photo')} were made anew.`,
    )
  })
  return id
}

const sizes = ['thumb', 'view'] as const
const fileOf = (rack: Rack, hash: string, size: 'thumb' | 'view' | 'full'): string =>
  pictureFile(rack.renditions, { kind: 'photo', hash, size })

async function isWithout(rack: Rack, sha256: string): Promise<boolean> {
  for (const size of sizes) {
    const found = await stat(fileOf(rack, sha256, size)).catch(() => null)
    if (!found || found.size === 0) return true
  }
  return false
}

/** A photo whose original is gone keeps its small pictures: nothing could make them again. */
async function dropPictures(rack: Rack, sha256: string): Promise<void> {
  const { format } = await rack.db
    .selectFrom('photo')
    .select('format')
    .where('sha256', '=', sha256)
    .executeTakeFirstOrThrow()
  if (!(await stat(originalPath(rack.folder, sha256, format as PhotoFormat)).catch(() => null))) throw originalMissing()
  await rm(fileOf(rack, sha256, 'full'), { force: true })
  const cuts = await rack.db
    .selectFrom('area')
    .innerJoin('photo', 'photo.id', 'area.photo_id')
    .select('area.cut_key')
    .distinct()
    .where('photo.sha256', '=', sha256)
    .execute()
  for (const { cut_key } of cuts)
    for (const size of ['small', 'usual', 'large'] as const)
      await rm(pictureFile(rack.renditions, { kind: 'cut', hash: cut_key, size }), { force: true })
}

async function makeBoth(rack: Rack, sha256: string, format: PhotoFormat, signal: AbortSignal): Promise<void> {
  const path = originalPath(rack.folder, sha256, format)
  if (!(await stat(path).catch(() => null))) throw originalMissing()
  // written over the old ones, which are shown until then
  const pictures = await decodings.ahead(async () => smallPictures(path, await factsOf(path, signal), signal))
  await keepSmallPictures(rack, sha256, pictures)
}

const originalMissing = () =>
  new Refusal(
    'photo/original-missing',
    'Its original is missing, so its small pictures were left as they are.',
    'Give the card or backup that still has it, under “Check and repair”.',
  )
