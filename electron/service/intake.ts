import { v7 } from 'uuid'
import type { Rack } from '../rack/opening/open.ts'
import { type Alongside, addIntake, countFiles, type GivenFile, listIntakes } from '../rack/queries/intakes.ts'
import { diskFull, isDiskFull } from '../rack/refusals.ts'
import { type IntakeSupport, takeAll } from './intake/take-all.ts'
import { claimStaged } from './link/app-folder.ts'

/** One intake after the other, or their files would crowd each other out. */
let before: Promise<void> = Promise.resolve()

/**
 * Takes files into the tray as a job.
 * @returns the job's id
 */
export async function startIntake(
  rack: Rack,
  files: readonly GivenFile[],
  support: IntakeSupport,
  alongside?: Alongside,
): Promise<string> {
  const id = v7()
  for (const { path } of files) await claimStaged(support.appFiles.folder, path)
  await addIntake(rack.db, id, files, alongside)
  run(rack, id, files.length, support)
  return id
}

/** Goes on with what an earlier service left unfinished in this rack, under the same job ids. */
export async function resumeIntakes(rack: Rack, support: IntakeSupport): Promise<void> {
  for (const id of await listIntakes(rack.db)) run(rack, id, (await countFiles(rack.db, id)).all, support)
}

function run(rack: Rack, id: string, total: number, support: IntakeSupport): void {
  const label = total === 1 ? 'Taking in a photo' : `Taking in ${total} photos`
  support.jobs.start({ id, kind: 'intake', label, total, rackFolder: rack.folder }, async (job) => {
    const mine = before.then(() => takeAll(rack, id, job, support))
    before = mine.catch(() => undefined)
    await mine.catch((error: unknown) => {
      throw isDiskFull(error) ? diskFull() : error
    })
  })
}
