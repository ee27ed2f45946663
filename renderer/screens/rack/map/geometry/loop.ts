import type { Place, SpotGrid } from './grid.ts'
import type { MapSteps } from './steps.ts'

/** What a loop does with the panels in it. */
export type Taking = 'only' | 'add' | 'away'

/**
 * Whether a point lies inside a closed loop, by the even-odd rule: a ray to the right crosses it an odd number of times.
 * A loop that crosses itself is outside where it goes round twice. Points exactly on the line belong to one side only.
 * Source: Shimrat, Comm. ACM 5 (1962) 434, algorithm 112, with Hacker's correction (ibid. 606).
 */
export function isInside(loop: readonly Place[], { a, b }: Place): boolean {
  let inside = false
  let last = loop.at(-1)
  for (const corner of loop) {
    if (last && corner.b > b !== last.b > b) {
      const crossing = corner.a + ((b - corner.b) / (last.b - corner.b)) * (last.a - corner.a)
      if (a < crossing) inside = !inside
    }
    last = corner
  }
  return inside
}

/** Rows of the grid inside a loop. */
export function rowsInLoop(grid: SpotGrid, steps: Pick<MapSteps, 'a' | 'b'>, loop: readonly Place[]): number[] {
  if (loop.length < 3) return []
  let [aFrom, aTo, bFrom, bTo] = [loop[0]!.a, loop[0]!.a, loop[0]!.b, loop[0]!.b]
  for (const { a, b } of loop) {
    aFrom = Math.min(aFrom, a)
    aTo = Math.max(aTo, a)
    bFrom = Math.min(bFrom, b)
    bTo = Math.max(bTo, b)
  }
  const rows: number[] = []
  grid.inBox(aFrom, aTo, bFrom, bTo, (row) => {
    if (isInside(loop, { a: steps.a[row]!, b: steps.b[row]! })) rows.push(row)
  })
  return rows.toSorted((one, other) => one - other)
}

/** Rows of the grid inside a ring. */
export function rowsInRing(grid: SpotGrid, ring: Place & { readonly radius: number }): number[] {
  const rows: number[] = []
  grid.within(ring, ring.radius, (row) => void rows.push(row))
  return rows.toSorted((one, other) => one - other)
}

/** The panels that rows belong to, each once. */
export const panelsOfRows = (steps: Pick<MapSteps, 'panel' | 'panelIds'>, rows: readonly number[]): string[] =>
  [...new Set(rows.map((row) => steps.panel[row]!))]
    .toSorted((one, other) => one - other)
    .map((p) => steps.panelIds[p]!)

/** Chosen panels after a loop; the order in which they were chosen stays. */
export function take(chosen: readonly string[], inside: readonly string[], how: Taking): string[] {
  if (how === 'only') return [...inside]
  if (how === 'add') {
    const had = new Set(chosen)
    return [...chosen, ...inside.filter((id) => !had.has(id))]
  }
  const away = new Set(inside)
  return chosen.filter((id) => !away.has(id))
}
