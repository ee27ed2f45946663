import { rmdir, stat } from 'node:fs/promises'
import { dirname } from 'node:path'
import { v7 } from 'uuid'
import type { RackCounts } from '../../../shared-core/records/backup.ts'
import { isBackupName } from '../../rack/backups/facts.ts'
import { listBackups } from '../../rack/backups/list.ts'
import { putBack } from '../../rack/backups/put-back.ts'
import { backupAbsent } from '../../rack/backups/refusals.ts'
import { thePlace } from '../../rack/backups/second-place/find.ts'
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
 * @param place  the second place, or a folder in which the only one lies
 * @throws Refusal `rack/folder-absent`, `backup/none-good`, `second-place/several`, `rack/already-one`, `rack/folder-not-empty`
 */
export async function startRestoreElsewhere(
  context: Context,
  place: string,
  file: string | null,
  to: string,
): Promise<string> {
  if (file !== null && !isBackupName(file)) throw backupAbsent(file)
  const from = await thePlace(place)
  if (from === to) throw folderAbsent(to)
  const missing = await foldersMissing(to)
  /** Folders that were made for nothing go again; with anything in them, they stay. */
  const leaveNoFolder = async () => {
    for (const folder of missing) await rmdir(folder).catch(() => undefined)
  }
  try {
    await mustBeFree(to)
  } catch (error) {
    await leaveNoFolder()
    throw error
  }
  const id = v7()
  const label = 'Making a rack from the second place'
  context.jobs.start({ id, kind: 'restore', label, total: 0, rackFolder: to }, async (job) => {
    const made = await makeRackFrom(from, file, to, {
      signal: job.signal,
      onProgress: (stage, done, total) => job.progress(stage, done, total),
    }).catch(async (error: unknown) => {
      await leaveNoFolder()
      throw error
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

/** A folder and those above it that are not there yet, innermost first. */
async function foldersMissing(folder: string): Promise<string[]> {
  const missing: string[] = []
  for (let at = folder; !(await stat(at).catch(() => null)); at = dirname(at)) {
    missing.push(at)
    if (dirname(at) === at) break
  }
  return missing
}

async function countsOf(folder: string, file: string): Promise<RackCounts | null> {
  const found = (await listBackups(folder, 'quick')).find((one) => one.file === file)
  return found?.facts?.counts ?? null
}

const stagesOf = (job: JobHandle, total: number) => {
  let done = 0
  return { next: (stage: string) => job.progress(stage, done++, total) }
}
