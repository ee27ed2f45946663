/** "1 panel", "61 panels". */
export const counted = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`

/** "26 November 2026, 18:04", in this computer's time. @param at ISO 8601 */
export function momentInWords(at: string): string {
  const time = new Date(at)
  const day = time.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' })
  return `${day}, ${time.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })}`
}
