import { clearAway } from '../../../rack/check/clear-away.ts'
import { readingOnly } from '../../../rack/refusals.ts'
import type { Handlers } from '../../dispatch.ts'
import { startMend } from '../../safety/check/mend.ts'
import { noteWatching } from '../../safety/check/pace.ts'
import { startRelink } from '../../safety/check/relink.ts'
import { startRebuild } from '../../safety/check/renditions.ts'
import { repairPlan, startRepair } from '../../safety/check/repair.ts'
import { reportOf } from '../../safety/check/report/report.ts'
import { startCheck } from '../../safety/check/run-check.ts'
import { leave, setAside, startTakeUnknown } from '../../safety/check/unknown.ts'
import { clearUnneeded, emptyTrash, listUnneeded } from '../../safety/check/unneeded.ts'

/** Looking whether everything is whole, and putting right what is not. */
export const checkHandlers = {
  'check.start': async (_, context) => {
    const rack = context.rack()
    if (rack.access.mode === 'reading') throw readingOnly(rack.access.why)
    noteWatching(rack)
    return { jobId: startCheck(rack, context) }
  },
  'check.report': async (_, context) => {
    const rack = context.rack()
    noteWatching(rack)
    return { report: await reportOf(rack, context) }
  },
  'check.relink': async ({ paths }, context) => ({ jobId: await startRelink(context.rack(), paths, context) }),
  'check.rebuildRenditions': async ({ which }, context) => ({
    jobId: await startRebuild(context.rack(), which, context),
  }),
  'check.clearRenditions': async (_, context) => clearAway(context.rack(), 'pictures'),
  'check.clearHalfDone': async (_, context) => clearAway(context.rack(), 'half-done'),
  'check.mend': async ({ what }, context) => ({ jobId: await startMend(context.rack(), what, context) }),
  'check.takeUnknown': async ({ paths }, context) => ({
    jobId: await startTakeUnknown(context.rack(), paths, context),
  }),
  'check.setAside': async ({ paths }, context) => setAside(context.rack(), paths),
  'check.leave': async ({ paths }, context) => {
    await leave(context.rack(), paths)
    return {}
  },
  'check.listUnneeded': async (_, context) => ({ photos: await listUnneeded(context.rack()) }),
  'check.clearUnneeded': async ({ photoIds }, context) => clearUnneeded(context.rack(), photoIds),
  'check.emptyTrash': async (_, context) => emptyTrash(context.rack()),
  'check.repairPlan': async ({ folder }, context) => ({ plan: await repairPlan(context, folder) }),
  'check.repair': async ({ folder, from }, context) => ({ jobId: await startRepair(context, folder, from) }),
} satisfies Partial<Handlers>
