import { z } from 'zod'
import { RackInfo, RecentRack } from '../records/rack.ts'
import { command, job, query } from './call.ts'

const folder = z.string().trim().min(1).max(4000)
const openErrors = [
  'rack/folder-absent',
  'rack/not-a-rack',
  'rack/newer',
  'rack/locked',
  'rack/read-only',
  'rack/damaged',
] as const

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
    errors: ['rack/already-one', 'rack/folder-not-empty', 'rack/read-only', 'rack/folder-absent'],
  }),
  'rack.open': command({ input: z.object({ folder }), output: RackInfo, errors: openErrors }),
  /** Makes a demonstration rack in a new folder and opens it. */
  'rack.makeDemonstration': job({
    input: z.object({ folder }),
    output: z.object({ jobId: z.string() }),
    errors: ['rack/already-one', 'rack/folder-not-empty', 'rack/read-only', 'rack/folder-absent'],
  }),
  'rack.close': command({ input: z.object({}), output: z.object({}), errors: [] }),
  /** The open rack, or null. */
  'rack.describe': query({ input: z.object({}), output: z.object({ rack: RackInfo.nullable() }), errors: [] }),
  'rack.listRecent': query({ input: z.object({}), output: z.object({ racks: z.array(RecentRack) }), errors: [] }),
  'rack.forgetRecent': command({ input: z.object({ folder }), output: z.object({}), errors: [] }),
}
