/** A whole rack as one file, and what comes in from one or from another rack. */
export const archiveCalls = {}
