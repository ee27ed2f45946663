import { z } from 'zod'
import { Caution } from '../records/photo.ts'
import { command, query } from './call.ts'

export const WatchedFolder = z.object({
  id: z.string(),
  path: z.string(),
  since: z.string(),
  isOn: z.boolean(),
  lookedAt: z.string().nullable(),
  /** Photos taken in from it so far, and files that were no photos. */
  taken: z.int().nonnegative(),
  refused: z.int().nonnegative(),
  /** Files that are still being written. */
  coming: z.int().nonnegative(),
  trouble: Caution.nullable(),
})
export type WatchedFolder = z.infer<typeof WatchedFolder>

/** Folders whose new photos are taken in by themselves. */
export const watchCalls = {
  'watched.list': query({ input: z.object({}), output: z.object({ folders: z.array(WatchedFolder) }), errors: [] }),
  /** How many photos lie in a folder now, to be asked what becomes of them. */
  'watched.look': query({
    input: z.object({ path: z.string().min(1).max(4000) }),
    output: z.object({ path: z.string(), photos: z.int().nonnegative() }),
    errors: ['watched/no-folder', 'watched/inside-rack'],
  }),
  'watched.add': command({
    input: z.object({ path: z.string().min(1).max(4000), takeThoseThere: z.boolean() }),
    output: z.object({ folder: WatchedFolder }),
    errors: ['watched/no-folder', 'watched/already', 'watched/inside-rack', 'watched/too-many', 'watched/not-all-seen'],
  }),
  'watched.turn': command({
    input: z.object({ folderId: z.string(), on: z.boolean() }),
    output: z.object({ folder: WatchedFolder }),
    errors: ['watched/absent'],
  }),
  /** Its photos stay, in the rack and in the folder. */
  'watched.remove': command({
    input: z.object({ folderId: z.string() }),
    output: z.object({}),
    errors: ['watched/absent'],
  }),
}
