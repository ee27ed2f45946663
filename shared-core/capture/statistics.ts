/** Linear interpolation between order statistics. @param p 0 to 1 @returns NaN for no values */
export function quantile(values: number[], p: number): number {
  const sorted = values.toSorted((a, b) => a - b)
  const at = (sorted.length - 1) * p
  const below = Math.floor(at)
  const low = sorted[below] ?? Number.NaN
  return low + ((sorted[below + 1] ?? low) - low) * (at - below)
}

/**
 * Half-sample mode: the place where values lie densest.
 * Source: Bickel and Frühwirth, Comput. Stat. Data Anal. 50 (2006) 3500–3530.
 */
export function halfSampleMode(values: number[]): number {
  let sorted = values.toSorted((a, b) => a - b)
  while (sorted.length > 3) {
    const half = Math.ceil(sorted.length / 2)
    let best = 0
    for (let i = 1; i + half <= sorted.length; i++) {
      if (sorted[i + half - 1]! - sorted[i]! < sorted[best + half - 1]! - sorted[best]!) best = i
    }
    sorted = sorted.slice(best, best + half)
  }
  if (sorted.length < 3) return sorted.reduce((a, b) => a + b, 0) / sorted.length
  const [a = 0, b = 0, c = 0] = sorted
  return b - a < c - b ? (a + b) / 2 : b - a > c - b ? (b + c) / 2 : b
}
