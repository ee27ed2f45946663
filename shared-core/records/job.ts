import { z } from 'zod'
import { Caution } from './photo.ts'

/** One file of an intake, or one photo that was to be filed: what became of it. */
export const IntakeItem = z.object({
  name: z.string(),
  /** The photo now in the rack (also for a duplicate: the one already there). */
  photoId: z.string().nullable(),
  fate: z.enum(['taken', 'duplicate', 'refused', 'cancelled', 'filed', 'left']),
  why: Caution.nullable(),
})
export type IntakeItem = z.infer<typeof IntakeItem>

export const Job = z.object({
  id: z.string(),
  kind: z.enum([
    'intake',
    'demonstration',
    'index',
    'notebook',
    'backup',
    'restore',
    'archive',
    'import',
    'check',
    'repair',
    'copy',
    'filing',
  ]),
  /** The folder of the rack that it works on; null for one that works on none. */
  rackFolder: z.string().nullable().optional(),
  /** What is running, in words ("Taking in photos"). */
  label: z.string(),
  stage: z.string(),
  done: z.int(),
  total: z.int(),
  state: z.enum(['running', 'done', 'cancelled', 'failed']),
  items: z.array(IntakeItem),
  /** Set when the job failed. */
  error: Caution.nullable(),
  /** What it came to, in words; told with the last report. */
  outcome: z.string().nullable().optional(),
  /** All went well and there is nothing to do: the outcome is told in passing. */
  passing: z.boolean().optional(),
  /** The change that it made, which one step of Undo takes back. */
  changeId: z.string().nullable().optional(),
  /** What the job drew, to be fetched from the host. */
  document: z.object({ documentId: z.string(), fileName: z.string() }).nullable().optional(),
})
export type Job = z.infer<typeof Job>

/**
 * What is told of a job as it goes on: `items` are only those that came since the last report, `itemsBefore` says how many were
 * told before, so that thousands are not sent ten times a second.
 */
export const JobReport = Job.extend({ itemsBefore: z.int().nonnegative() })
export type JobReport = z.infer<typeof JobReport>
