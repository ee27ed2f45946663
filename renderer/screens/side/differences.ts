import { describeDifference } from '../../../shared-core/colour/words.ts'
import { compareReadings } from '../../../shared-core/match/compare.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'

/** How one of two differs from the other. */
export type Difference = {
  /** Places as they are seen, from the left or from the top: `to` is said to be otherwise than `from`. */
  from: number
  to: number
  de00: number
  bound90: number
  words: string
  unlike: readonly string[]
}

/**
 * Differences to be said below the paints: of each from the one before it, or of each from the first.
 * @param seen   readings in the order in which they are seen; null where a place is empty
 * @param first  where the first of what was laid out is seen; null compares neighbours
 */
export function differencesOf(seen: readonly (Reading | null)[], first: number | null): Difference[] {
  return seen.flatMap((to, i) => {
    const from = first === null ? i - 1 : first
    if (from < 0 || from === i) return []
    return differenceOf(seen, from, i, to) ?? []
  })
}

function differenceOf(seen: readonly (Reading | null)[], from: number, to: number, reading: Reading | null) {
  const other = seen[from]
  if (!other || !reading) return null
  const compared = compareReadings(other, reading)
  const { de00, bound90, unlike } = compared
  return { from, to, de00, bound90, unlike, words: describeDifference(compared.from, compared.to) }
}
