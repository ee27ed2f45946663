import { z } from 'zod'
import { Match } from '../records/match.ts'
import { PanelFilter, ReadingFilter } from '../records/panel.ts'
import { Reading } from '../records/reading.ts'
import { query } from './call.ts'

/** Finding the nearest panel. */
export const matchCalls = {
  /** The nearest steps to one reading by CIEDE2000, nearest first; ties by the older panel. */
  'match.findNearest': query({
    input: z.object({
      readingId: z.string(),
      filter: PanelFilter,
      readings: ReadingFilter,
      limit: z.int().min(1).max(500),
    }),
    output: z.object({ to: Reading, matches: z.array(Match), considered: z.int() }),
    errors: ['reading/absent'],
  }),
}
