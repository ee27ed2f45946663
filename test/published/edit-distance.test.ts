import fc from 'fast-check'
import { expect, test } from 'vitest'
import { editDistance, editDistanceToBeginning } from '../../shared-core/words/edit-distance.ts'
import { nearestWords, slipsAllowed } from '../../shared-core/words/nearest-words.ts'

/**
 * The four slips: F. J. Damerau, A technique for computer detection and correction of spelling errors, Communications of
 * the ACM 7 (1964) 171–176. The least number of them: R. Lowrance, R. A. Wagner, An extension of the string-to-string
 * correction problem, Journal of the ACM 22 (1975) 177–183. Whole numbers: no tolerance.
 */

/** From the tests of the R package comparator (N. Marchant), DamerauLevenshtein with equal weights. */
const published: ReadonlyArray<readonly [string, string, number]> = [
  ['abc', 'abc', 0],
  ['plane', 'plant', 1],
  ['color', 'colour', 1],
  ['favourite', 'favorite', 1],
  ['abc', 'ca', 2],
  ['abc', 'acb', 1],
  ['1234', '', 4],
  ['', '', 0],
  ['positive', 'evitisop', 6],
  ['café', 'cafe', 1],
  ['Saturday', 'Sunday', 3],
  ['ABBA', 'ABAB', 1],
]

test.each(published)('%s and %s are %i apart, and so are they the other way round', (a, b, distance) => {
  expect(editDistance(a, b)).toBe(distance)
  expect(editDistance(b, a)).toBe(distance)
})

const letters = ['a', 'b', 'c']

/** Every word that one slip makes of a word: the definition itself. */
function slipsOf(word: string, longest: number): Set<string> {
  const made = new Set<string>()
  for (let i = 0; i <= word.length; i++) {
    const [before, after] = [word.slice(0, i), word.slice(i)]
    for (const letter of letters) {
      if (word.length < longest) made.add(before + letter + after)
      if (after !== '') made.add(before + letter + after.slice(1))
    }
    made.add(before + after.slice(1))
    if (after.length > 1) made.add(before + after[1] + after[0] + after.slice(2))
  }
  return made
}

/** How many slips away each word of three letters is, found by making one slip after the other. */
function distancesFrom(word: string, longest: number): Map<string, number> {
  const found = new Map([[word, 0]])
  let edge = [word]
  for (let distance = 1; edge.length > 0; distance++) {
    const next: string[] = []
    for (const each of edge)
      for (const made of slipsOf(each, longest)) {
        if (found.has(made)) continue
        found.set(made, distance)
        next.push(made)
      }
    edge = next
  }
  return found
}

test('it is the least number of slips that make one word of the other', () => {
  const word = fc.string({ unit: fc.constantFrom(...letters), maxLength: 5 })
  fc.assert(
    fc.property(word, (from) => {
      // words on the way need not be longer than both: what is put in and taken out again is two slips for none
      for (const [to, distance] of distancesFrom(from, 6)) {
        expect([from, to, editDistance(from, to)]).toEqual([from, to, distance])
        const beginnings = Array.from({ length: to.length + 1 }, (_, i) => editDistance(from, to.slice(0, i)))
        expect(editDistanceToBeginning(from, to)).toBe(Math.min(...beginnings))
      }
    }),
    { numRuns: 12 },
  )
})

test('it is a metric', () => {
  const word = fc.string({ unit: fc.constantFrom('a', 'b', 'c', 'é', '🎨'), maxLength: 8 })
  fc.assert(
    fc.property(word, word, word, (a, b, c) => {
      expect(editDistance(a, b)).toBe(editDistance(b, a))
      expect(editDistance(a, b) === 0).toBe(a === b)
      expect(editDistance(a, c)).toBeLessThanOrEqual(editDistance(a, b) + editDistance(b, c))
    }),
  )
})

test('how many slips a word may have goes by its length (common practice, no source)', () => {
  expect(['dam', 'dams', 'damson', 'damsons'].map(slipsAllowed)).toEqual([0, 1, 1, 2])
})

test('the nearest words are taken, whole words before beginnings, the frequent before the rare', () => {
  const known = [
    { word: 'damson', count: 3 },
    { word: 'dawson', count: 7 },
    { word: 'ember', count: 2 },
    { word: 'tidewater', count: 1 },
  ]
  expect(nearestWords('damsn', known)).toEqual(['damson'])
  expect(nearestWords('dasmon', known)).toEqual(['damson'])
  // one slip from either
  expect(nearestWords('daxson', known)).toEqual(['dawson', 'damson'])
  // half typed
  expect(nearestWords('tidwa', known)).toEqual(['tidewater'])
  expect(nearestWords('ebmer', known)).toEqual(['ember'])
  // two slips in five letters, three in seven
  expect(nearestWords('bemre', known)).toEqual([])
  expect(nearestWords('dazzzon', known)).toEqual([])
  expect(nearestWords('emb', known)).toEqual([])
})
