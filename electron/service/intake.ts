import { v7 } from 'uuid'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { IntakeItem } from '../../shared-core/records/job.ts'
import type { Caution, PhotoFormat } from '../../shared-core/records/photo.ts'
import type { Rack } from '../rack/open.ts'
import {
  addIntake,
  beginFile,
  endFile,
  endIntake,
  type IntakeFile,
  listIntakes,
  notePhoto,
  putBack,
  readIntake,
} from '../rack/queries/intakes.ts'
import { discardPhoto } from '../rack/queries/photos.ts'
import { diskFull, isDiskFull } from '../rack/refusals.ts'
import type { AppFiles } from './app-files.ts'
import type { JobHandle, Jobs } from './jobs.ts'
import { claimStaged, dropStaged } from './link/app-folder.ts'
import type { Log } from './log.ts'
import { makeRenditions } from './pictures.ts'
import { takeInPhoto } from './take-in.ts'

/** Decoding is the slow part; two at once keep two cores busy. */
const atOnce = 2
/** A file during whose inspection the service ended this often is not tried again. */
const triesAllowed = 2

const stoppedTheService: Caution = {
  code: 'photo/stopped-the-service',
  message: 'Overground’s work stopped twice while it looked at this file, so it was left out.',
  remedy: 'Open it in another program, export it as a new JPEG, and take that in.',
}

export type IntakeSupport = { jobs: Jobs; log: Log; appFiles: AppFiles }

/** One intake after the other, or their files would crowd each other out. */
let before: Promise<void> = Promise.resolve()

/** Takes files into the tray as a job. @returns the job's id */
export async function startIntake(
  rack: Rack,
  files: ReadonlyArray<{ path: string; name: string }>,
  support: IntakeSupport,
): Promise<string> {
  const id = v7()
  for (const { path } of files) await claimStaged(support.appFiles.folder, path)
  await addIntake(rack.db, id, files)
  run(rack, id, files.length, support)
  return id
}

/** Goes on with what an earlier service left unfinished in this rack, under the same job ids. */
export async function resumeIntakes(rack: Rack, support: IntakeSupport): Promise<void> {
  for (const id of await listIntakes(rack.db)) run(rack, id, (await readIntake(rack.db, id)).length, support)
}

function run(rack: Rack, id: string, total: number, support: IntakeSupport): void {
  const label = total === 1 ? 'Taking in a photo' : `Taking in ${total} photos`
  support.jobs.start({ id, kind: 'intake', label, total }, async (job) => {
    const mine = before.then(() => takeAll(rack, id, job, support))
    before = mine.catch(() => undefined)
    await mine.catch((error: unknown) => {
      throw isDiskFull(error) ? diskFull() : error
    })
  })
}

async function takeAll(rack: Rack, id: string, job: JobHandle, { log, appFiles }: IntakeSupport): Promise<void> {
  const files = await readIntake(rack.db, id)
  let done = 0
  const ended = (item: IntakeItem) => {
    job.item(item)
    job.progress(item.name, ++done, files.length)
  }
  for (const { item } of files) if (item) ended(item)
  job.progress('', done, files.length)
  const label = changeLabel(files.length)
  const taking: Taking = { rack, id, changeId: id, label, log, home: appFiles.folder, ended }

  // what was being looked at when the service ended is looked at alone, so that a second end has one culprit
  const suspects = files.filter((file) => !file.item && file.wasWorkedOn)
  for (const file of suspects) {
    if (job.signal.aborted) break
    if (file.tries >= triesAllowed) await leaveOut(taking, file)
    else await takeOne(taking, file)
  }
  const rest = files.filter((file) => !file.item && !file.wasWorkedOn)
  const worker = async () => {
    try {
      for (let file = rest.shift(); file && !job.signal.aborted; file = rest.shift()) await takeOne(taking, file)
    } catch (error) {
      rest.length = 0
      throw error
    }
  }
  const workers = await Promise.allSettled(Array.from({ length: atOnce }, worker))
  const failed = workers.find((worked) => worked.status === 'rejected')
  if (failed) throw failed.reason
  if (job.stopped() === 'suspended') return
  if (job.stopped() === 'cancelled') await cancelRest(taking)
  await finish(taking)
}

type Taking = {
  rack: Rack
  id: string
  changeId: string
  label: string
  log: Log
  /** The application's own folder, in which files wait that came as bytes. */
  home: string
  ended(item: IntakeItem): void
}

const changeLabel = (count: number): string => (count === 1 ? 'take in a photo' : `take in ${count} photos`)

async function takeOne(taking: Taking, file: IntakeFile): Promise<void> {
  const { rack, id, log } = taking
  await beginFile(rack.db, id, file.position)
  const item = await fateOf(taking, file).catch(async (error: unknown): Promise<IntakeItem> => {
    if (error instanceof Refusal && error.code.startsWith('rack/')) {
      // no room, or no right to write: the rack's fault, so this file and the rest wait until it is opened again
      await putBack(rack.db, id, file.position).catch((second: unknown) =>
        log.unexpected(second, 'putting a file back'),
      )
      throw error
    }
    const why =
      error instanceof Refusal
        ? { code: error.code, message: error.message, remedy: error.remedy }
        : log.unexpected(error, `taking in ${file.path}`)
    return { name: file.name, photoId: null, fate: 'refused', why }
  })
  await end(taking, file, item)
}

/** Keeps what became of a file; a copy that was made only for this intake is then no longer needed. */
async function end(taking: Taking, file: IntakeFile, item: IntakeItem): Promise<void> {
  const { rack, id, log, home } = taking
  await endFile(rack.db, id, file.position, item)
  await dropStaged(home, file.path).catch((error: unknown) => log.unexpected(error, `clearing away ${file.path}`))
  taking.ended(item)
}

async function fateOf(taking: Taking, file: IntakeFile): Promise<IntakeItem> {
  const { rack, id, log } = taking
  const { name, path, position } = file
  const taken = async (photoId: string, photo: { sha256: string; format: PhotoFormat }): Promise<IntakeItem> => {
    // the photo is in the rack whatever becomes of its small pictures: they are made again when they are asked for
    await makeRenditions(rack, photo).catch((error: unknown) => log.unexpected(error, `renditions of ${name}`))
    return { name, photoId, fate: 'taken', why: null }
  }
  if (file.photoId !== null) {
    // in the rack since before the service ended; only its renditions may be missing
    const row = await rack.db
      .selectFrom('photo')
      .select(['sha256', 'format'])
      .where('id', '=', file.photoId)
      .executeTakeFirstOrThrow()
    return taken(file.photoId, { sha256: row.sha256, format: row.format as PhotoFormat })
  }
  const photo = await takeInPhoto(rack, path, name, {
    what: { label: taking.label, partOf: taking.changeId },
    also: async (change, photoId) => {
      taking.changeId = change.changeId
      await notePhoto(change.db, id, position, photoId)
    },
  })
  if (photo.fate === 'duplicate') return { name, photoId: photo.photoId, fate: 'duplicate', why: null }
  return taken(photo.photoId, photo)
}

async function leaveOut(taking: Taking, file: IntakeFile): Promise<void> {
  const { rack, changeId, label } = taking
  const { photoId } = file
  if (photoId !== null) await rack.change({ label, partOf: changeId }, (change) => discardPhoto(change, photoId))
  await end(taking, file, { name: file.name, photoId: null, fate: 'refused', why: stoppedTheService })
}

async function cancelRest(taking: Taking): Promise<void> {
  for (const file of await readIntake(taking.rack.db, taking.id)) {
    if (file.item) continue
    await end(taking, file, { name: file.name, photoId: null, fate: 'cancelled', why: null })
  }
}

async function finish(taking: Taking): Promise<void> {
  const files = await readIntake(taking.rack.db, taking.id)
  const taken = files.filter((file) => file.item?.fate === 'taken').length
  if (taken > 0 && taken !== files.length) {
    const label = changeLabel(taken)
    await taking.rack.change({ label, partOf: taking.changeId }, (change) => change.relabel(label))
  }
  await endIntake(taking.rack.db, taking.id)
}
