import { z } from 'zod'
import { LabRecord } from './colour.ts'

/**
 * What is predicted and planned. Candies, grounds, mid coats and gun set-ups are named by the ids that `film.describe`
 * gives: a material's id, a ground's name in lower case, a gun set-up's id.
 */

/** What a reading was taken of, and what is predicted: under clear, or as sprayed. Dry and wet readings are uncleared. */
export const Finish = z.enum(['cleared', 'uncleared'])
export type Finish = z.infer<typeof Finish>

/** A pearl or flake coat under or over the candy. */
export const PlanMidCoat = z.object({ id: z.string(), coats: z.number().positive().max(12) })
export type PlanMidCoat = z.infer<typeof PlanMidCoat>

/** A formula as the Plan's sliders say it, by volume. */
export const PlanFormula = z.object({
  candies: z.array(z.object({ id: z.string(), parts: z.number().positive().max(1000) })).max(6),
  /** Parts of carrier to one part of blend; 0 is straight. */
  carrierParts: z.number().min(0).max(100),
  /** Each in percent, on top of blend and carrier. */
  reducerPercent: z.number().min(0).max(100),
  hardenerPercent: z.number().min(0).max(100),
  under: PlanMidCoat.nullable(),
  over: PlanMidCoat.nullable(),
  /** Null: the rack's commonest gun set-up. */
  gunSetupId: z.string().nullable(),
  finish: Finish,
})
export type PlanFormula = z.infer<typeof PlanFormula>

/** A formula on a ground: what one panel, or one step of it, is. */
export const PlanRecipe = z.object({ formula: PlanFormula, ground: z.string(), coats: z.number().min(0).max(60) })
export type PlanRecipe = z.infer<typeof PlanRecipe>

/** How far a recipe lies from what was sprayed, in words; empty when it lies among it. */
export const Outside = z.object({
  /** 0: among what was sprayed; 1: as far beyond as the sprayed range is wide. */
  extent: z.number().nonnegative(),
  words: z.array(z.string()),
})
export type Outside = z.infer<typeof Outside>

/** A panel that a prediction rests on. */
export const RestsOn = z.object({
  panelId: z.string(),
  code: z.string(),
  stepId: z.string(),
  /** How much of what is known comes from it, 0 to 1. */
  weight: z.number().min(0).max(1),
})
export type RestsOn = z.infer<typeof RestsOn>

/** A colour that nobody has sprayed. */
export const Prediction = z.object({
  /** D50, 2°. */
  lab: LabRecord,
  /** 90 % bound in dE00 of what the formula gives, sprayed as usual. */
  bound90: z.number().positive(),
  /** 90 % bound in dE00 of what the next panel will read: with film build, mixing and the reading's own doubt. */
  nextPanel90: z.number().positive(),
  outside: Outside,
})
export type Prediction = z.infer<typeof Prediction>

/** A step on the rack that is this recipe. */
export const SprayedCell = z.object({
  panelId: z.string(),
  code: z.string(),
  stepId: z.string(),
  /** Key of the cut-out picture, see `pictureUrl`. */
  cut: z.string().nullable(),
  lab: LabRecord.nullable(),
  bound90: z.number().nullable(),
})
export type SprayedCell = z.infer<typeof SprayedCell>

export const PlanCell = z.object({
  ground: z.string(),
  coats: z.number(),
  /** Null where the model knows nothing of the ground or of a candy. */
  prediction: Prediction.nullable(),
  /** Steps of this very recipe, the newest first. */
  sprayed: z.array(SprayedCell),
})
export type PlanCell = z.infer<typeof PlanCell>

/** What the model knows of one candy (a dyed concentrate). */
export const KnownCandy = z.object({
  id: z.string(),
  name: z.string(),
  /** Its colour at one usual cover over a bright ground, for telling candies apart on screen. */
  lab: LabRecord.nullable(),
  onShelf: z.boolean(),
  stepCount: z.int().nonnegative(),
  /** Names of the grounds it was seen over. */
  grounds: z.array(z.string()),
  coatsTo: z.number().nonnegative(),
  /** 90 % bound in dE00 of one usual cover of it over the ground where it is known best; null: never read. */
  bound90: z.number().positive().nullable(),
})
export type KnownCandy = z.infer<typeof KnownCandy>

export const KnownGround = z.object({
  id: z.string(),
  name: z.string(),
  /** Bare, under clear: read, or else predicted. */
  lab: LabRecord.nullable(),
  /** Cut-out of a bare step of it. */
  cut: z.string().nullable(),
  stepCount: z.int().nonnegative(),
  /** Whether a bare reading under clear, or a raw one, is on the rack. */
  bare: z.enum(['cleared', 'raw', 'none']),
})
export type KnownGround = z.infer<typeof KnownGround>

export const KnownMidCoat = z.object({
  id: z.string(),
  name: z.string(),
  stepCount: z.int().nonnegative(),
  seen: z.array(z.enum(['under', 'over'])),
})
export type KnownMidCoat = z.infer<typeof KnownMidCoat>

export const KnownGun = z.object({
  id: z.string(),
  name: z.string(),
  stepCount: z.int().nonnegative(),
  /** Film build of one coat relative to the usual set-up, and its 90 % interval. */
  build: z.number().positive(),
  buildFrom: z.number().positive(),
  buildTo: z.number().positive(),
  usual: z.boolean(),
})
export type KnownGun = z.infer<typeof KnownGun>

/** A step that the model leaves out, and why in words. */
export const LeftOut = z.object({ panelId: z.string(), code: z.string(), stepId: z.string(), why: z.string() })
export type LeftOut = z.infer<typeof LeftOut>

/** How much the rack teaches. */
export const FilmKnowledge = z.object({
  /** Revision of the rack that it was fitted to. */
  revision: z.int(),
  stepCount: z.int().nonnegative(),
  panelCount: z.int().nonnegative(),
  candies: z.array(KnownCandy),
  grounds: z.array(KnownGround),
  midCoats: z.array(KnownMidCoat),
  guns: z.array(KnownGun),
  /** Coats that are sprayed most. */
  usualCoats: z.number().positive(),
  /** Scatter of the film build of one coat, as a share (0.08 is 8 %), estimated from the rack. */
  scatterPerCoat: z.number().nonnegative(),
  leftOut: z.array(LeftOut),
  /** What to read or spray that would help most, in words; empty when nothing is missing. */
  advice: z.array(z.string()),
})
export type FilmKnowledge = z.infer<typeof FilmKnowledge>

/** What suggestions may use. */
export const SuggestLimits = z.object({
  /** Only candies that are on the shelf. */
  onShelfOnly: z.boolean(),
  /** Grounds and candies that may be used; null: all. */
  grounds: z.array(z.string()).nullable(),
  candies: z.array(z.string()).nullable(),
  maxCandies: z.int().min(1).max(3),
  /** Mid coats that the rack knows may lie under or over the candy, in the coats that they are sprayed in. */
  useMidCoats: z.boolean(),
  maxParts: z.int().min(1).max(24),
  maxCoats: z.int().min(1).max(12),
  /** Parts of carrier to one of blend. */
  carrierFrom: z.int().min(0).max(40),
  carrierTo: z.int().min(0).max(40),
  reducerPercent: z.number().min(0).max(100),
  hardenerPercent: z.number().min(0).max(100),
  gunSetupId: z.string().nullable(),
})
export type SuggestLimits = z.infer<typeof SuggestLimits>

export const usualLimits: SuggestLimits = {
  onShelfOnly: true,
  grounds: null,
  candies: null,
  maxCandies: 3,
  useMidCoats: false,
  maxParts: 12,
  maxCoats: 6,
  carrierFrom: 4,
  carrierTo: 12,
  reducerPercent: 0,
  hardenerPercent: 0,
  gunSetupId: null,
}

export const Suggestion = z.object({
  recipe: PlanRecipe,
  prediction: Prediction,
  /** Predicted difference from the reference, and its 90 % bound with the reference's own doubt. */
  de00: z.number().nonnegative(),
  differenceBound90: z.number().positive(),
  /** The difference in a painter's words, as the suggestion seen against the reference. */
  words: z.string(),
  /** What makes it cheap or dear to try ("between two panels on the rack", "no panel over white yet"). */
  why: z.string(),
  onShelf: z.boolean(),
  restsOn: z.array(RestsOn),
})
export type Suggestion = z.infer<typeof Suggestion>

/** A panel worth spraying: what it would teach. */
export const NextPanel = z.object({
  ground: z.string(),
  formula: PlanFormula,
  /** Coats of its steps, rising; 0 is a bare strip under clear. */
  coats: z.array(z.number().min(0).max(60)).min(1),
  /** Mean 90 % bound over what it was judged on, now and with this panel, in dE00. */
  boundNow: z.number().positive(),
  boundThen: z.number().positive(),
  /** "its column", "everything over white": what the two bounds are of. */
  of: z.string(),
  why: z.string(),
})
export type NextPanel = z.infer<typeof NextPanel>

/** A colour that the rack's materials could make and no panel shows. */
export const Gap = z.object({
  recipe: PlanRecipe,
  prediction: Prediction,
  /** dE00 to the nearest step on the rack. */
  nearest: z.number().nonnegative(),
  nearestCode: z.string().nullable(),
})
export type Gap = z.infer<typeof Gap>

/** A step whose reading does not fit its formula. */
export const Suspect = z.object({
  panelId: z.string(),
  code: z.string(),
  stepId: z.string(),
  coats: z.number(),
  readingId: z.string(),
  /** What was read, and what its formula should give. */
  read: LabRecord,
  expected: LabRecord,
  de00: z.number().nonnegative(),
  /** What the doubts of both allow, 90 %. */
  allowed90: z.number().positive(),
  reason: z.enum(['thin', 'thick', 'other-ground', 'other-candy', 'misread', 'contradicts']),
  /** The likely reason and what to do, in words. */
  words: z.string(),
})
export type Suspect = z.infer<typeof Suspect>

/** A panel to be put on the list. */
export const PlannedPanel = z.object({
  ground: z.string(),
  formula: PlanFormula,
  coats: z.array(z.number().min(0).max(60)).min(1).max(12),
  title: z.string().trim().max(200),
})
export type PlannedPanel = z.infer<typeof PlannedPanel>
