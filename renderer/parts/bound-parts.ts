import type { BoundPart } from '../../shared-core/records/reading.ts'

/** A part below this share of the whole (as squares add) changes nothing that is shown of the bound. */
const leastShare = 0.01

/** The parts of a bound that matter, largest first, and what all the others come to together. */
export function weighedParts(parts: readonly BoundPart[]): { main: BoundPart[]; rest: number | null } {
  const sorted = parts.toSorted((a, b) => b.de00 - a.de00)
  const total = sorted.reduce((sum, { de00 }) => sum + de00 ** 2, 0)
  const main = sorted.filter(({ de00 }) => de00 ** 2 >= leastShare * total)
  const small = sorted.slice(main.length)
  // a single one is named: "others together" would be longer than its own name
  if (small.length < 2) return { main: sorted, rest: null }
  return { main, rest: Math.hypot(...small.map(({ de00 }) => de00)) }
}
