import { z } from 'zod'
import { Exposure } from './exposure.ts'

/** What the corner marks of a printed photo sheet say: where everything lies on it follows from this alone. */
export const SheetPrint = z.object({
  /** The page, and the panel that its window is for, in whole halves of a millimetre: so they stand in the marks. */
  paper: z.object({ widthMm: z.number().positive().max(450), heightMm: z.number().positive().max(450) }),
  panel: z.object({ widthMm: z.number().positive().max(450), heightMm: z.number().positive().max(450) }),
  /** Sheets of one printer, ink and paper carry the same number: what one of them looks like holds for all. */
  series: z.int().min(0).max(65_535),
})
export type SheetPrint = z.infer<typeof SheetPrint>

/** A photo sheet as it lies in a photo. */
export const SheetOnPhoto = z.object({
  print: SheetPrint,
  /** Homography from millimetres on the page (from its top left corner, y down) to upright photo pixels, row by row. */
  toPhoto: z.array(z.number()).length(9),
  /** Corner marks that were not seen: 1 top left, 2 top right, 3 bottom right, 4 bottom left. */
  missing: z.array(z.int().min(1).max(4)),
})
export type SheetOnPhoto = z.infer<typeof SheetOnPhoto>

/** One place of a printed sheet as a chart in the same photo taught it: Lab under D50, 2°, in the light of that photo. */
export const KnownInk = z.object({
  lab: z.object({
    l: z.number().min(-20).max(200),
    a: z.number().min(-300).max(300),
    b: z.number().min(-300).max(300),
  }),
  /** One standard deviation in dE00, of one place alone. */
  deviation: z.number().nonnegative().max(1000),
})
export type KnownInk = z.infer<typeof KnownInk>

/** What one photo with a 24-patch chart taught about the sheets of a series. */
export const SheetFit = z.object({
  version: z.literal(1),
  white: KnownInk,
  /** What the printer made of each colour that the sheet asks it for: greys first, then colours. Null: it could not be read. */
  inks: z.array(KnownInk.extend({ hex: z.string().regex(/^#[0-9a-f]{6}$/) }).nullable()).max(60),
  /** dE00 that all of them may be off by together: 90 % bound of the chart photo's own error. */
  shared90: z.number().nonnegative(),
  /**
   * The camera as the chart showed it, in numbers that `capture/camera` alone looks into: another photo of the same camera
   * starts from there, when its own sheet says that it is the same.
   */
  camera: z
    .object({
      /** Colour profile of the files that it holds for. */
      profile: z.string(),
      numbers: z.array(z.number()).length(18),
      covariance: z.array(z.number()).length(18 * 18),
      exposure: Exposure,
    })
    .nullable(),
})
export type SheetFit = z.infer<typeof SheetFit>

/** A series of sheets whose colours are known in one light. */
export const KnownSheet = z.object({
  id: z.string(),
  series: z.int().min(0).max(65_535),
  lightId: z.string().nullable(),
  /** The photo that taught it; null when it is gone. */
  photoId: z.string().nullable(),
  fit: SheetFit,
  learnedAt: z.string(),
})
export type KnownSheet = z.infer<typeof KnownSheet>
