import { editDistance, editDistanceToBeginning } from './edit-distance.ts'

/** A word that the rack knows, folded, and in how many panels it stands. */
export type KnownWord = { word: string; count: number }

/** Letters, not halves of them. */
const lengthOf = (word: string): number => Array.from(word).length

/** More would not be a correction any more. */
const mostTaken = 6

/**
 * How many slips a word may have: in short words nearly every other word is one slip away.
 * One in four to six letters, two in longer ones: common practice of search engines, no source.
 */
export function slipsAllowed(word: string): number {
  const length = lengthOf(word)
  return length < 4 ? 0 : length <= 6 ? 1 : 2
}

/** Without capitals, accents and the like, as words are kept for searching. */
export const foldWord = (word: string): string => word.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase()

/**
 * The words nearest to one that nobody wrote: all at the least distance, the most frequent first. Where no whole word is
 * near enough, words that begin nearly so, since a word may be half typed.
 * @param typed  folded, letters only
 * @returns      none where nothing is near enough
 */
export function nearestWords(typed: string, known: readonly KnownWord[]): string[] {
  const allowed = slipsAllowed(typed)
  if (allowed === 0) return []
  const letters = lengthOf(typed)
  const longEnough = known.filter(({ word }) => lengthOf(word) >= letters - allowed)
  const whole = nearestBy(
    longEnough.filter(({ word }) => lengthOf(word) <= letters + allowed),
    (word) => editDistance(typed, word),
    allowed,
  )
  return whole.length > 0 ? whole : nearestBy(longEnough, (word) => editDistanceToBeginning(typed, word), allowed)
}

function nearestBy(known: readonly KnownWord[], distanceTo: (word: string) => number, allowed: number): string[] {
  let least = allowed
  let found: KnownWord[] = []
  for (const each of known) {
    const distance = distanceTo(each.word)
    if (distance > least) continue
    if (distance < least) found = []
    least = distance
    found.push(each)
  }
  return found
    .toSorted((a, b) => b.count - a.count || (a.word < b.word ? -1 : 1))
    .slice(0, mostTaken)
    .map(({ word }) => word)
}
