/** The day of a moment where the reader is. */
export function dayOf(at: string): string {
  const moment = new Date(at)
  return [moment.getFullYear(), moment.getMonth(), moment.getDate()].join('-')
}

/** "Wednesday, 3 June 2026", in the user's own order; the last two days by their names. */
export function sayDayOf(at: string, now = new Date()): string {
  const told = new Date(at).toLocaleDateString(undefined, {
    weekday: 'long',
    day: 'numeric',
    month: 'long',
    year: 'numeric',
  })
  const yesterday = new Date(now)
  yesterday.setDate(now.getDate() - 1)
  if (dayOf(at) === dayOf(now.toISOString())) return `Today, ${told}`
  if (dayOf(at) === dayOf(yesterday.toISOString())) return `Yesterday, ${told}`
  return told
}
