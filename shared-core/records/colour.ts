import { z } from 'zod'

/** CIELAB. Which white and observer is said by the record that holds it. */
export const LabRecord = z.object({ l: z.number(), a: z.number(), b: z.number() })

export const Illuminant = z.enum(['D50', 'D65', 'A', 'C', 'F2', 'F11', 'LED-B3'])
export type Illuminant = z.infer<typeof Illuminant>

/** CIE 1931 (2°) or CIE 1964 (10°) standard observer. */
export const Observer = z.enum(['2', '10'])
export type Observer = z.infer<typeof Observer>

/** Measuring geometry as ISO 5-4 and ASTM E1164 write it; `photo` for a camera at a nominal angle. */
export const Geometry = z.enum(['photo', '45:0', '0:45', 'd:8-included', 'd:8-excluded', 'multi-angle'])
export type Geometry = z.infer<typeof Geometry>

/** Nominal view of the flake: aspecular 15°, 45° and 110° as in ASTM E2194. */
export const View = z.enum(['near-glare', 'face', 'flop'])
export type View = z.infer<typeof View>

/** What a reading was taken of. */
export const Stage = z.enum(['wet', 'dry', 'cleared', 'cured'])
export type Stage = z.infer<typeof Stage>

/** How a reading's colour was calibrated, weakest first. */
export const Level = z.enum([
  'uncalibrated',
  'card',
  'tiles',
  'sheet',
  'chart',
  'set-up',
  'typed',
  'instrument',
  'predicted',
])
export type Level = z.infer<typeof Level>

export const Light = z.object({
  id: z.string(),
  name: z.string(),
  /** Nominal correlated colour temperature in kelvin, or null when nobody knows. */
  kelvin: z.number().nullable(),
})
export type Light = z.infer<typeof Light>
