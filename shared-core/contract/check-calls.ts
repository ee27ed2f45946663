import { z } from 'zod'
import { CheckReport, RepairPlan, RepairWay, UnneededPhoto } from '../records/check.ts'
import { command, job, query } from './call.ts'

const started = z.object({ jobId: z.string() })
const folder = z.string().trim().min(1).max(4000)
/** Inside the rack's folder, as a finding names them. */
const ownPaths = z.array(z.string().min(1).max(1000)).min(1).max(10_000)
const moved = z.object({ count: z.int(), byteCount: z.number() })

/** Looking whether everything is whole, and putting right what is not. */
export const checkCalls = {
  /** Looks through records and files; goes on with one that was stopped. One that runs already is answered. */
  'check.start': job({ input: z.object({}), output: started, errors: [] }),
  /** Somebody who asks is watching: what runs then goes on without resting between files. */
  'check.report': query({ input: z.object({}), output: z.object({ report: CheckReport }), errors: [] }),
  /** Looks for lost and damaged originals in files and folders, and stores those that match. */
  'check.relink': job({
    input: z.object({ paths: z.array(z.string().trim().min(1).max(4000)).min(1).max(1000) }),
    output: started,
    errors: ['check/nothing-missing', 'check/no-such-place'],
  }),
  'check.rebuildRenditions': job({
    input: z.object({ which: z.enum(['missing', 'all']) }),
    output: started,
    errors: [],
  }),
  /** Removes small pictures that belong to nothing: they can be made again. */
  'check.clearRenditions': command({ input: z.object({}), output: moved, errors: [] }),
  /** Removes what copies left half done. */
  'check.clearHalfDone': command({ input: z.object({}), output: moved, errors: [] }),
  /** Puts records right, after a backup. */
  'check.mend': job({
    input: z.object({ what: z.enum(['indexes', 'loose', 'order', 'from-history', 'keep-present']) }),
    output: started,
    errors: ['check/nothing-to-mend'],
  }),
  /** Takes unknown pictures in the photos folder into the tray. */
  'check.takeUnknown': job({ input: z.object({ paths: ownPaths }), output: started, errors: ['check/no-such-file'] }),
  /** Moves unknown files to a folder “unknown” inside the rack. */
  'check.setAside': command({ input: z.object({ paths: ownPaths }), output: moved, errors: ['check/no-such-file'] }),
  /** Unknown files that are fine where they are: not told of again. */
  'check.leave': command({
    input: z.object({ paths: ownPaths }),
    output: z.object({}),
    errors: ['check/no-such-file'],
  }),
  'check.listUnneeded': query({
    input: z.object({}),
    output: z.object({ photos: z.array(UnneededPhoto) }),
    errors: [],
  }),
  /** Moves originals of discarded photos to the rack's trash folder. */
  'check.clearUnneeded': command({
    input: z.object({ photoIds: z.array(z.string()).min(1).max(100_000) }),
    output: moved,
    errors: [],
  }),
  /** Deletes what lies in the rack's trash folder for good. */
  'check.emptyTrash': command({ input: z.object({}), output: moved, errors: [] }),
  /** What was found about a rack that cannot be opened; null when nobody looked yet. */
  'check.repairPlan': query({
    input: z.object({ folder }),
    output: z.object({ plan: RepairPlan.nullable() }),
    errors: [],
  }),
  /**
   * Puts a rack right that cannot be opened, and opens it. Without `from` it takes the best way, and stops before
   * anything is replaced where somebody has to choose. An open rack is closed first.
   */
  'check.repair': job({
    input: z.object({ folder, from: RepairWay.shape.from.nullable() }),
    output: started,
    errors: ['rack/folder-absent', 'rack/locked', 'rack/read-only', 'rack/newer', 'check/no-such-way'],
  }),
}
