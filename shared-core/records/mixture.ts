import { z } from 'zod'
import { Day } from './day.ts'

export const MaterialKind = z.enum([
  'concentrate',
  'carrier',
  'hardener',
  'reducer',
  'base',
  'clear',
  'sealer',
  'pearl',
  'flake',
  'other',
])
export type MaterialKind = z.infer<typeof MaterialKind>

export const Basis = z.enum(['volume', 'mass'])
export type Basis = z.infer<typeof Basis>

/** A product on the shelf. Numbers are null while unknown: nothing is assumed. */
export const Material = z.object({
  id: z.string(),
  name: z.string().trim().min(1).max(120),
  kind: MaterialKind,
  /** What its maker calls it. */
  makerName: z.string().max(200),
  /** Kilograms per litre at 20 °C. */
  densityKgPerL: z.number().positive().nullable(),
  /** 0 to 100. */
  volumeSolidsPercent: z.number().min(0).max(100).nullable(),
  costPerL: z.number().min(0).nullable(),
  batch: z.string().max(120),
  dataSheet: z.string().max(1000),
  notes: z.string().max(4000),
  /** On the shelf: what suggestions may use. */
  onShelf: z.boolean(),
  /** How much there is, as counted, bought and poured since; null: nobody counted. */
  onHand: z.object({ amount: z.number().min(0), basis: Basis }).nullable(),
  openedOn: Day.nullable(),
  /** To be bought again below this, in the basis of `onHand`; null: no mark. */
  reorderAt: z.number().positive().nullable(),
  /** A data sheet kept in the rack. */
  dataSheetFile: z.object({ sha256: z.string().length(64), name: z.string().min(1).max(200) }).nullable(),
  /** Minutes that a mixture keeps once this is in it, from its data sheet; null: it does not harden, or nobody said. */
  potLifeMin: z.number().positive().max(100_000).nullable(),
  /** Size of a flake's or pearl's grain in micrometres, from its data sheet. */
  flakeMicron: z.number().positive().max(10_000).nullable(),
  /** Whether its safety data sheet names isocyanates; null: nobody looked, and the kind decides. */
  isocyanate: z.boolean().nullable(),
  /** What took its place in formulas; null: it is used as it is. */
  replacedById: z.string().nullable(),
})
export type Material = z.infer<typeof Material>

/** A material of which nothing is known but what it is called. */
export const namedMaterial = (id: string, name: string, kind: MaterialKind): Material => ({
  id,
  name,
  kind,
  makerName: '',
  densityKgPerL: null,
  volumeSolidsPercent: null,
  costPerL: null,
  batch: '',
  dataSheet: '',
  notes: '',
  onShelf: true,
  onHand: null,
  openedOn: null,
  reorderAt: null,
  dataSheetFile: null,
  potLifeMin: null,
  flakeMicron: null,
  isocyanate: null,
  replacedById: null,
})

/**
 * How an amount is meant. `parts`: ratio parts among the parts of this mixture. `percent-of-total`: a share of the
 * finished mixture. `percent-on-top`: added to the finished mixture of all parts. `grams-per-litre`: dry powder by
 * the litre of the mixture it goes into; the powder's own volume is not counted.
 */
export const AmountUnit = z.enum(['parts', 'percent-of-total', 'percent-on-top', 'grams-per-litre'])
export type AmountUnit = z.infer<typeof AmountUnit>

/** A material named in a mixture: by id when the shelf has it, by name and kind when it is new. */
export const MaterialRef = z.object({
  id: z.string().nullable(),
  name: z.string().trim().min(1).max(120),
  kind: MaterialKind,
})
export type MaterialRef = z.infer<typeof MaterialRef>

/** One ingredient: a material, or a mixture of its own (a blend inside a carrier), nested to any depth. */
export type Part = {
  amount: number
  unit: AmountUnit
  material: MaterialRef | null
  mixture: Mixture | null
}
/** Parts in the order they go into the cup. `name` is what the painter calls it ("blend"), possibly empty. */
export type Mixture = { name: string; basis: Basis; parts: Part[] }

export const Mixture: z.ZodType<Mixture> = z.lazy(() =>
  z.object({ name: z.string().max(120), basis: Basis, parts: z.array(Part).min(1).max(40) }),
)
export const Part: z.ZodType<Part> = z
  .object({
    amount: z.number().positive().finite(),
    unit: AmountUnit,
    material: MaterialRef.nullable(),
    mixture: z.lazy(() => Mixture.nullable()),
  })
  .refine((part) => (part.material === null) !== (part.mixture === null), {
    message: 'A part is either a material or a mixture.',
  })
