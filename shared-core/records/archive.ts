import { z } from 'zod'
import { Caution } from './photo.ts'

/** What an archive says of itself. */
export const ArchiveFacts = z.object({
  path: z.string(),
  byteCount: z.int().nonnegative(),
  name: z.string(),
  rackId: z.string(),
  madeAt: z.string(),
  madeBy: z.string(),
  /** Form of the archive, and of the records in it. */
  form: z.int(),
  schema: z.int(),
  history: z.boolean(),
  panels: z.int().nonnegative(),
  photos: z.int().nonnegative(),
  dataSheets: z.int().nonnegative(),
  unpackedBytes: z.int().nonnegative(),
  /** Originals that were not there, and those that a disk had altered, when it was made. */
  missing: z.int().nonnegative(),
  damaged: z.int().nonnegative(),
  /** It was made of the rack that is open here, or of a copy of it. */
  ofThisRack: z.boolean(),
})
export type ArchiveFacts = z.infer<typeof ArchiveFacts>

/** How a panel of the other rack stands to those that hang here. */
export const PanelFate = z.enum([
  'new',
  /** Same panel, and theirs is what ours was once: they went on. */
  'changed-there',
  /** Same panel, and ours went on: there is nothing newer to take. */
  'changed-here',
  /** Both went on, or nobody knows who did. */
  'changed-both',
  /** Another id, but the same code, title, day and formula, or the same photos. */
  'probably-same',
  /** Taken out of the wall here. */
  'in-trash-here',
])
export type PanelFate = z.infer<typeof PanelFate>

/** `mine`: nothing of it is taken. `theirs`: it becomes as theirs; readings and photos of both stay. `both`: theirs comes as another panel. */
export const Choice = z.enum(['mine', 'theirs', 'both'])
export type Choice = z.infer<typeof Choice>

export const ComparedPanel = z.object({
  /** Theirs. */
  id: z.string(),
  code: z.string(),
  title: z.string(),
  fate: PanelFate,
  ours: z.object({ id: z.string(), code: z.string(), title: z.string() }).nullable(),
  /** The code that it will get because its own is taken here; null: it keeps it. */
  newCode: z.string().nullable(),
  /** What differs, or what comes with it: "formula", "3 readings". */
  what: z.array(z.string()),
})
export type ComparedPanel = z.infer<typeof ComparedPanel>

/** What goes for panels that nobody decided by themselves. */
export const MergeRules = z.object({
  new: z.enum(['theirs', 'mine']),
  'changed-there': Choice,
  'changed-here': Choice,
  'changed-both': Choice,
  'probably-same': Choice,
  'in-trash-here': Choice,
})
export type MergeRules = z.infer<typeof MergeRules>

export const usualRules: MergeRules = {
  new: 'theirs',
  'changed-there': 'theirs',
  'changed-here': 'mine',
  'changed-both': 'mine',
  'probably-same': 'mine',
  'in-trash-here': 'mine',
}

/** What comes along beside panels and what they need. */
export const MergeParts = z.object({
  shelf: z.boolean(),
  references: z.boolean(),
  jobs: z.boolean(),
  tray: z.boolean(),
  searches: z.boolean(),
})
export type MergeParts = z.infer<typeof MergeParts>

export const allParts: MergeParts = { shelf: true, references: true, jobs: true, tray: true, searches: true }

const Count = z.int().nonnegative()

export const Comparison = z.object({
  id: z.string(),
  /** Where it was found: an archive or a rack's folder. */
  path: z.string(),
  name: z.string(),
  sameRack: z.boolean(),
  /** Both keep their history, so that it is known who went on. */
  panels: z.array(ComparedPanel),
  same: Count,
  /** In their trash: left where they are. */
  inTrashThere: Count,
  /** What is not here yet. */
  materials: Count,
  gunSetups: Count,
  setups: Count,
  lights: Count,
  references: Count,
  jobs: Count,
  cups: Count,
  searches: Count,
  trayPhotos: Count,
  photos: Count,
  photoBytes: Count,
  /** Originals that the other rack does not have itself. */
  missingPhotos: Count,
  cautions: z.array(Caution),
})
export type Comparison = z.infer<typeof Comparison>
