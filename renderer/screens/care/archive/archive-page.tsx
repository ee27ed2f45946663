/** The rack as one file, and what comes in from another. */
export function ArchivePage() {
  return null
}
