import type { Handlers } from '../dispatch.ts'
import { startFiling } from '../proposals/file-ready.ts'
import { replaceEarlier } from '../proposals/replace-earlier.ts'

/** What photos of the tray seem to show, and filing them on it. */
export const proposalHandlers = {
  'proposals.get': async ({ photoId }, context) => ({ proposal: await context.proposals.get(context.rack(), photoId) }),
  'proposals.overview': async (_, context) => context.proposals.overview(context.rack()),
  'proposals.again': async ({ photoId, panelId }, context) => ({
    proposal: await context.proposals.again(context.rack(), photoId, panelId),
  }),
  'proposals.say': async ({ photoId, ...said }, context) => ({
    proposal: await context.proposals.say(context.rack(), photoId, said),
  }),
  'proposals.fileReady': async ({ photoIds }, context) => ({
    jobId: await startFiling(context.rack(), photoIds, context),
  }),
  'proposals.replaceEarlier': async (replacing, context) => {
    await replaceEarlier(context.rack(), replacing)
    return {}
  },
} satisfies Partial<Handlers>
