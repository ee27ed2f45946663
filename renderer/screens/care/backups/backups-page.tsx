/** Copies of the records, and going back to one. */
export function BackupsPage() {
  return null
}
