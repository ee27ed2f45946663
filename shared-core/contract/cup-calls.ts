import { z } from 'zod'
import { Cup, CupMeasure, CupTarget } from '../records/cup.ts'
import { PlanRecipe } from '../records/film.ts'
import { Mixture } from '../records/mixture.ts'
import { command, query } from './call.ts'

/** Cups of paint: what to pour, what was poured, how long it stands and keeps. */
export const cupCalls = {
  /** The newest first. `customerJobId`, `panelId` null: of all. */
  'cups.list': query({
    input: z.object({ customerJobId: z.string().nullable(), panelId: z.string().nullable() }),
    output: z.object({ cups: z.array(Cup) }),
    errors: [],
  }),
  'cups.get': query({
    /** Id or code. */
    input: z.object({ key: z.string().min(1).max(100) }),
    output: z.object({ cup: Cup }),
    errors: ['cup/absent'],
  }),
  /** Starts cups, each of `target`: their lines are what to pour, in order. Names that the shelf lacks are put on it. */
  'cups.start': command({
    input: z.object({
      title: z.string().trim().min(1).max(200),
      mixture: Mixture,
      /** Of each cup. */
      target: CupTarget,
      count: z.int().min(1).max(40),
      measure: CupMeasure,
      cupMl: z.number().positive().nullable(),
      tipMm: z.number().positive().max(10).nullable(),
      customerJobId: z.string().nullable(),
      panelId: z.string().nullable(),
    }),
    output: z.object({ cups: z.array(Cup) }),
    errors: [
      'mix/no-density',
      'mix/over-100-percent',
      'mix/not-100-percent',
      'mix/powder-by-volume',
      'mix/no-amount',
      'customer-job/absent',
      'panel/absent',
    ],
  }),
  /**
   * What is in the cup of one line, in the line's own unit (not the running total); null takes it back. What the others
   * then want follows from `restOfCup`. `accepted` (false unless said): it is left as it was poured, too much or too little.
   * The first hardener that is poured starts the pot life.
   */
  'cups.pour': command({
    input: z.object({
      cupId: z.string(),
      lineId: z.string(),
      poured: z.number().nonnegative().max(1_000_000).nullable(),
      accepted: z.boolean().optional(),
      batch: z.string().max(120),
    }),
    output: z.object({ cup: Cup }),
    errors: ['cup/absent', 'cup/line-absent', 'cup/finished'],
  }),
  /**
   * Writes down what was poured and takes it off the shelf, with one undo. `standMin` is counted from now,
   * `potLifeMin` from when hardener went in, or from now where none did; null: no such clock. `short`: sentences on what could not be taken off as poured, and why.
   */
  'cups.finish': command({
    input: z.object({
      cupId: z.string(),
      mixedBy: z.string().max(120),
      standMin: z.number().positive().max(1440).nullable(),
      potLifeMin: z.number().positive().max(100_000).nullable(),
      notes: z.string().max(4000),
    }),
    output: z.object({ cup: Cup, short: z.array(z.string()) }),
    errors: ['cup/absent', 'cup/finished', 'cup/not-poured'],
  }),
  /** The cup stays in the record; what was taken off the shelf stays off. A cup of which nothing was poured goes. */
  'cups.throwAway': command({
    input: z.object({ cupId: z.string() }),
    output: z.object({}),
    errors: ['cup/absent'],
  }),
  /**
   * What rounding or wrong pouring does to the colour, as dE00 between the formula's and the poured mixture's predictions
   * over the ground; null with `why` where the film model does not know the recipe.
   */
  'cups.predictChange': query({
    input: z.object({
      mixture: Mixture,
      poured: Mixture,
      ground: z.string().max(120),
      coats: z.number().min(0).max(60),
    }),
    output: z.object({ de00: z.number().nonnegative().nullable(), words: z.string(), why: z.string() }),
    errors: [],
  }),
  /** The same as the Mix place on paper: the computer stays out of the mixing room. `documentId` is fetched from the host. */
  'cups.drawCard': query({
    input: z.object({ cupIds: z.array(z.string()).min(1).max(40) }),
    output: z.object({ documentId: z.string(), pageCount: z.int(), fileName: z.string() }),
    errors: ['cup/absent'],
  }),
  /** The mixture of a recipe of the film model, ready to be scaled. */
  'cups.mixtureOf': query({
    input: z.object({ recipe: PlanRecipe }),
    output: z.object({ mixture: Mixture, ground: z.string(), coats: z.number() }),
    errors: ['film/unknown-ground', 'film/unknown-candy', 'film/unknown-mid-coat', 'film/unknown-gun'],
  }),
}
