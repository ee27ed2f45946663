import type { Handlers } from '../../dispatch.ts'

/** Copies of the rack's records, and going back to one. */
export const backupHandlers = {} satisfies Partial<Handlers>
