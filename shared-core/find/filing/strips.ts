import { homographyBetween, isConvex, mapPoint, middleOf, sidesOf, unitSquare } from '../../capture/geometry.ts'
import type { Point, Quad } from '../../records/area.ts'

/** The way strips of a panel follow one another: from its first edge down, or from its left edge to the right. */
export type Run = 'down' | 'right'
/** Where the cuts lie between the first edge (0) and the last (1), measured on the panel and not on the picture of it. */
export type Cuts = { run: Run; cuts: readonly number[] }

/** Cuts of so many strips of equal width. */
export const evenCuts = (count: number): number[] => Array.from({ length: count - 1 }, (_, i) => (i + 1) / count)

/**
 * The strips of a panel, in order; neighbours share their edges exactly.
 * @param quad  convex, see `isConvex`
 */
export function stripsOf(quad: Quad, { run, cuts }: Cuts): Quad[] {
  const h = homographyBetween(unitSquare, quad)
  const place = (u: number, v: number): Point => mapPoint(h, [u, v])
  const edges = [0, ...cuts, 1]
  return edges.slice(1).map((to, i): Quad => {
    const from = edges[i]!
    return run === 'down'
      ? [place(0, from), place(1, from), place(1, to), place(0, to)]
      : [place(from, 0), place(to, 0), place(to, 1), place(from, 1)]
  })
}

/** Across the longer side, where nothing else is known. */
export function usualRun(quad: Quad): Run {
  const { width, height } = sidesOf(quad)
  return height >= width ? 'down' : 'right'
}

/**
 * Where found strips cut their panel: each cut lies half way between the edges of its neighbours.
 * @returns null where they do not lie side by side
 */
export function cutsOf(quad: Quad, strips: readonly Quad[]): Cuts | null {
  if (strips.length < 2 || !isConvex(quad) || !strips.every(isConvex)) return null
  const h = homographyBetween(quad, unitSquare)
  const middles = strips.map((strip) => mapPoint(h, middleOf(strip)))
  const across = Math.abs(middles.at(-1)![0] - middles[0]![0])
  const along = Math.abs(middles.at(-1)![1] - middles[0]![1])
  const run: Run = along >= across ? 'down' : 'right'
  const axis = run === 'down' ? 1 : 0
  const spans = strips
    .map((strip) => {
      const at = strip.map((corner) => mapPoint(h, corner)[axis]).toSorted((a, b) => a - b)
      return { from: (at[0]! + at[1]!) / 2, to: (at[2]! + at[3]!) / 2 }
    })
    .toSorted((a, b) => a.from - b.from)
  const cuts = spans.slice(1).map(({ from }, i) => (spans[i]!.to + from) / 2)
  if (spans.some(({ to }, i) => to - (spans[i + 1]?.from ?? 1) > mostOverlap)) return null
  const rises = [0, ...cuts, 1].every((at, i, all) => i === 0 || at - all[i - 1]! > least)
  return rises ? { run, cuts } : null
}
/** A strip narrower than this part of its panel is none. */
const least = 0.01
/** Neighbours whose edges were found one by one may overlap by so much of the panel. */
const mostOverlap = 0.04
