import { z } from 'zod'
import { Layer, PanelSummary } from './panel.ts'
import { Reading } from './reading.ts'

/** One candidate: the best reading of one step, and how it differs from the reference. */
export const Match = z.object({
  panel: PanelSummary,
  stepId: z.string(),
  coats: z.number(),
  reading: Reading,
  de00: z.number(),
  /** 90 % bound of the difference. */
  bound90: z.number(),
  /** The difference in a painter's words, as the candidate seen against the reference ("a little darker"). */
  words: z.string(),
  /** dE00 − bound is within the limit for "the same". */
  couldBeSame: z.boolean(),
  /** What is not alike between the two readings ("other light"), in words; empty when like is compared with like. */
  unlike: z.array(z.string()),
  /** Candy layers, for the formula in words. */
  candyLayers: z.array(Layer),
})
export type Match = z.infer<typeof Match>
