import { z } from 'zod'
import { Day } from './day.ts'
import { PlanRecipe, Prediction } from './film.ts'
import { Mixture } from './mixture.ts'
import { GunSetup } from './panel.ts'

/** A customer's work, from the reference to the painted part. (What the service runs in the background is a `Job`.) */

/** How a surface was arrived at: a shape with its measures in millimetres, a typed area, or a mass of sheet. */
export const PartSurface = z.object({
  /** "typed", or a shape's name. */
  shape: z.string().max(60),
  measures: z.record(z.string().max(60), z.number().positive()),
})
export type PartSurface = z.infer<typeof PartSurface>

/** What was really sprayed on a part: touch-up years later starts here. */
export const AsSprayed = z.object({
  ground: z.string().max(120),
  /** Coats of candy, counted. */
  coats: z.number().min(0).max(60),
  midCoats: z.number().min(0).max(12),
  clearCoats: z.number().min(0).max(12),
  gunSetup: GunSetup.nullable(),
  reducerGrade: z.string().max(120),
  reducerPercent: z.number().min(0).max(100).nullable(),
  temperatureC: z.number().min(-30).max(80).nullable(),
  humidityPercent: z.number().min(0).max(100).nullable(),
  flashOffMin: z.number().min(0).max(10_000).nullable(),
  cupIds: z.array(z.string()),
  batches: z.string().max(2000),
  sprayedOn: Day.nullable(),
  sprayedBy: z.string().max(120),
  notes: z.string().max(4000),
})
export type AsSprayed = z.infer<typeof AsSprayed>

export const PartToPaint = z.object({
  id: z.string(),
  name: z.string().trim().min(1).max(120),
  areaM2: z.number().positive().max(1000),
  /** ± on the area, 0 to 1. */
  areaDoubt: z.number().min(0).max(1),
  surface: PartSurface,
  sprayed: AsSprayed.nullable(),
})
export type PartToPaint = z.infer<typeof PartToPaint>

/** What was considered for a job: a step of the rack, or a recipe never sprayed. */
export const JobCandidate = z.object({
  id: z.string(),
  panelId: z.string().nullable(),
  stepId: z.string().nullable(),
  recipe: PlanRecipe.nullable(),
  note: z.string().max(1000),
})
export type JobCandidate = z.infer<typeof JobCandidate>

/** What is to be sprayed. */
export const JobFormula = z.object({
  /** Where it came from; null: typed. */
  panelId: z.string().nullable(),
  stepId: z.string().nullable(),
  mixture: Mixture,
  ground: z.string().max(120),
  coats: z.number().min(0).max(60),
  gunSetup: GunSetup.nullable(),
})
export type JobFormula = z.infer<typeof JobFormula>

/** A check panel, sprayed for the job before the part is. */
export const JobCheck = z.object({
  id: z.string(),
  panelId: z.string(),
  addedAt: z.string(),
  note: z.string().max(1000),
})
export type JobCheck = z.infer<typeof JobCheck>

export const JobDecision = z.object({
  at: z.string(),
  who: z.string().max(120),
  what: z.enum(['accepted', 'corrected', 'refused', 'note']),
  panelId: z.string().nullable(),
  words: z.string().max(2000),
})
export type JobDecision = z.infer<typeof JobDecision>

export const CustomerJobStatus = z.enum(['open', 'accepted', 'painted', 'closed'])
export type CustomerJobStatus = z.infer<typeof CustomerJobStatus>

export const CustomerJob = z.object({
  id: z.string(),
  /** Given by the rack: `J-0007`. */
  code: z.string(),
  title: z.string().trim().min(1).max(200),
  customer: z.string().max(200),
  status: CustomerJobStatus,
  referenceId: z.string().nullable(),
  candidates: z.array(JobCandidate).max(60),
  formula: JobFormula.nullable(),
  parts: z.array(PartToPaint).max(60),
  /** dE00 that a check panel may lie from the reference. */
  tolerance: z.number().positive().max(20),
  checks: z.array(JobCheck).max(60),
  decisions: z.array(JobDecision).max(500),
  dueOn: Day.nullable(),
  notes: z.string().max(8000),
  createdAt: z.string(),
})
export type CustomerJob = z.infer<typeof CustomerJob>

/** A new job has neither id nor code yet. */
export const CustomerJobDraft = CustomerJob.omit({ createdAt: true }).extend({
  id: z.string().nullable(),
  code: z.string().nullable(),
})
export type CustomerJobDraft = z.infer<typeof CustomerJobDraft>

/** A check panel beside the reference. */
export const CheckOutcome = z.object({
  checkId: z.string(),
  panelId: z.string(),
  code: z.string(),
  stepId: z.string(),
  coats: z.number(),
  /** Null: the panel has not been read yet. */
  de00: z.number().nonnegative().nullable(),
  bound90: z.number().positive().nullable(),
  /** The check panel seen against the reference. */
  words: z.string(),
  /** `doubtful`: the bound reaches across the tolerance. */
  verdict: z.enum(['within', 'beyond', 'doubtful', 'not-read']),
  /** Reference and check panel lie in one photo: the difference is known best. */
  inOnePhoto: z.boolean(),
  advice: z.string(),
})
export type CheckOutcome = z.infer<typeof CheckOutcome>

/** What to change in the next cup or coat, from the film model refitted with the check panel. */
export const Correction = z.object({
  /** "One more coat", "half a part less violet in the next cup". */
  words: z.string(),
  recipe: PlanRecipe,
  prediction: Prediction,
  expectedDe00: z.number().nonnegative(),
  expectedBound90: z.number().positive(),
  /** Can still be done on a part that is sprayed already. */
  onSprayedPart: z.boolean(),
})
export type Correction = z.infer<typeof Correction>
