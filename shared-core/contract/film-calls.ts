import { z } from 'zod'
import {
  FilmKnowledge,
  Gap,
  NextPanel,
  PlanCell,
  PlanFormula,
  PlannedPanel,
  PlanRecipe,
  Prediction,
  RestsOn,
  SprayedCell,
  Suggestion,
  SuggestLimits,
  Suspect,
} from '../records/film.ts'
import { LabelWording } from '../records/label.ts'
import { command, query } from './call.ts'

const unknownThings = [
  'film/unknown-ground',
  'film/unknown-candy',
  'film/unknown-mid-coat',
  'film/unknown-gun',
] as const

/** What was never sprayed: predicted, suggested, planned. The fit runs in a worker and follows the rack's revision. */
export const filmCalls = {
  /** What the model knows, and of how much. An empty rack is no error: it knows nothing. */
  'film.describe': query({ input: z.object({}), output: z.object({ knows: FilmKnowledge }), errors: [] }),
  /** Coats down, grounds across: cells row by row (all grounds of the first coats first). */
  'film.predictTable': query({
    input: z.object({
      formula: PlanFormula,
      grounds: z.array(z.string()).min(1).max(40),
      coats: z.array(z.number().min(0).max(60)).min(1).max(20),
    }),
    output: z.object({ cells: z.array(PlanCell) }),
    errors: [...unknownThings],
  }),
  /** One recipe in full. */
  'film.predict': query({
    input: z.object({ recipe: PlanRecipe }),
    output: z.object({
      prediction: Prediction,
      sprayed: z.array(SprayedCell),
      /** The panels that matter most to it, the weightiest first. */
      restsOn: z.array(RestsOn),
    }),
    errors: [...unknownThings],
  }),
  /** Recipes that come near a reading (of a reference or of a step), the best first, each a different idea. */
  'film.suggest': query({
    input: z.object({ readingId: z.string(), limits: SuggestLimits, count: z.int().min(1).max(20) }),
    output: z.object({
      suggestions: z.array(Suggestion),
      /** Why nothing comes near, in words; null when something does. */
      nothingNear: z.string().nullable(),
      considered: z.int().nonnegative(),
    }),
    errors: ['reading/absent', 'film/knows-nothing', ...unknownThings],
  }),
  /** The few panels that would teach most about what is asked for, or about the whole rack. */
  'film.planNext': query({
    input: z.object({
      /** The Plan's table, or null for where the painter works: all grounds and candies by how often they are sprayed. */
      about: z.object({ formula: PlanFormula, grounds: z.array(z.string()).min(1).max(40) }).nullable(),
      count: z.int().min(1).max(12),
    }),
    output: z.object({ panels: z.array(NextPanel) }),
    errors: ['film/knows-nothing', ...unknownThings],
  }),
  /** Colours within reach that no panel shows, the widest gaps first. */
  'film.findGaps': query({
    input: z.object({ limits: SuggestLimits, count: z.int().min(1).max(60) }),
    output: z.object({ gaps: z.array(Gap) }),
    errors: ['film/knows-nothing', ...unknownThings],
  }),
  /** Steps that do not fit, the worst first. They stay in the rack and in the fit, with less weight. */
  'film.listSuspects': query({ input: z.object({}), output: z.object({ suspects: z.array(Suspect) }), errors: [] }),

  /** Makes planned panels, with one undo for all. */
  'plan.addPanels': command({
    input: z.object({ panels: z.array(PlannedPanel).min(1).max(60) }),
    output: z.object({ panelIds: z.array(z.string()) }),
    errors: [...unknownThings],
  }),
  /** A list to spray from, with cup marks, steps and cautions; `documentId` is fetched from the host. */
  'plan.drawSprayList': query({
    input: z.object({
      panelIds: z.array(z.string()).min(1).max(60),
      cupMl: z.number().min(5).max(20_000),
      /** Left out: as the settings say, and A4 or Letter with the units. */
      wording: LabelWording.optional(),
    }),
    output: z.object({ documentId: z.string(), pageCount: z.int(), fileName: z.string() }),
    errors: ['panel/absent'],
  }),
  /** Says whether a material is on the shelf: what suggestions may use. */
  'materials.setOnShelf': command({
    input: z.object({ materialIds: z.array(z.string()).min(1).max(500), onShelf: z.boolean() }),
    output: z.object({}),
    errors: ['material/absent'],
  }),
}
