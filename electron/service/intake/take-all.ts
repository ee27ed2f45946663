import { join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { IntakeItem } from '../../../shared-core/records/job.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { sweepHalfWritten } from '../../photos/write-picture.ts'
import type { Rack } from '../../rack/opening/open.ts'
import {
  beginFile,
  beginningOf,
  cancelFiles,
  countFiles,
  endIntake,
  type IntakeFile,
  putBack,
  readIntake,
} from '../../rack/queries/intakes.ts'
import { discardPhoto } from '../../rack/queries/photos.ts'
import type { AppFiles } from '../app-files.ts'
import type { JobHandle, Jobs } from '../jobs.ts'
import { dropStaged } from '../link/app-folder.ts'
import type { Log } from '../log.ts'
import { preparePhoto } from '../take-in.ts'
import { changeLabel, type Keeper, type Met, makeKeeper } from './keeper.ts'
import type { Sitting } from './sitting.ts'

export type IntakeSupport = {
  jobs: Jobs
  log: Log
  appFiles: AppFiles
  /** What an intake of one file is part of. */
  sitting?: Sitting
}

/** Two are decoded at once (see `decodings`); a third is copied meanwhile. */
const atOnce = 3
/** A file during whose inspection the service ended this often is not tried again. */
const triesAllowed = 2

const stoppedTheService: Caution = {
  code: 'photo/stopped-the-service',
  message: 'Overground’s work stopped twice while it looked at this file, so it was left out.',
  remedy: 'Open it in another program, export it as a new JPEG, and take that in.',
}

type Taking = { rack: Rack; id: string; job: JobHandle; log: Log; keeper: Keeper }

/** Takes in what an intake still has to do, until it is done or somebody stops it. */
export async function takeAll(rack: Rack, id: string, job: JobHandle, support: IntakeSupport): Promise<void> {
  const { log, appFiles, sitting } = support
  const files = await readIntake(rack.db, id)
  let done = 0
  const ended = (item: IntakeItem) => {
    job.item(item)
    job.progress(item.name, ++done, files.length)
  }
  for (const { item } of files) if (item) ended(item)
  job.progress('', done, files.length)
  const met = async ({ path }: IntakeFile, item: IntakeItem) => {
    // a copy that was made only for this intake is no longer needed
    await dropStaged(appFiles.folder, path).catch((error: unknown) => log.unexpected(error, `clearing away ${path}`))
    ended(item)
  }
  const began = await beginningOf(rack.db, id)
  const keeper = makeKeeper(rack, { id, label: changeLabel(files.length), began, log, met, sitting })
  const taking: Taking = { rack, id, job, log, keeper }

  // what was being looked at when the service ended is looked at alone, so that a second end has one culprit
  const suspects = files.filter((file) => !file.item && file.wasWorkedOn)
  if (suspects.length > 0)
    await sweepHalfWritten(join(rack.folder, 'renditions')).catch((error: unknown) => log.unexpected(error, 'sweeping'))
  for (const file of suspects) {
    if (job.signal.aborted) break
    if (file.tries >= triesAllowed) await leaveOut(taking, file)
    else await takeOne(taking, file)
    await keeper.flush()
  }
  const rest = files.filter((file) => !file.item && !file.wasWorkedOn)
  let next = 0
  const worker = async () => {
    try {
      for (let file = rest[next++]; file && !job.signal.aborted; file = rest[next++]) await takeOne(taking, file)
    } catch (error) {
      next = rest.length
      throw error
    }
  }
  const workers = await Promise.allSettled(Array.from({ length: atOnce }, worker))
  // what is in the rack by now is kept, whatever stopped the rest
  await keeper.flush()
  const failed = workers.find((worked) => worked.status === 'rejected')
  if (failed) throw failed.reason
  if (job.stopped() === 'suspended') return
  if (job.stopped() === 'cancelled') await cancelRest(taking, met)
  await finish(taking)
}

async function takeOne(taking: Taking, file: IntakeFile): Promise<void> {
  const { rack, id, job, log, keeper } = taking
  await beginFile(rack.db, id, file.position)
  const notItsFault = () =>
    putBack(rack.db, id, file.position).catch((second: unknown) => log.unexpected(second, 'putting a file back'))
  let fate: Met
  try {
    fate = await fateOf(taking, file)
  } catch (error) {
    if (job.signal.aborted && error === job.signal.reason) {
      await notItsFault()
      return
    }
    if (error instanceof Refusal && error.code.startsWith('rack/')) {
      // no room, or no right to write: the rack's fault, so this file and the rest wait until it is opened again
      await notItsFault()
      throw error
    }
    const why =
      error instanceof Refusal
        ? { code: error.code, message: error.message, remedy: error.remedy }
        : log.unexpected(error, `taking in ${file.path}`)
    fate = { name: file.name, photoId: null, fate: 'refused', why }
  }
  await putBack(rack.db, id, file.position)
  await keeper.add(file, fate)
}

/** Its photo, ready to be kept; or what became of it before. */
async function fateOf({ rack, job, log }: Taking, { path, name, photoId }: IntakeFile): Promise<Met> {
  if (photoId !== null) return { name, photoId, fate: 'taken', why: null }
  return preparePhoto(rack, path, name, {
    signal: job.signal,
    noPictures: (error) => void log.unexpected(error, `renditions of ${name}`),
  })
}

async function leaveOut({ rack, keeper }: Taking, file: IntakeFile): Promise<void> {
  const { photoId, name } = file
  if (photoId !== null) await rack.change({ label: `leave out ${name}` }, (change) => discardPhoto(change, photoId))
  await keeper.add(file, { name, photoId: null, fate: 'refused', why: stoppedTheService })
}

/** However many are left, in one go: whoever stopped it waits. */
async function cancelRest(
  { rack, id }: Taking,
  met: (file: IntakeFile, item: IntakeItem) => Promise<void>,
): Promise<void> {
  const left = (await readIntake(rack.db, id)).filter((file) => !file.item)
  await cancelFiles(rack.db, id)
  for (const file of left) await met(file, { name: file.name, photoId: null, fate: 'cancelled', why: null })
}

async function finish({ rack, id, keeper }: Taking): Promise<void> {
  const { taken, all } = await countFiles(rack.db, id)
  if (taken > 0 && taken !== all) {
    const label = changeLabel(taken)
    await rack.change({ label, partOf: keeper.changeId() }, (change) => change.relabel(label))
  }
  await endIntake(rack.db, id)
}
