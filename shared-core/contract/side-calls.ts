import { z } from 'zod'
import { LabRecord } from '../records/colour.ts'
import { Reading } from '../records/reading.ts'
import { mostBeside, ScreenSpace, SideItem } from '../records/side.ts'
import { query } from './call.ts'

const Panel = z.object({
  id: z.string(),
  code: z.string(),
  title: z.string(),
  ground: z.string().nullable(),
  coats: z.number(),
})

/** One thing laid beside others. */
export const SideShown = z.object({
  /** What a person calls it: a panel's code and title, a reference's name, a photo's name for a point of it. */
  name: z.string(),
  panel: Panel.nullable(),
  /** A provisional one, of a point, has an id that is not kept. */
  reading: Reading,
  /** All readings of the same step or reference, as they are walked through; one of them is shown. */
  readingIds: z.array(z.string()),
  /** What of a photo would be shown, before it is made; null where the reading comes of no photo. */
  photo: z
    .object({
      widthPx: z.int().positive(),
      heightPx: z.int().positive(),
      /** Null where the photo's scale is not known. */
      mmPerPixel: z.number().positive().nullable(),
    })
    .nullable(),
})
export type SideShown = z.infer<typeof SideShown>

/** Laying colours beside each other. */
export const sideCalls = {
  /**
   * What lies in each place, in the order asked for; null where nothing can be shown, and then why: it is not in the rack (any
   * more), has no colour yet, or cannot be read.
   */
  'side.readItems': query({
    input: z.object({ items: z.array(SideItem).max(mostBeside) }),
    output: z.object({
      shown: z.array(SideShown.nullable()),
      missing: z.array(z.object({ message: z.string(), remedy: z.string() }).nullable()),
    }),
    errors: [],
  }),
  /**
   * The picture of what a reading was read from, with the correction that gave the reading laid on every pixel. It is made
   * when it is not there yet.
   */
  'side.correctPhoto': query({
    input: z.object({
      of: z.discriminatedUnion('kind', [
        z.object({ kind: z.literal('reading'), id: z.string() }),
        z.object({ kind: z.literal('point'), photoId: z.string(), x: z.number(), y: z.number() }),
      ]),
      space: ScreenSpace,
    }),
    output: z.object({
      /** See `pictureUrl`. */
      picture: z.string(),
      widthPx: z.int().positive(),
      heightPx: z.int().positive(),
      mmPerPixel: z.number().positive().nullable(),
      /** Mean of the picture's light as Lab (D50, 2°), before anything was fitted to the screen. */
      mean: LabRecord,
      /** Share of its pixels that the screen's colours do not hold. */
      outside: z.number().min(0).max(1),
    }),
    errors: [
      'reading/absent',
      'photo/absent',
      'photo/original-missing',
      'setup/absent',
      'side/no-photo',
      'side/reads-otherwise',
      'side/unreadable',
    ],
  }),
}
