import { z } from 'zod'
import { Proposal } from '../records/proposal.ts'
import { command, job, query } from './call.ts'

/** What photos of the tray seem to show, and filing them on it. */
export const proposalCalls = {
  /** Of one photo of the tray; asked for before it was looked at, it is looked at next. */
  'proposals.get': query({
    input: z.object({ photoId: z.string() }),
    output: z.object({ proposal: Proposal }),
    errors: ['photo/absent'],
  }),
  /**
   * How far the tray has been looked at. `ready` may be filed unseen, in the pile's order; `doubtful` are the others that were
   * looked at, each with its first doubt; `waiting` is how many nobody has looked at yet.
   */
  'proposals.overview': query({
    input: z.object({}),
    output: z.object({
      ready: z.array(z.object({ photoId: z.string(), panelId: z.string(), panelCode: z.string() })),
      doubtful: z.array(z.object({ photoId: z.string(), panelCode: z.string().nullable(), why: z.string() })),
      waiting: z.int().nonnegative(),
    }),
    errors: [],
  }),
  /** Looks at a photo again; `panelId` says which panel it shows, null: nobody said. */
  'proposals.again': query({
    input: z.object({ photoId: z.string(), panelId: z.string().nullable() }),
    output: z.object({ proposal: Proposal }),
    errors: ['photo/absent', 'photo/original-missing', 'panel/absent'],
  }),
  /**
   * Notes what the painter says of a photo without filing it, so that it is not filed unseen. `withdrawn`: which panel it was said
   * to show, until it is said anew; `declined`: the marks that were found, until it is looked at again; `reference`: it is meant as
   * one; `bothKept`: an earlier photo of the same stays beside it, until another panel is said or it is looked at again. What is left out stays as it was.
   */
  'proposals.say': query({
    input: z.object({
      photoId: z.string(),
      withdrawn: z.boolean().optional(),
      declined: z.boolean().optional(),
      reference: z.boolean().optional(),
      bothKept: z.boolean().optional(),
    }),
    output: z.object({ proposal: Proposal }),
    errors: ['photo/absent'],
  }),
  /** Puts its proposals through: each photo is read and filed to its panel. One change, which one step of Undo takes back. */
  'proposals.fileReady': job({
    input: z.object({ photoIds: z.array(z.string()).min(1).max(2000) }),
    output: z.object({ jobId: z.string() }),
    errors: [],
  }),
  /**
   * Keeps a photo's retake and discards the earlier one, together, with what was read of the panel from it. One that shows another
   * panel too stays for that one.
   */
  'proposals.replaceEarlier': command({
    input: z.object({ photoId: z.string(), earlierPhotoId: z.string(), panelId: z.string() }),
    output: z.object({}),
    errors: ['photo/absent'],
  }),
}
