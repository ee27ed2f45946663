import { z } from 'zod'

/** In which units and with which decimal sign a label speaks: the user's, resolved by the page. */
export const LabelWording = z.object({ decimal: z.enum(['comma', 'point']), units: z.enum(['metric', 'us']) })
export type LabelWording = z.infer<typeof LabelWording>

export const LabelSize = z.object({ widthMm: z.number().min(20).max(300), heightMm: z.number().min(12).max(300) })
export type LabelSize = z.infer<typeof LabelSize>

/** Millimetres from the label's top left corner, y down. */
export const LabelMark = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('text'),
    /** Left end of the baseline. */
    xMm: z.number(),
    baselineMm: z.number(),
    sizeMm: z.number(),
    face: z.enum(['regular', 'bold']),
    text: z.string(),
  }),
  z.object({ kind: z.literal('box'), xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() }),
  /** A QR symbol, or a photo sheet's corner mark: rows of modules, '1' is dark; quiet zone not included. */
  z.object({ kind: z.literal('qr'), xMm: z.number(), yMm: z.number(), sideMm: z.number(), rows: z.array(z.string()) }),
])
export type LabelMark = z.infer<typeof LabelMark>

export const LabelPage = z.object({
  size: LabelSize,
  panelId: z.string(),
  part: z.int(),
  of: z.int(),
  marks: z.array(LabelMark),
})
export type LabelPage = z.infer<typeof LabelPage>
