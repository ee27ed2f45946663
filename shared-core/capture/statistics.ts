/**
 * The value that would stand at a place if the values were in order. Leaves smaller ones before that place and larger ones
 * behind it.
 * @param values  reordered; without NaN
 * @param place   0 to the count less one
 * Source: C. Hoare, Algorithm 65: Find, Commun. ACM 4 (1961) 321–322; parted in three (E. Dijkstra, A Discipline of
 * Programming (1976), ch. 14), because a file's numbers hold many alike.
 */
export function selectAt(values: Float64Array, place: number): number {
  const like = new Int32Array(2)
  let low = 0
  let high = values.length - 1
  while (low < high) {
    part(values, low, high, values[place]!, like)
    if (place < like[0]!) high = like[0]! - 1
    else if (place > like[1]!) low = like[1]! + 1
    else break
  }
  return values[place]!
}

/** Smaller ones, those like the pivot, larger ones. @param like  gets the first and last place of those in the middle */
function part(values: Float64Array, low: number, high: number, pivot: number, like: Int32Array): void {
  let [first, last] = [low, high]
  for (let i = low; i <= last; ) {
    const value = values[i]!
    if (value < pivot) {
      values[i] = values[first]!
      values[first] = value
      first++
      i++
    } else if (value > pivot) {
      values[i] = values[last]!
      values[last] = value
      last--
    } else i++
  }
  like[0] = first
  like[1] = last
}

/** Linear interpolation between order statistics. @param p 0 to 1 @returns NaN for no values */
export const quantile = (values: ArrayLike<number>, p: number): number => quantileIn(new Float64Array(values), p)

/** The same without a copy. @param values  reordered */
export function quantileIn(values: Float64Array, p: number): number {
  const count = values.length
  if (count === 0) return Number.NaN
  const at = (count - 1) * p
  const below = Math.floor(at)
  const low = selectAt(values, below)
  if (below + 1 >= count || at === below) return low
  let next = Number.POSITIVE_INFINITY
  for (let i = below + 1; i < count; i++) if (values[i]! < next) next = values[i]!
  return low + (next - low) * (at - below)
}

/**
 * Half-sample mode: the place where values lie densest.
 * Source: Bickel and Frühwirth, Comput. Stat. Data Anal. 50 (2006) 3500–3530.
 */
export function halfSampleMode(values: readonly number[]): number {
  let sorted = new Float64Array(values).toSorted()
  while (sorted.length > 3) {
    const half = Math.ceil(sorted.length / 2)
    let best = 0
    for (let i = 1; i + half <= sorted.length; i++) {
      if (sorted[i + half - 1]! - sorted[i]! < sorted[best + half - 1]! - sorted[best]!) best = i
    }
    sorted = sorted.subarray(best, best + half)
  }
  if (sorted.length < 3) return sorted.reduce((a, b) => a + b, 0) / sorted.length
  const [a = 0, b = 0, c = 0] = sorted
  return b - a < c - b ? (a + b) / 2 : b - a > c - b ? (b + c) / 2 : b
}
