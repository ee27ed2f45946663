import { z } from 'zod'
import { RackInfo, RecentRack } from '../records/rack.ts'
import { command, job, query } from './call.ts'

// blanks at its ends may be part of a folder’s name
const folder = z.string().min(1).max(4000)
const openErrors = [
  'rack/folder-absent',
  'rack/not-a-rack',
  'rack/newer',
  'rack/locked',
  'rack/read-only',
  'rack/damaged',
  'rack/on-network',
  'rack/place-unknown',
  'rack/path-too-long',
] as const
const newErrors = [
  'rack/already-one',
  'rack/folder-not-empty',
  'rack/read-only',
  'rack/folder-absent',
  'rack/on-network',
  'rack/place-unknown',
  'rack/path-too-long',
] as const

/** Who has a rack open, for a painter who cannot open it. */
const RackHolder = z.object({
  /** The computer's name. */
  host: z.string(),
  /** It is this very computer. */
  here: z.boolean(),
  /** The number of its process, for who has to end it. */
  pid: z.int(),
  since: z.string(),
  lastSign: z.string().nullable(),
  /** Stands for this holder when the painter takes the rack over. */
  nonce: z.string(),
  /** It has given no sign of life for so long that it may be taken over, when the painter is sure. */
  quiet: z.boolean(),
})
export type RackHolder = z.infer<typeof RackHolder>

/** Racks: making, opening, closing. */
export const rackCalls = {
  'rack.suggestFolder': query({
    input: z.object({ name: z.string() }),
    output: z.object({ folder: z.string() }),
    errors: [],
  }),
  'rack.create': command({
    input: z.object({ folder, name: z.string().trim().min(1).max(120) }),
    output: RackInfo,
    errors: newErrors,
  }),
  /**
   * Opens a rack. On a network or where nothing can be written it is opened to be looked at. `reading`: also when somebody else
   * has it. `local`: the painter knows that a folder served by a program lies on this computer. `asItIs`: although its drive has
   * altered the database.
   */
  'rack.open': command({
    input: z.object({
      folder,
      how: z.enum(['usual', 'reading', 'local']).optional(),
      asItIs: z.boolean().optional(),
    }),
    output: RackInfo,
    errors: openErrors,
  }),
  /** Null when nobody has it, or nobody knows who. */
  'rack.whoHolds': query({
    input: z.object({ folder }),
    output: z.object({ holder: RackHolder.nullable() }),
    errors: [],
  }),
  /** Takes a rack away from another computer that is gone for good, and opens it. Watches it for a while first. */
  'rack.takeOver': command({
    input: z.object({ folder, nonce: z.string().min(1).max(100) }),
    output: RackInfo,
    errors: openErrors,
  }),
  /** Looks for a rack of the list that is no longer in its folder. */
  'rack.findMoved': query({
    input: z.object({ folder }),
    output: z.object({ found: z.array(z.object({ folder: z.string(), name: z.string() })) }),
    errors: [],
  }),
  /** Copies the records of a rack that is only looked at again, as they are now. */
  'rack.readAgain': command({ input: z.object({}), output: RackInfo, errors: openErrors }),
  /** Copies the open rack into a new folder of this computer, and opens that. */
  'rack.copyHere': job({
    input: z.object({ folder }),
    output: z.object({ jobId: z.string() }),
    errors: newErrors,
  }),
  /** Keeps the open records as a backup where another program has replaced them, and opens what lies there now. */
  'rack.keepBoth': command({
    input: z.object({}),
    output: z.object({ backup: z.string(), rack: RackInfo }),
    errors: openErrors,
  }),
  /** The painter says whether a program keeps the open rack’s folder the same on several computers. */
  'rack.setKeptInSync': command({
    input: z.object({ keptInSync: z.boolean() }),
    output: z.object({}),
    errors: [],
  }),
  /** Makes a demonstration rack in a new folder and opens it. */
  'rack.makeDemonstration': job({
    input: z.object({ folder }),
    output: z.object({ jobId: z.string() }),
    errors: newErrors,
  }),
  'rack.close': command({ input: z.object({}), output: z.object({}), errors: [] }),
  /** The open rack, or null. */
  'rack.describe': query({ input: z.object({}), output: z.object({ rack: RackInfo.nullable() }), errors: [] }),
  'rack.listRecent': query({ input: z.object({}), output: z.object({ racks: z.array(RecentRack) }), errors: [] }),
  'rack.forgetRecent': command({ input: z.object({ folder }), output: z.object({}), errors: [] }),
}
