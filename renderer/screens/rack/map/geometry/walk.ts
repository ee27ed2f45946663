import type { MapSteps, Run } from './steps.ts'

export type Way = 'left' | 'right' | 'up' | 'down'

/**
 * The next step from one to another in a direction, or the same where there is none: of those that lie more that way than
 * sideways the nearest, sideways counted double. Steps of exactly one colour follow one another by row, to the right.
 */
export function walk(steps: Pick<MapSteps, 'a' | 'b'>, [first, end]: Run, from: number, way: Way): number {
  const [a, b] = [steps.a[from]!, steps.b[from]!]
  const isLevel = way === 'left' || way === 'right'
  const sign = way === 'right' || way === 'up' ? 1 : -1
  let found = from
  let least = Number.POSITIVE_INFINITY
  for (let row = first; row < end; row++) {
    const da = steps.a[row]! - a
    const db = steps.b[row]! - b
    if (da === 0 && db === 0) {
      if (isLevel && Math.sign(row - from) === sign && Math.abs(row - from) * 1e-9 < least) {
        least = Math.abs(row - from) * 1e-9
        found = row
      }
      continue
    }
    const along = sign * (isLevel ? da : db)
    const aside = Math.abs(isLevel ? db : da)
    if (along <= 0 || aside > along) continue
    const cost = along + 2 * aside
    if (cost < least) {
      least = cost
      found = row
    }
  }
  return found
}

/**
 * The next step around the circle of hues, or the one before; steps of one hue by row. Goes through every step of the run and
 * begins anew after the last.
 */
export function walkRound(steps: Pick<MapSteps, 'a' | 'b'>, [first, end]: Run, from: number, way: 1 | -1): number {
  const hue = (row: number) => Math.atan2(steps.b[row]!, steps.a[row]!)
  /** Whether one comes before another, the way one goes. */
  const isBefore = (one: number, other: number) => (hue(one) - hue(other) || one - other) * way < 0
  let next = from
  let begin = from
  for (let row = first; row < end; row++) {
    if (isBefore(row, begin)) begin = row
    if (isBefore(from, row) && (next === from || isBefore(row, next))) next = row
  }
  return next === from ? begin : next
}
