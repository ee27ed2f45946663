import { z } from 'zod'
import { IndexWanted, Placement, Printable, SheetPage } from '../records/sheet.ts'
import { job, query } from './call.ts'

const refusals = ['panel/absent', 'label/too-small', 'sheet/does-not-fit'] as const

/** What is printed: labels one by one or on sheets, cards, cup labels, the rack's index, the page that measures a printer. */
export const sheetCalls = {
  /** The marks that preview, print page and PDF draw. `placement` is the printer's correction; a preview leaves it out. */
  'sheets.layOut': query({
    input: z.object({
      wanted: z.discriminatedUnion('kind', [...Printable.options, IndexWanted]),
      /** Only so many pages are handed over; `pageCount` counts them all. Null: every page. */
      first: z.int().min(1).max(500).nullable(),
    }),
    output: z.object({ pages: z.array(SheetPage), pageCount: z.int(), placement: Placement }),
    errors: [...refusals],
  }),
  /** `documentId` is fetched from the host. */
  'sheets.drawPdf': query({
    input: z.object({ wanted: Printable }),
    output: z.object({ documentId: z.string(), pageCount: z.int(), fileName: z.string() }),
    errors: [...refusals],
  }),
  /** Pictures take their time: the job's report names the document at its end. */
  'sheets.drawIndex': job({
    input: z.object({ wanted: IndexWanted }),
    output: z.object({ jobId: z.string() }),
    errors: [...refusals],
  }),
}
