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

/** How the pair compares in one light. */
export const LightMatch = z.object({
  /** The light's name, or the illuminant that two spectra were summed under. */
  light: z.string(),
  de00: z.number().nonnegative(),
  /** 90 % bound of the difference. */
  bound90: z.number().nonnegative(),
  couldBeSame: z.boolean(),
  /**
   * What would be left in this light, in dE00, were both the same in the first one; null where no spectra tell. The
   * idea of the special metamerism index for a change of illuminant.
   */
  onceMatched: z.number().nonnegative().nullable(),
})
export type LightMatch = z.infer<typeof LightMatch>

/** A pair in two or more lights: what matches in one may part in another. */
export const Metamerism = z.object({ words: z.string(), lights: z.array(LightMatch).min(2) })
export type Metamerism = z.infer<typeof Metamerism>

/** The candidate's grain against the reference's. */
export const CoarsenessMatch = z.object({
  /** As the candidate is seen against the reference: "coarser grain". */
  words: z.string(),
  /** How much coarser the candidate is, in percent of the mean of both; below 0 finer, 0 where neither shows grain. */
  differencePercent: z.number(),
  /** They cannot be told apart. */
  alike: z.boolean(),
})
export type CoarsenessMatch = z.infer<typeof CoarsenessMatch>

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
  /** How likely the true difference is within that limit, 0 to 1. */
  chanceSame: z.number().min(0).max(1),
  /** What is not alike between the two readings ("other light"), in words; empty when like is compared with like. */
  unlike: z.array(z.string()),
  /** How much that weighs, 0 when like is compared with like: see `Comparison`. Only for putting in order. */
  unlikeness: z.int().nonnegative(),
  /** Candy layers, for the formula in words. */
  candyLayers: z.array(Layer),
  /** Null where reference and step were not both read in two lights, and not both as spectra. */
  metamerism: Metamerism.nullable(),
  /** Null where not both were photographed with their grain in one view and light. */
  coarseness: CoarsenessMatch.nullable(),
  /** What puts it where it stands in the list, in words. */
  why: z.array(z.string()),
})
export type Match = z.infer<typeof Match>
