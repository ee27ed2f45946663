import { z } from 'zod'
import { HistoryEntry } from '../records/rack.ts'
import { command, query } from './call.ts'

/** Undo, redo, and what was changed by whom and when. */
export const historyCalls = {
  'history.undo': command({
    input: z.object({}),
    output: z.object({ label: z.string() }),
    errors: ['history/nothing', 'history/conflict'],
  }),
  'history.redo': command({
    input: z.object({}),
    output: z.object({ label: z.string() }),
    errors: ['history/nothing', 'history/conflict'],
  }),
  /** Newest first; of one panel or of the whole rack. */
  'history.list': query({
    input: z.object({ panelId: z.string().nullable(), limit: z.int().min(1).max(500) }),
    output: z.object({ entries: z.array(HistoryEntry) }),
    errors: [],
  }),
}
