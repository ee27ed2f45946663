import { z } from 'zod'
import { Geometry, Illuminant, LabRecord, Level, Observer, Stage, View } from './colour.ts'
import { Caution } from './photo.ts'

/** One part of a reading's uncertainty: 90 % in dE00 by itself, and what it is in words. */
export const BoundPart = z.object({ cause: z.string(), de00: z.number().nonnegative(), words: z.string() })
export type BoundPart = z.infer<typeof BoundPart>

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
  lightId: z.string().nullable(),
  view: View,
  stage: Stage,
  ageDays: z.number().nonnegative().nullable(),
  takenAt: z.string(),
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
