import { z } from 'zod'
import { LabRecord } from './colour.ts'
import { Layer, PanelSummary } from './panel.ts'
import { Reading } from './reading.ts'

/** Several readings of one step taken as one colour, under the illuminant and observer that they have in common. */
export const CombinedColour = z.object({
  lab: LabRecord,
  /** 90 % bound in dE00. */
  bound90: z.number().positive(),
  /** How many readings it is the mean of, and how many lie so far from these that they were left out. */
  count: z.int().positive(),
  leftOut: z.int().nonnegative(),
  /** The readings lie farther apart than their bounds allow, and none can be named as the wrong one. */
  disagree: z.boolean(),
})
export type CombinedColour = z.infer<typeof CombinedColour>

/** One candidate: the best reading of one step, and how it differs from the reference. */
export const Match = z.object({
  panel: PanelSummary,
  stepId: z.string(),
  coats: z.number(),
  /** Where there is a combined colour, the reading that weighs most in it. */
  reading: Reading,
  /** What was compared when the step has several readings alike; null: the reading itself. */
  combined: CombinedColour.nullable(),
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
