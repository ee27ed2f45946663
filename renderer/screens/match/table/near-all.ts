import type { Match } from '../../../../shared-core/records/match.ts'

/** What is matched, and the nearest to it. `complete`: there are no others. */
export type NearOne = { matches: readonly Match[]; complete: boolean }

/** A step near all of them. */
export type NearAll = {
  match: Match
  /** The largest difference to any of them, and which one that is. */
  worst: number
  worstOf: number
  /** dE00 and ± to each, in their order. */
  each: readonly { de00: number; bound90: number }[]
}

/**
 * Steps ordered by their largest difference to any of several colours, the smallest first. What stands in every list is
 * known; a list that was cut short at some difference says of all others that they lie beyond it, so that nothing before
 * `certainTo` can be missing.
 */
export function nearAll(lists: readonly NearOne[]): { found: NearAll[]; certainTo: number } {
  const [first, ...others] = lists
  if (!first) return { found: [], certainTo: 0 }
  const certainTo = Math.min(
    ...lists.map(({ matches, complete }) => (complete ? Number.POSITIVE_INFINITY : (matches.at(-1)?.de00 ?? 0))),
  )
  const byStep = others.map(({ matches }) => new Map(matches.map((match) => [match.stepId, match])))
  const found = first.matches.flatMap((match): NearAll[] => {
    const rest = byStep.flatMap((steps) => steps.get(match.stepId) ?? [])
    if (rest.length < byStep.length) return []
    const all = [match, ...rest]
    const worst = Math.max(...all.map(({ de00 }) => de00))
    const worstOf = all.findIndex(({ de00 }) => de00 === worst)
    if (worst > certainTo) return []
    return [{ match, worst, worstOf, each: all.map(({ de00, bound90 }) => ({ de00, bound90 })) }]
  })
  return {
    found: found.toSorted((a, b) => a.worst - b.worst || a.match.panel.code.localeCompare(b.match.panel.code)),
    certainTo,
  }
}
