import { z } from 'zod'
import { Geometry, Illuminant, LabRecord, Level, Observer, Stage, View } from './colour.ts'
import { Caution } from './photo.ts'

/** One part of a reading's uncertainty: 90 % in dE00 by itself, and what it is in words. */
export const BoundPart = z.object({
  cause: z.string(),
  de00: z.number().nonnegative(),
  words: z.string(),
  /** Whose readings share this error: all of one photo, or all of one set-up. Left out: it is this reading's own. */
  shared: z.enum(['photo', 'set-up']).optional(),
})
export type BoundPart = z.infer<typeof BoundPart>

/** What a flake or pearl looks like apart from its mean colour, from the photo's own statistics. */
export const Texture = z.object({
  /** Contrast of the grain at arm's length: relative spread of light, in percent, noise of the camera taken out. */
  coarsenessPercent: z.number().nonnegative(),
  /** Distance over which the grain stays alike; null where the photo's scale is not known. */
  grainMm: z.number().positive().nullable(),
  /** Glints that stand out of the grain, for each square centimetre; null where the photo's scale is not known. */
  glintsPerCm2: z.number().nonnegative().nullable(),
  /** How far glints stand above the paint: 1 is twice its light. */
  glintContrast: z.number().nonnegative(),
})
export type Texture = z.infer<typeof Texture>

/** Reflectance factors (1 is the perfect white) at equal steps of wavelength, as an instrument gave them. */
export const SpectrumRecord = z.object({
  startNm: z.number().min(200).max(1000),
  stepNm: z.number().positive().max(100),
  values: z.array(z.number().min(-0.1).max(3)).min(4).max(1000),
})
export type SpectrumRecord = z.infer<typeof SpectrumRecord>

/** A colour and how far it can be trusted. */
export const ReadColour = z.object({
  /** Under `illuminant` and `observer`; L* above 100 is legal (silver reaches it). */
  lab: LabRecord,
  illuminant: Illuminant,
  observer: Observer,
  geometry: Geometry,
  level: Level,
  /** 90 % bound in dE00 of the whole reading. */
  bound90: z.number().positive(),
  parts: z.array(BoundPart),
  cautions: z.array(Caution),
  texture: Texture.nullable().optional(),
})
export type ReadColour = z.infer<typeof ReadColour>

export const Reading = ReadColour.extend({
  id: z.string(),
  /** A reading belongs to a step of a panel or to a reference. */
  stepId: z.string().nullable(),
  referenceId: z.string().nullable(),
  photoId: z.string().nullable(),
  areaId: z.string().nullable(),
  /** Key of the area's cut-out picture. */
  cut: z.string().nullable(),
  setupId: z.string().nullable().optional(),
  lightId: z.string().nullable(),
  view: View,
  stage: Stage,
  ageDays: z.number().nonnegative().nullable(),
  takenAt: z.string(),
  /** What an instrument measured, and which instrument it was. */
  spectrum: SpectrumRecord.nullable().optional(),
  instrument: z.string().nullable().optional(),
})
export type Reading = z.infer<typeof Reading>

/** A colour somebody wants matched. */
export const Reference = z.object({
  id: z.string(),
  name: z.string().trim().min(1).max(200),
  notes: z.string().max(4000),
  createdAt: z.string(),
  readings: z.array(Reading),
})
export type Reference = z.infer<typeof Reference>
