import { z } from 'zod'
import { SheetOnPhoto } from './photo-sheet.ts'

/** Upright photo pixels after EXIF orientation: x right, y down, corner of the first pixel at (0, 0). */
export const Point = z.tuple([z.number(), z.number()])
export type Point = z.infer<typeof Point>

/** Four corners, clockwise on screen, from the top left. */
export const Quad = z.tuple([Point, Point, Point, Point])
export type Quad = z.infer<typeof Quad>

/**
 * What is read in a photo: the quadrilateral of a step, a small round area on a curved part (its bound is larger),
 * or a fade, which has no single colour and is kept as a picture only.
 */
export const Shape = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('quad'), quad: Quad }),
  z.object({ kind: z.literal('round'), centre: Point, radius: z.number().positive() }),
  z.object({ kind: z.literal('fade'), quad: Quad }),
])
export type Shape = z.infer<typeof Shape>

/** A neutral card of known Lab (D50, 2°) lying in the photo. */
export const Card = z.object({
  quad: Quad,
  // no surface has more chroma than the spectrum's own colours; nearly all cards are within ± 5
  lab: z.object({ l: z.number().min(1).max(100), a: z.number().min(-200).max(200), b: z.number().min(-200).max(200) }),
})
export type Card = z.infer<typeof Card>

/** A further neutral tile of known Lab (D50, 2°): with the card it pins the camera's tone curve. */
export const Tile = Card.extend({ kind: z.enum(['white', 'grey', 'black']) })
export type Tile = z.infer<typeof Tile>

/**
 * A 24-patch chart, six by four. Its outline runs along the outer corners of the patches, starting at the corner of patch 1
 * (dark skin), then patch 6 (bluish green), 24 (black) and 19 (white).
 */
export const Chart = z.object({ quad: Quad, table: z.enum(['avg30']) })
export type Chart = z.infer<typeof Chart>

export const MarkedArea = z.object({
  /** The step that this area shows; null while nobody said. */
  stepId: z.string().nullable(),
  /** The reference that was read here, where it is no step's area. Told with a photo; filing says it otherwise. */
  referenceId: z.string().optional(),
  shape: Shape,
})
export type MarkedArea = z.infer<typeof MarkedArea>

/** Everything marked on one photo. */
export const Layout = z.object({
  areas: z.array(MarkedArea),
  card: Card.nullable(),
  tiles: z.array(Tile).max(8).optional(),
  chart: Chart.nullable().optional(),
  /** Mean scale of the photo where panel and card lie, when it is known. */
  mmPerPixel: z.number().positive().nullable().optional(),
  /** The photo sheet that everything lies on. */
  sheet: SheetOnPhoto.nullable().optional(),
})
export type Layout = z.infer<typeof Layout>
