/**
 * How many slips lie between two words. A slip is a letter too many, one too few, a wrong one, or two neighbours in each
 * other's place; letters between those two may be put in or taken out as well.
 * @returns for each beginning of `b`, from the empty one to all of it, the distance from `a` to it
 * Source: F. J. Damerau, Communications of the ACM 7 (1964) 171–176 (the four slips); R. Lowrance, R. A. Wagner, Journal of
 * the ACM 22 (1975) 177–183 (the least number of them).
 */
function distancesToBeginnings(a: readonly string[], b: readonly string[]): number[] {
  const far = a.length + b.length
  // rows and columns are one further on than in the paper: the first of each is the paper's row −1
  const rows: number[][] = [Array.from({ length: b.length + 2 }, () => far)]
  rows.push(Array.from({ length: b.length + 2 }, (_, j) => (j === 0 ? far : j - 1)))
  /** The row after the last one of each letter of `a`. */
  const lastRow = new Map<string, number>()
  for (let i = 1; i <= a.length; i++) {
    const row = [far, i]
    let lastColumn = 0
    for (let j = 1; j <= b.length; j++) {
      const i1 = lastRow.get(b[j - 1]!) ?? 0
      const j1 = lastColumn
      const same = a[i - 1] === b[j - 1]
      if (same) lastColumn = j
      row.push(
        Math.min(
          rows[i]![j]! + (same ? 0 : 1),
          row[j]! + 1,
          rows[i]![j + 1]! + 1,
          rows[i1]![j1]! + (i - i1 - 1) + 1 + (j - j1 - 1),
        ),
      )
    }
    rows.push(row)
    lastRow.set(a[i - 1]!, i)
  }
  return rows[a.length + 1]!.slice(1)
}

/**
 * The distance of Damerau and Levenshtein: the least number of slips between two words.
 * @returns 0 for equal words, at most the length of the longer; symmetric, and a metric
 */
export function editDistance(a: string, b: string): number {
  return distancesToBeginnings(Array.from(a), Array.from(b)).at(-1)!
}

/** The least distance from `a` to any beginning of `b`. */
export function editDistanceToBeginning(a: string, b: string): number {
  return Math.min(...distancesToBeginnings(Array.from(a), Array.from(b)))
}
