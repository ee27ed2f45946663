import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { isBackupName } from '../../../rack/backups/facts.ts'
import { listBackups } from '../../../rack/backups/list.ts'
import { previewRestore } from '../../../rack/backups/preview.ts'
import { removeBackup } from '../../../rack/backups/prune.ts'
import { backupAbsent, lastGoodBackup } from '../../../rack/backups/refusals.ts'
import { findPlaces } from '../../../rack/backups/second-place/find.ts'
import type { Handlers } from '../../dispatch.ts'
import { startRestore, startRestoreElsewhere } from '../../safety/restore.ts'

/** Copies of the rack's records, and going back to one. */
export const backupHandlers = {
  'backups.describe': async (_, context) => context.backups.describe(context.rack()),
  'backups.list': async ({ folder, thorough }) => ({
    backups: await listBackups(folder, thorough ? 'thorough' : 'quick'),
  }),
  'backups.make': async (_, context) => ({ jobId: context.backups.make(context.rack()) }),
  'backups.remove': async ({ file }, context) => {
    const { folder } = context.rack()
    const backups = await listBackups(folder, 'quick')
    if (!isBackupName(file) || !backups.some((one) => one.file === file)) throw backupAbsent(file)
    const others = backups.filter((one) => one.file !== file && one.state !== 'damaged')
    if (others.length === 0 && backups.find((one) => one.file === file)?.state !== 'damaged') throw lastGoodBackup()
    await removeBackup(folder, file)
    return {}
  },
  'backups.preview': async ({ folder, file }) => previewRestore(folder, file),
  'backups.restore': async ({ folder, file }, context) => ({ jobId: await startRestore(context, folder, file) }),
  'backups.restoreElsewhere': async ({ from, file, to }, context) => ({
    jobId: await startRestoreElsewhere(context, from, file, to),
  }),
  'secondPlace.find': async ({ folder }) => ({ places: await findPlaces(folder) }),
  'secondPlace.choose': async ({ folder }, context) => {
    const rack = context.rack()
    await context.backups.place.choose(rack, folder)
    if (folder !== null) context.backups.place.start(rack)
    return context.backups.describe(rack)
  },
  'secondPlace.copyNow': async (_, context) => {
    const rack = context.rack()
    if (!context.backups.place.has(rack))
      throw new Refusal('second-place/none', 'No second place is chosen.', 'Choose a folder on another disk first.')
    return { jobId: context.backups.place.start(rack, true) }
  },
} satisfies Partial<Handlers>
