import { z } from 'zod'

export const RackInfo = z.object({
  folder: z.string(),
  name: z.string(),
  panelCount: z.int(),
  trayCount: z.int(),
  /** Rises with every change; a page that holds an older one asks again. */
  revision: z.int(),
  undo: z.string().nullable(),
  redo: z.string().nullable(),
})
export type RackInfo = z.infer<typeof RackInfo>

export const RecentRack = z.object({ folder: z.string(), name: z.string(), openedAt: z.string(), present: z.boolean() })
export type RecentRack = z.infer<typeof RecentRack>

/** One change, as the history shows it. */
export const HistoryEntry = z.object({
  id: z.string(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  undone: z.boolean(),
})
export type HistoryEntry = z.infer<typeof HistoryEntry>
