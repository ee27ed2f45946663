import { z } from 'zod'
import { Layout } from './area.ts'
import { Stage, View } from './colour.ts'
import { Exposure } from './exposure.ts'

export const PhotoFormat = z.enum(['jpeg', 'png', 'tiff', 'webp', 'avif', 'heic', 'dng'])
export type PhotoFormat = z.infer<typeof PhotoFormat>

/** Lower-case hexadecimal SHA-256 of the original file. */
export const Sha256 = z.string().regex(/^[0-9a-f]{64}$/)

/** Something to know about a photo or a reading, in the user's words. */
export const Caution = z.object({
  code: z.string(),
  message: z.string(),
  remedy: z.string(),
  /** A note says what was done and asks for nothing; a warning asks the user to do something. Left out: a warning. */
  weight: z.enum(['note', 'warning']).optional(),
})
export type Caution = z.infer<typeof Caution>

export const Photo = z.object({
  id: z.string(),
  sha256: Sha256,
  name: z.string(),
  format: PhotoFormat,
  /** Upright, after EXIF orientation. */
  width: z.int().positive(),
  height: z.int().positive(),
  byteCount: z.int().nonnegative(),
  bits: z.union([z.literal(8), z.literal(16)]),
  /** Name of the colour profile its numbers are read in ("sRGB", "Display P3"); untagged files are read as sRGB. */
  profile: z.string(),
  profileAssumed: z.boolean(),
  exposure: Exposure,
  lightId: z.string().nullable(),
  view: View,
  stage: Stage,
  /** The set-up it was taken with, and the blank-sheet photo of the same light; null while nobody said. */
  setupId: z.string().nullable(),
  flatPhotoId: z.string().nullable(),
  filed: z.boolean(),
  layout: Layout,
  cautions: z.array(Caution),
  addedAt: z.string(),
})
export type Photo = z.infer<typeof Photo>
