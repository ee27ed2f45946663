import { z } from 'zod'
import { Layout } from '../records/area.ts'
import { Caution } from '../records/photo.ts'
import { KnownSheet } from '../records/photo-sheet.ts'
import { command, query } from './call.ts'

/** Printed photo sheets whose white, greys and colours a chart has taught. */
export const knownSheetCalls = {
  /** Newest first. */
  'sheets.listKnown': query({ input: z.object({}), output: z.object({ sheets: z.array(KnownSheet) }), errors: [] }),
  /** Learns the sheets of a series from a photo that shows one with a 24-patch chart in its place; another of that series and light gives way. */
  'sheets.learn': command({
    input: z.object({ photoId: z.string(), layout: Layout, lightId: z.string().nullable() }),
    output: z.object({ sheet: KnownSheet, cautions: z.array(Caution) }),
    errors: [
      'photo/absent',
      'photo/original-missing',
      'sheet/not-seen',
      'sheet/no-chart',
      'sheet/unreadable',
      'light/absent',
    ],
  }),
  /** Readings taken with it stay; undo brings it back. */
  'sheets.forget': command({
    input: z.object({ knownSheetId: z.string() }),
    output: z.object({}),
    errors: ['sheet/absent'],
  }),
}
