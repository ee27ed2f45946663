import { z } from 'zod'
import { Exposure } from './exposure.ts'

/**
 * What a photo of the chart taught about one camera in one light with its settings. `capture/setup.ts` says what the
 * numbers mean and is the only code that looks inside.
 */
export const SetupFit = z.object({
  version: z.literal(1),
  /** Colour profile of the files that it was learnt from and holds for. */
  profile: z.string(),
  /** The camera's numbers (18), and how sure they are: their covariance, row by row (18 × 18). */
  camera: z.array(z.number()).length(18),
  covariance: z.array(z.number()).length(18 * 18),
  /** dE00 of the chart's patches that the fit had not seen (each left out in turn). */
  residual: z.object({ median: z.number().nonnegative(), p90: z.number().nonnegative(), patches: z.int() }),
  /** Linear light of the card in the file, and how the chart was exposed: what a later photo is held against. */
  card: z.tuple([z.number(), z.number(), z.number()]),
  exposure: Exposure,
})
export type SetupFit = z.infer<typeof SetupFit>

/** Camera, light and settings of photos, calibrated with a chart. */
export const Setup = z.object({
  id: z.string(),
  name: z.string().trim().min(1).max(120),
  camera: z.string().nullable(),
  lightId: z.string().nullable(),
  notes: z.string().max(4000),
  /** The photo of the chart. */
  photoId: z.string().nullable(),
  fit: SetupFit,
  calibratedAt: z.string(),
  createdAt: z.string(),
})
export type Setup = z.infer<typeof Setup>
