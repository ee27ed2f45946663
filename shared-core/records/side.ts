import { z } from 'zod'

/**
 * What lies in one place of Side by side. A panel stands for its step with the most coats that has a colour, a step and a
 * reference for the reading that says most of it; a reading is exactly that one; a point is read for the asking.
 */
export const SideItem = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('panel'), id: z.string() }),
  z.object({ kind: z.literal('step'), id: z.string() }),
  z.object({ kind: z.literal('reading'), id: z.string() }),
  z.object({ kind: z.literal('reference'), id: z.string() }),
  z.object({
    kind: z.literal('point'),
    photoId: z.string(),
    /** Fractions of the upright picture's width and height. */
    x: z.number().min(0).max(1),
    y: z.number().min(0).max(1),
  }),
])
export type SideItem = z.infer<typeof SideItem>

/** More would be too narrow to judge. */
export const mostBeside = 6

export const sameItem = (a: SideItem, b: SideItem): boolean =>
  a.kind === 'point' || b.kind === 'point'
    ? a.kind === 'point' && b.kind === 'point' && a.photoId === b.photoId && a.x === b.x && a.y === b.y
    : a.kind === b.kind && a.id === b.id

/** Colours that a corrected picture is drawn in: those the screen has. */
export const ScreenSpace = z.enum(['sRGB', 'Display P3'])
export type ScreenSpace = z.infer<typeof ScreenSpace>
