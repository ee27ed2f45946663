import type { FilmFit } from './fitted.ts'
import { type FilmFormula, recipeOfFormula } from './formula.ts'
import { afterLesson, boundsAfter, type Lesson, lessen, lessonOf, type Watched, watch } from './next/learning.ts'
import { slopeOf } from './predict.ts'
import { type FilmRecipe, filmKey } from './recipe.ts'

/** A recipe that the painter wants to know, and how much it counts. */
export type FilmProbe = { recipe: FilmRecipe; weight: number }

/** A panel that could be sprayed. */
export type FilmPanel = {
  formula: FilmFormula
  /** Coats of its steps, rising; 0 is a bare strip under clear. */
  coats: readonly number[]
}

export type TeachingPanel = {
  panel: FilmPanel
  /** Weighted mean of the probes' 90 % bounds in dE00: with the panels before it in the list, and with this one too. */
  boundNow: number
  boundThen: number
}

/** A panel that lowers the bounds by less than this share is not worth spraying for what it teaches. Set by judgement. */
export const leastGain = 0.02

/**
 * The panels that lower the bounds most for the work they are, each in the light of those before it: a greedy choice by the linear-Gaussian
 * update of the fit's covariance. What a panel will read is not known, so this holds as far as colours move with the
 * unknowns as they do now.
 * @param probes      recipes that are to be known better; those that the fit knows nothing of are passed over
 * @param candidates  panels to choose from; likewise. See `withBelieved` for things that nobody has read
 * @returns           at most `count`, and only such as lower the bounds noticeably; none without probes
 */
export function planNext(
  fit: FilmFit,
  probes: readonly FilmProbe[],
  candidates: readonly FilmPanel[],
  count: number,
): TeachingPanel[] {
  const n = Math.round(Math.sqrt(fit.covariance.length))
  const known = probes.filter(({ recipe, weight }) => weight > 0 && slopeOf(fit, recipe) !== null)
  if (known.length === 0) return []
  const total = known.reduce((sum, { weight }) => sum + weight, 0)
  const watchAll = (of: FilmFit): Watched[] =>
    known.map(({ recipe, weight }) => watch(of, recipe, weight / total)).filter((one) => one !== null)
  const shared = sharedNoise(fit)
  let now = fit
  let watched = watchAll(now)
  let left = candidates.flatMap((panel): Waiting[] => {
    const lesson = lessonOf(fit, stepsOf(panel), shared)
    return lesson ? [{ panel, lesson, work: workOf(panel), atMost: Number.POSITIVE_INFINITY }] : []
  })
  const chosen: TeachingPanel[] = []
  while (chosen.length < count && left.length > 0) {
    const boundNow = sumOf(watched)
    const best = mostTeaching(left, now, n, watched, boundNow)
    if (!best) break
    const lessened = lessen(now.covariance, n, best.lesson)
    if (!lessened) break
    now = {
      ...now,
      covariance: afterLesson(now.covariance, n, lessened),
      mostSprayed: mostWith(now.mostSprayed, stepsOf(best.panel)),
      films: new Set([...now.films, ...stepsOf(best.panel).map(filmKey)]),
    }
    watched = watchAll(now)
    chosen.push({ panel: best.panel, boundNow, boundThen: sumOf(watched) })
    left = left.filter((one) => one !== best)
  }
  return chosen
}

type Waiting = {
  panel: FilmPanel
  lesson: Lesson
  work: number
  /** What it lowered the bounds by for its work when last tried: later it seldom lowers more. */
  atMost: number
}

/** How much work a panel is beside its ground and clear: coats of candy wait for one another. Set by judgement. */
const workOf = ({ coats }: FilmPanel): number => 1 + 0.1 * Math.max(0, ...coats)

/** The candidate that lowers the bounds most for its work, of those that lower them noticeably. Those that promised less than the best of this round are not tried again. */
function mostTeaching(
  left: Waiting[],
  { covariance }: FilmFit,
  n: number,
  watched: readonly Watched[],
  boundNow: number,
): Waiting | null {
  left.sort((a, b) => b.atMost - a.atMost)
  let best: Waiting | null = null
  for (const one of left) {
    if (best && one.atMost <= best.atMost) continue
    const lessened = lessen(covariance, n, one.lesson)
    one.atMost = lessened ? (boundNow - boundsAfter(watched, n, lessened)) / one.work : 0
    if (one.atMost * one.work < leastGain * boundNow) continue
    if (!best || one.atMost > best.atMost) best = one
  }
  return best
}

const sumOf = (watched: readonly Watched[]): number =>
  watched.reduce((sum, { weight, bound }) => sum + weight * bound, 0)

/** What each step of a panel is. */
export const stepsOf = ({ formula, coats }: FilmPanel): FilmRecipe[] =>
  coats.map((count) => recipeOfFormula(formula, count))

function mostWith(before: ReadonlyMap<string, number>, steps: readonly FilmRecipe[]): Map<string, number> {
  const most = new Map(before)
  for (const { dyes } of steps) for (const { id, load } of dyes) most.set(id, Math.max(most.get(id) ?? 0, load))
  return most
}

/** Mean dE00 that the readings of one photo share, the middle one of the rack. */
function sharedNoise({ observations }: FilmFit): number {
  const each = observations.map(({ shared }) => Math.hypot(0, ...shared.map(({ noise }) => noise)))
  return each.toSorted((a, b) => a - b)[each.length >> 1] ?? 0
}
