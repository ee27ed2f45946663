import { z } from 'zod'
import { Caution } from './photo.ts'

/**
 * What may be done with an open rack. `reading`: shown from a private copy of its records, taken at `asOf`; nothing is
 * written into its folder.
 */
export const Access = z.object({
  mode: z.enum(['full', 'reading']),
  /** `unknown`: a program serves the folder, and nobody says whether it lies on this computer. */
  why: z.enum(['network', 'unknown', 'read-only', 'in-use']).nullable(),
  asOf: z.string().nullable(),
})
export type Access = z.infer<typeof Access>

export const fullAccess: Access = { mode: 'full', why: null, asOf: null }

export const RackInfo = z.object({
  folder: z.string(),
  name: z.string(),
  panelCount: z.int(),
  trayCount: z.int(),
  /** Rises with every change; a page that holds an older one asks again. */
  revision: z.int(),
  undo: z.string().nullable(),
  redo: z.string().nullable(),
  access: Access,
  /** What threatens the rack where it lies, and what to do about it. */
  cautions: z.array(Caution),
  /** The painter has said that a program keeps this folder the same on several computers. */
  keptInSync: z.boolean(),
})
export type RackInfo = z.infer<typeof RackInfo>

export const RecentRack = z.object({
  folder: z.string(),
  name: z.string(),
  openedAt: z.string(),
  /** Its records lie where they were. */
  present: z.boolean(),
  /** They do not, but photos or backups of a rack do. */
  recordsGone: z.boolean(),
})
export type RecentRack = z.infer<typeof RecentRack>
