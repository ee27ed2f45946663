import { z } from 'zod'
import { LabRecord, View } from './colour.ts'
import { Day } from './day.ts'
import { Mixture } from './mixture.ts'

export const LayerKind = z.enum([
  'sealer',
  'undercoat',
  'ground',
  'candy',
  'solid',
  'mid-coat',
  'barrier-clear',
  'clear',
])
export type LayerKind = z.infer<typeof LayerKind>

/** Null where the painter did not write it down. */
export const GunSetup = z.object({
  id: z.string().nullable(),
  name: z.string().trim().min(1).max(120),
  gun: z.string().max(120),
  tipMm: z.number().positive().max(10).nullable(),
  /** At the gun's inlet with the trigger pulled. */
  inletKpa: z.number().positive().max(2000).nullable(),
  capKpa: z.number().positive().max(2000).nullable(),
  distanceMm: z.number().positive().max(2000).nullable(),
  overlapPercent: z.number().min(0).max(99).nullable(),
})
export type GunSetup = z.infer<typeof GunSetup>

export const BoothConditions = z.object({
  temperatureC: z.number().min(-30).max(80).nullable(),
  humidityPercent: z.number().min(0).max(100).nullable(),
  /** Minutes between coats. */
  flashOffMin: z.number().min(0).max(10_000).nullable(),
  /** The reducer's grade as its maker writes it ("slow"). */
  reducerGrade: z.string().max(120),
})
export type BoothConditions = z.infer<typeof BoothConditions>

/** One entry of the build, in spray order from the substrate up. */
export const Layer = z.object({
  id: z.string().nullable(),
  kind: LayerKind,
  /** What the layer is: the ground's name ("bright silver"), the clear's, the sealer's shade. */
  name: z.string().trim().max(120),
  /** A cross coat is two. For a candy sprayed in steps: the most coats that any step got. */
  coats: z.number().min(0).max(60),
  mixture: Mixture.nullable(),
  gunSetup: GunSetup.nullable(),
  booth: BoothConditions.nullable(),
  notes: z.string().max(4000),
})
export type Layer = z.infer<typeof Layer>

/** An area of the panel with its own number of coats of candy (or solid). */
export const Step = z.object({
  id: z.string().nullable(),
  coats: z.number().min(0).max(60),
  notes: z.string().max(1000),
})
export type Step = z.infer<typeof Step>

export const PanelStatus = z.enum(['planned', 'sprayed', 'retired'])
export type PanelStatus = z.infer<typeof PanelStatus>

export const Panel = z.object({
  id: z.string(),
  /** Given by the rack: `P-0042`. */
  code: z.string().trim().min(1).max(24),
  title: z.string().trim().max(200),
  status: PanelStatus,
  sprayedOn: Day.nullable(),
  sprayedBy: z.string().trim().max(120),
  substrate: z.string().trim().max(200),
  notes: z.string().max(8000),
  tags: z.array(z.string().trim().min(1).max(60)).max(60),
  layers: z.array(Layer).max(40),
  steps: z.array(Step).min(1).max(40),
})
export type Panel = z.infer<typeof Panel>

/** A panel as the form sends it: a new one has neither id nor code yet. */
export const PanelDraft = Panel.extend({
  id: z.string().nullable(),
  code: Panel.shape.code.nullable(),
})
export type PanelDraft = z.infer<typeof PanelDraft>

/** One band of a hanging panel: a step, its best reading, and the cut-out of its photo. */
export const Band = z.object({
  stepId: z.string(),
  coats: z.number(),
  /** Lab D50, 2° of the newest reading (cleared before dry, face before the others), or null. */
  lab: LabRecord.nullable(),
  bound90: z.number().nullable(),
  /** Key of the cut-out picture, see `pictureUrl`. */
  cut: z.string().nullable(),
})
export type Band = z.infer<typeof Band>

/** What a hanging panel shows. */
export const PanelSummary = z.object({
  id: z.string(),
  code: z.string(),
  title: z.string(),
  status: PanelStatus,
  sprayedOn: Day.nullable(),
  ground: z.string().nullable(),
  /** Names of the concentrates in its candy layers, in order. */
  candies: z.array(z.string()),
  coatsFrom: z.number(),
  coatsTo: z.number(),
  cleared: z.boolean(),
  tags: z.array(z.string()),
  bands: z.array(Band),
})
export type PanelSummary = z.infer<typeof PanelSummary>

/** Words that narrow what is shown; an empty list means any. Also used by Match. */
export const PanelFilter = z.object({
  words: z.string().max(200),
  grounds: z.array(z.string()),
  candies: z.array(z.string()),
  tags: z.array(z.string()),
  cleared: z.boolean().nullable(),
  status: PanelStatus.nullable(),
})
export type PanelFilter = z.infer<typeof PanelFilter>

export const noFilter: PanelFilter = { words: '', grounds: [], candies: [], tags: [], cleared: null, status: null }

export const PanelSort = z.enum(['code', 'hue', 'lightness', 'ground', 'candy', 'date'])
export type PanelSort = z.infer<typeof PanelSort>

/** Which readings Match compares with. */
export const ReadingFilter = z.object({ view: View.nullable(), lightId: z.string().nullable() })
export type ReadingFilter = z.infer<typeof ReadingFilter>
