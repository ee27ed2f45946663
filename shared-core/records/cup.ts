import { z } from 'zod'
import { Basis, MaterialKind, Mixture } from './mixture.ts'

/** A cup of paint: what was wanted, what was poured, who mixed it and how long it keeps. */

/** How the cup is measured, the smallest step that can be read (grams or millilitres), and a dropper's drop if there is one. */
export const CupMeasure = z.object({
  by: Basis,
  step: z.number().positive().max(1000),
  dropMl: z.number().positive().max(5).nullable(),
})
export type CupMeasure = z.infer<typeof CupMeasure>

/** Ready to spray, in millilitres or grams as `basis` says. `words`: how it came about ("0.8 m², 4 coats, 60 % on the part"). */
export const CupTarget = z.object({
  basis: Basis,
  amount: z.number().positive().max(1_000_000),
  words: z.string().max(400),
})
export type CupTarget = z.infer<typeof CupTarget>

/** One ingredient in pouring order. Amounts in the basis of the cup's measure. */
export const CupLine = z.object({
  id: z.string(),
  materialId: z.string(),
  name: z.string(),
  kind: MaterialKind,
  /** Dry powder by grams per litre: measured in grams whatever the cup is measured by. */
  powder: z.boolean(),
  wanted: z.number().nonnegative(),
  /** What the scale or cup said; null: not poured yet. */
  poured: z.number().nonnegative().nullable(),
  /** Poured too much or too little and left so: the rest goes by what is in the cup. */
  accepted: z.boolean(),
  batch: z.string().max(120),
})
export type CupLine = z.infer<typeof CupLine>

export const CupStatus = z.enum(['pouring', 'mixed', 'thrown-away'])
export type CupStatus = z.infer<typeof CupStatus>

export const Cup = z.object({
  id: z.string(),
  /** Given by the rack: `C-0012`. */
  code: z.string(),
  title: z.string().max(200),
  customerJobId: z.string().nullable(),
  panelId: z.string().nullable(),
  mixture: Mixture,
  target: CupTarget,
  measure: CupMeasure,
  /** What the cup holds to the brim, in millilitres; null: nobody said. */
  cupMl: z.number().positive().nullable(),
  /** Bore of the gun's tip in millimetres, which reducer and flake are checked against; null: nobody said. */
  tipMm: z.number().positive().max(10).nullable(),
  lines: z.array(CupLine),
  status: CupStatus,
  startedAt: z.string(),
  mixedAt: z.string().nullable(),
  mixedBy: z.string().max(120),
  /** When hardener first went in, which pot life is counted from; null: there is none in it. */
  hardenerAt: z.string().nullable(),
  /** When it may be sprayed, and until when it can be; null: no such time. */
  standUntil: z.string().nullable(),
  potLifeUntil: z.string().nullable(),
  notes: z.string().max(4000),
})
export type Cup = z.infer<typeof Cup>

/** One material put in another's place. */
export const Replacement = z.object({
  id: z.string(),
  at: z.string(),
  who: z.string(),
  materialId: z.string(),
  byMaterialId: z.string(),
  /** Formulas in which it was done. */
  panelIds: z.array(z.string()),
  customerJobIds: z.array(z.string()),
})
export type Replacement = z.infer<typeof Replacement>

/** One change of what is on hand. */
export const StockMove = z.object({
  id: z.string(),
  materialId: z.string(),
  at: z.string(),
  /** Below 0: taken off. In `basis`. */
  amount: z.number(),
  basis: Basis,
  why: z.enum(['poured', 'counted', 'bought', 'thrown-away']),
  cupId: z.string().nullable(),
  batch: z.string(),
  who: z.string(),
})
export type StockMove = z.infer<typeof StockMove>
