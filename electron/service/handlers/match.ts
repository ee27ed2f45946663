import type { Handlers } from '../dispatch.ts'
import { findNearest } from '../match/find-nearest.ts'

/** Finding the nearest panel. */
export const matchHandlers = {
  'match.findNearest': findNearest,
} satisfies Partial<Handlers>
