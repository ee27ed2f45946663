import { z } from 'zod'
import { PanelFilter, PanelSort } from './panel.ts'

/** What hangs together on the wall; `date` by month. */
export const PanelGroup = z.enum(['none', 'ground', 'candy', 'hue', 'lightness', 'date'])
export type PanelGroup = z.infer<typeof PanelGroup>

/** `count` panels from place `from`. `name` is null for those that have nothing to be grouped by, which hang last. */
export const HangingGroup = z.object({
  name: z.string().nullable(),
  from: z.int().nonnegative(),
  count: z.int().positive(),
})
export type HangingGroup = z.infer<typeof HangingGroup>

/** A typed word that no panel has, and the nearest words of the rack, which were looked for instead. */
export const WordTaken = z.object({ typed: z.string(), taken: z.array(z.string()).min(1) })
export type WordTaken = z.infer<typeof WordTaken>

const tags = z.array(z.string().trim().min(1).max(60)).min(1).max(60)

/** What is done to many panels; at least one of these. Tags are taken off before others are put on. */
export const PanelChange = z
  .object({
    addTags: tags.optional(),
    removeTags: tags.optional(),
    /** What the one ground layer of each is called. */
    ground: z.string().trim().min(1).max(120).optional(),
    /** False: back among the sprayed, or among the planned where nothing says that it was sprayed. */
    retire: z.boolean().optional(),
    /** Moved to the trash, with their readings. */
    trash: z.literal(true).optional(),
  })
  .refine((change) => Object.values(change).some((value) => value !== undefined), 'Nothing is to be changed')
export type PanelChange = z.infer<typeof PanelChange>

/** Panels that were left as they are, for one reason. */
export const SkippedPanels = z.object({ why: z.string(), panelIds: z.array(z.string()).min(1) })
export type SkippedPanels = z.infer<typeof SkippedPanels>

/** Something that is asked of the rack again and again, by name. */
export const SavedSearch = z.object({
  id: z.string(),
  name: z.string().trim().min(1).max(80),
  filter: PanelFilter,
  sort: PanelSort,
  group: PanelGroup,
})
export type SavedSearch = z.infer<typeof SavedSearch>
