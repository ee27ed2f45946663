import { z } from 'zod'

/** What EXIF said; null where the file did not say. */
export const Exposure = z.object({
  takenAt: z.string().nullable(),
  camera: z.string().nullable(),
  exposureS: z.number().nullable(),
  fNumber: z.number().nullable(),
  iso: z.number().nullable(),
  /** Whether the camera chose the white balance itself, or kept one that was set. */
  whiteBalance: z.enum(['auto', 'manual']).nullable(),
  /** Tells the lenses of one phone apart. */
  focalLengthMm: z.number().nullable(),
})
export type Exposure = z.infer<typeof Exposure>
