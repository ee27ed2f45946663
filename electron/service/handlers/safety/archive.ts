import type { Handlers } from '../../dispatch.ts'
import { wholePath } from '../../place/folders.ts'
import { forget, lookedAt, startComparing } from '../../safety/archive/compare.ts'
import { compareOne, foreseeCodes } from '../../safety/archive/foresee.ts'
import { inspectArchive, startUnpacking, startVerifying } from '../../safety/archive/inspect.ts'
import { startMaking, suggestArchive } from '../../safety/archive/make.ts'
import { startMerging } from '../../safety/archive/merge-in.ts'

/** A whole rack as one file, and what comes in from one or from another rack. */
export const archiveHandlers = {
  'archive.suggest': async (_, context) => suggestArchive(context.rack()),
  'archive.make': async (input, context) => {
    const target = input.target === null ? null : await wholePath(input.target)
    return { jobId: await startMaking(context, { ...input, target }) }
  },
  'archive.inspect': async ({ path }, context) => ({ archive: await inspectArchive(context, await wholePath(path)) }),
  'archive.verify': async ({ path }, context) => ({
    jobId: await startVerifying(context, { path: await wholePath(path) }),
  }),
  'archive.unpack': async ({ path, folder }, context) => ({
    jobId: await startUnpacking(context, { path: await wholePath(path), folder: await wholePath(folder) }),
  }),
  'archive.compare': async ({ path }, context) => ({ jobId: await startComparing(context, await wholePath(path)) }),
  'archive.comparison': async (_, context) => ({ comparison: lookedAt(context)?.comparison ?? null }),
  'archive.compareOne': async (asked, context) => ({ groups: await compareOne(context, asked) }),
  'archive.foreseeCodes': async (wish, context) => ({ codes: await foreseeCodes(context, wish) }),
  'archive.forgetComparison': async (_, context) => {
    await forget(context)
    return {}
  },
  'archive.mergeIn': async (input, context) => ({ jobId: await startMerging(context, input) }),
} satisfies Partial<Handlers>
