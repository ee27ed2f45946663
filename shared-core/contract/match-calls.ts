import { z } from 'zod'
import { LabelPage, LabelSize, LabelWording } from '../records/label.ts'
import { Match } from '../records/match.ts'
import { PanelFilter, ReadingFilter } from '../records/panel.ts'
import { Reading } from '../records/reading.ts'
import { query } from './call.ts'

const labelInput = z.object({ panelIds: z.array(z.string()).min(1).max(500), size: LabelSize, wording: LabelWording })

/** Finding the nearest panel, and its label. */
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
  /** What stands on the labels, in millimetres: the same marks that the PDF draws. */
  'labels.layOut': query({
    input: labelInput,
    output: z.object({ pages: z.array(LabelPage) }),
    errors: ['panel/absent', 'label/too-small'],
  }),
  /** Draws the labels as a PDF; `documentId` is fetched from the host. */
  'labels.drawPdf': query({
    input: labelInput,
    output: z.object({ documentId: z.string(), pageCount: z.int(), fileName: z.string() }),
    errors: ['panel/absent', 'label/too-small'],
  }),
}
