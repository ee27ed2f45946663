import { z } from 'zod'

/** What a check found, and what can be done about it. */

/** What the user can have done about a finding. */
export const CheckAction = z.enum([
  'relink',
  'take-in',
  'set-aside',
  'leave',
  'mend-indexes',
  'mend-loose',
  'mend-order',
  'mend-from-history',
  'mend-keep-present',
  'restore',
  'rebuild-pictures',
  'clear-pictures',
  'clear-half-done',
])
export type CheckAction = z.infer<typeof CheckAction>

/** `lost`: something is not there any more; `harm`: not as it should be; `mended`: was put right; `note`: good to know. */
export const FindingWeight = z.enum(['lost', 'harm', 'mended', 'note'])
export type FindingWeight = z.infer<typeof FindingWeight>

export const FindingItem = z.object({
  name: z.string(),
  detail: z.string(),
  /** Inside the rack's folder, with `/`; null where it is no file, or one that is not there. */
  path: z.string().nullable(),
  photoId: z.string().nullable(),
  panelCode: z.string().nullable(),
})
export type FindingItem = z.infer<typeof FindingItem>

export const Finding = z.object({
  code: z.string(),
  weight: FindingWeight,
  title: z.string(),
  means: z.string(),
  safe: z.string(),
  todo: z.string(),
  /** Of all of them; `items` are the first ones. */
  count: z.int().nonnegative(),
  items: z.array(FindingItem),
  actions: z.array(CheckAction),
})
export type Finding = z.infer<typeof Finding>

const Amount = z.object({ count: z.int().nonnegative(), byteCount: z.number().nonnegative() })

export const CheckReport = z.object({
  /** One sentence, without its date. */
  headline: z.string(),
  isWhole: z.boolean(),
  /** When the last whole look through ended; null before the first. */
  checkedAt: z.string().nullable(),
  /** One that goes on, or was stopped half way; `done` of `total` kept files are looked through. */
  underWay: z.object({ jobId: z.string().nullable(), startedAt: z.string(), done: z.int(), total: z.int() }).nullable(),
  findings: z.array(Finding),
  kept: z.object({ panels: z.int(), photos: Amount, dataSheets: Amount }),
  /** Small pictures, as the last look through found them; null before the first. */
  pictures: z.object({ known: Amount, unknown: Amount, missing: z.int().nonnegative() }).nullable(),
  /** Originals of discarded photos, and what was cleared away of them. */
  unneeded: Amount,
  trash: Amount,
})
export type CheckReport = z.infer<typeof CheckReport>

/** An original that only a discarded photo names. */
export const UnneededPhoto = z.object({
  photoId: z.string(),
  sha256: z.string(),
  name: z.string(),
  byteCount: z.number(),
  discardedAt: z.string(),
})
export type UnneededPhoto = z.infer<typeof UnneededPhoto>

/** One way to get a rack's records back that cannot be opened. */
export const RepairWay = z.object({
  from: z.enum(['itself', 'backup', 'salvage', 'photos']),
  /** When the backup was made; null for the others. */
  madeAt: z.string().nullable(),
  /** The newest thing in it, ISO 8601; null when it holds nothing. */
  latestAt: z.string().nullable(),
  panels: z.int(),
  photos: z.int(),
  readings: z.int(),
  /** In words, after its counts: what it lacks, and what was done. */
  says: z.string(),
  /** Nothing speaks against it. */
  certain: z.boolean(),
})
export type RepairWay = z.infer<typeof RepairWay>

export const RepairPlan = z.object({
  folder: z.string(),
  madeAt: z.string(),
  /** What is wrong, in words. */
  damage: z.string(),
  ways: z.array(RepairWay),
  /** The way that is taken unless another is chosen; null when nothing is left. */
  best: RepairWay.shape.from.nullable(),
  /** Why somebody has to choose, in words; null when nothing speaks against the best way. */
  choice: z.string().nullable(),
  /** Where the damaged files were copied to, inside the rack's folder. */
  setAside: z.array(z.string()),
})
export type RepairPlan = z.infer<typeof RepairPlan>
