import { z } from 'zod'
import { Match } from '../records/match.ts'
import { PanelFilter, ReadingFilter } from '../records/panel.ts'
import { Reading } from '../records/reading.ts'
import { query } from './call.ts'

/** A point of a kept photo, in fractions of the upright picture's width and height. */
export const PhotoPoint = z.object({
  photoId: z.string(),
  x: z.number().min(0).max(1),
  y: z.number().min(0).max(1),
})
export type PhotoPoint = z.infer<typeof PhotoPoint>

/** What is to be matched: a reading that is kept, or the colour at a point of a photo, which is read for the asking. */
export const MatchTarget = z.union([z.object({ readingId: z.string() }), PhotoPoint])
export type MatchTarget = z.infer<typeof MatchTarget>

/** Parametric factors of CIEDE2000: of 2, a difference counts half. */
export const MatchWeights = z.object({
  kL: z.number().min(0.25).max(4),
  kC: z.number().min(0.25).max(4),
  kH: z.number().min(0.25).max(4),
})

/** Why the colour at a point of a photo cannot be told. */
export const pointErrors = [
  'photo/absent',
  'photo/original-missing',
  'photo/no-card',
  'photo/nothing-readable',
  'setup/absent',
] as const

/** Finding the nearest panel. */
export const matchCalls = {
  /** The nearest steps to one colour by CIEDE2000, nearest first; ties by the older panel. */
  'match.findNearest': query({
    input: z.object({
      to: MatchTarget,
      filter: PanelFilter,
      readings: ReadingFilter,
      limit: z.int().min(1).max(500),
      /** Left out: 1 : 1 : 1. */
      weights: MatchWeights.optional(),
      /** Only steps whose dE00 is at most this; null or left out: any. */
      within: z.number().positive().max(100).nullable().optional(),
      /** Only steps that were read as the reference was: view, cleared or not, light, standard. */
      likeOnly: z.boolean().optional(),
    }),
    output: z.object({
      to: Reading,
      matches: z.array(Match),
      /** How many steps the filters let through. */
      considered: z.int(),
    }),
    errors: ['reading/absent', ...pointErrors],
  }),
}
