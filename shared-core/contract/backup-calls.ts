/** Copies of the rack's records, and going back to one. */
export const backupCalls = {}
