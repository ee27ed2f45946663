import type { FilmFormula } from '../formula.ts'

/** A finished suggestion as far as telling ideas apart needs it. */
export type Ranked = {
  formula: FilmFormula
  coats: number
  /** How much of the film's absorbance each candy makes, by id; they add up to 1. */
  shares: ReadonlyMap<string, number>
  /** What it is ranked by, in dE00, the lower the better: difference and doubt together, and a little for trouble. */
  rating: number
}

/** Formulas over one ground whose film is to this part made of the same candies are one idea. Set by judgement. */
const sameFilm = 0.85

/** Handicap of an idea for each one over its ground that already stands before it, in dE00. Set by judgement. */
const sameGround = 0.15

const midCoats = ({ under, over, ground }: FilmFormula): string => JSON.stringify([ground, under?.id, over?.id])

/** To what part two films are made of the same, 0 to 1. */
function overlap(a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): number {
  let sum = 0
  for (const [id, share] of a) sum += Math.min(share, b.get(id) ?? 0)
  return sum
}

/**
 * Honestly different ideas, the best first: another ground, other candies, or another ratio of them. Of formulas that
 * are one idea the best rated stays; trouble is in the rating, so that it is the simpler one where both are as good.
 * @param ranked  in any order
 */
export function differentIdeas<T extends Ranked>(ranked: readonly T[], count: number): T[] {
  const chosen: T[] = []
  const left = ranked.toSorted((a, b) => a.rating - b.rating)
  const usedGrounds = new Map<string, number>()
  while (chosen.length < count && left.length > 0) {
    let next = 0
    let lowest = Number.POSITIVE_INFINITY
    left.forEach(({ rating, formula: { ground } }, i) => {
      const handicap = rating + sameGround * (usedGrounds.get(ground) ?? 0)
      if (handicap < lowest) [lowest, next] = [handicap, i]
    })
    const [one] = left.splice(next, 1)
    if (!one || chosen.some((other) => isSameIdea(one, other))) continue
    chosen.push(one)
    usedGrounds.set(one.formula.ground, (usedGrounds.get(one.formula.ground) ?? 0) + 1)
  }
  return chosen
}

const isSameIdea = (a: Ranked, b: Ranked): boolean =>
  midCoats(a.formula) === midCoats(b.formula) && overlap(a.shares, b.shares) >= sameFilm
