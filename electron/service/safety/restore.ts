import { v7 } from 'uuid'
import type { RackCounts } from '../../../shared-core/records/backup.ts'
import { isBackupName } from '../../rack/backups/facts.ts'
import { listBackups } from '../../rack/backups/list.ts'
import { putBack } from '../../rack/backups/put-back.ts'
import { backupAbsent } from '../../rack/backups/refusals.ts'
import { makeRackFrom } from '../../rack/backups/second-place/make-rack.ts'
import { noteEvent } from '../../rack/history/events.ts'
import { mustBeFree } from '../../rack/opening/open.ts'
import { folderAbsent, readingOnly } from '../../rack/refusals.ts'
import type { Context } from '../context.ts'
import type { JobHandle } from '../jobs.ts'
import { followUpRestore } from './follow-up.ts'
import { countsInWords, putBackInWords } from './words.ts'

/**
 * Puts a backup back as a job: closes the rack when it is the open one, and opens it afterwards, as the backup has it.
 * @returns the job's id
 * @throws Refusal `rack/folder-absent`, `backup/absent`
 */
export async function startRestore(context: Context, folder: string, file: string): Promise<string> {
  if (!isBackupName(file)) throw backupAbsent(file)
  const open = context.current.get()
  if (open?.folder === folder && open.access.mode === 'reading') throw readingOnly(open.access.why)
  const backup = (await listBackups(folder, 'quick')).find((one) => one.file === file)
  if (!backup) throw backupAbsent(file)
  const id = v7()
  const label = 'Putting a backup back'
  context.jobs.start({ id, kind: 'restore', label, total: 0, rackFolder: folder }, async (job) => {
    const wasOpen = context.current.get()?.folder === folder
    if (wasOpen) await context.current.close()
    const stages = stagesOf(job, 5)
    try {
      await putBack(folder, file, { signal: job.signal, followUp: true, onStage: stages.next })
    } catch (error) {
      // nothing was changed: the rack goes on as it was
      if (wasOpen)
        await context.current
          .open(folder)
          .catch((second: unknown) => context.log.unexpected(second, `opening ${folder} again`))
      throw error
    }
    stages.next('opening the rack')
    await context.current.open(folder)
    const photos = await followUpRestore(context, folder, (done, total) =>
      job.progress('photos that the backup does not know', done, total),
    )
    if (photos) job.conclude(putBackInWords(backup.facts?.counts ?? null, photos))
  })
  return id
}

/**
 * Makes a whole rack in a new folder from a second place as a job, and opens it. @returns the job's id
 * @throws Refusal `rack/folder-absent`, `rack/already-one`, `rack/folder-not-empty`
 */
export async function startRestoreElsewhere(
  context: Context,
  from: string,
  file: string | null,
  to: string,
): Promise<string> {
  if (file !== null && !isBackupName(file)) throw backupAbsent(file)
  await listBackups(from, 'quick')
  if (from === to) throw folderAbsent(to)
  await mustBeFree(to)
  const id = v7()
  const label = 'Making a rack from the second place'
  context.jobs.start({ id, kind: 'restore', label, total: 0, rackFolder: to }, async (job) => {
    const made = await makeRackFrom(from, file, to, {
      signal: job.signal,
      onProgress: (stage, done, total) => job.progress(stage, done, total),
    })
    await context.current.open(to)
    await noteEvent(context.rack().db, {
      kind: 'restored',
      label: `made from the second place in ${from}`,
      who: context.appFiles.settings().painter,
    })
    const counts = await countsOf(from, made.file)
    const all = counts ? `The rack is whole again: ${countsInWords(counts)}.` : 'The rack is whole again.'
    job.conclude(
      made.missing === 0
        ? all
        : `The rack is open. ${made.missing === 1 ? 'One original did not lie' : `${made.missing} originals did not lie`} in the second place, or ${made.missing === 1 ? 'was' : 'were'} damaged there: “Check and repair” names ${made.missing === 1 ? 'it' : 'them'}.`,
    )
  })
  return id
}

async function countsOf(folder: string, file: string): Promise<RackCounts | null> {
  const found = (await listBackups(folder, 'quick')).find((one) => one.file === file)
  return found?.facts?.counts ?? null
}

const stagesOf = (job: JobHandle, total: number) => {
  let done = 0
  return { next: (stage: string) => job.progress(stage, done++, total) }
}
