import { filmSampling, spectrumToLab } from '../../../../shared-core/colour/spectrum.ts'
import { correctRecipe } from '../../../../shared-core/film/correct/correct.ts'
import { fitFilm } from '../../../../shared-core/film/fit.ts'
import type { FilmFit } from '../../../../shared-core/film/fitted.ts'
import { recipeOfFormula } from '../../../../shared-core/film/formula.ts'
import { throughFilm, trappedShare } from '../../../../shared-core/film/forward.ts'
import { findGaps } from '../../../../shared-core/film/gaps.ts'
import { withBelieved } from '../../../../shared-core/film/next/believed.ts'
import { planNext } from '../../../../shared-core/film/next.ts'
import { outsideOf } from '../../../../shared-core/film/outside.ts'
import { predictLab, predictRecipe, restsOn } from '../../../../shared-core/film/predict.ts'
import type { FilmPrediction, FilmRecipe } from '../../../../shared-core/film/recipe.ts'
import { type FilmSuggestion, suggest } from '../../../../shared-core/film/suggest.ts'
import { listSuspects } from '../../../../shared-core/film/suspects.ts'
import { gunSpread } from '../../../../shared-core/film/unknowns.ts'
import type { FilmAsk, FilmSummary, FilmTaskName, FilmTasks, Predicted, Suggested } from './tasks.ts'

/** Nothing was read yet: knows nothing, and says so of everything. */
let fit: FilmFit | null = null

const known = (): FilmFit => {
  if (!fit) throw new Error('The film model was asked before it was fitted.')
  return fit
}

const performers: { [N in FilmTaskName]: (ask: FilmTasks[N]['ask']) => FilmTasks[N]['answer'] } = {
  fit: ({ library }) => {
    fit = fitFilm(library, fit ?? undefined)
    return { steps: fit.steps, converged: fit.converged }
  },
  describe: ({ candies, grounds }) => summaryOf(known(), candies, grounds),
  predict: ({ recipes }) => recipes.map((recipe) => predicted(known(), recipe)),
  correct: ({ check, target, options }) => {
    const found = correctRecipe(known(), check, target, options)
    return (
      found && {
        asItIs: found.asItIs,
        corrections: found.corrections.map(({ prediction, ...one }) => {
          const recipe = recipeOfFormula(one.formula, one.coats)
          return { ...one, predicted: withOutside(known(), recipe, prediction) }
        }),
      }
    )
  },
  suggest: ({ target, options }) => {
    const found = suggest(known(), target, options)
    return {
      suggestions: found.suggestions.map((one) => suggested(known(), one)),
      nothingNear: found.nothingNear?.words ?? null,
      considered: found.considered,
    }
  },
  next: ({ probes, candidates, believed, count }) =>
    planNext(withBelieved(known(), believed.candies, believed.grounds), probes, candidates, count),
  gaps: ({ options }) =>
    findGaps(known(), options).map(({ formula, coats, recipe, prediction, nearest, nearestId }) => ({
      formula,
      coats,
      predicted: withOutside(known(), recipe, prediction),
      nearest,
      nearestId,
    })),
  suspects: () => listSuspects(known()),
  rest: ({ recipe, count }) => restsOn(known(), recipe, count),
}

/** Does one task on the fit that this thread holds. */
export function performFilm<N extends FilmTaskName>(ask: FilmAsk<N>): FilmTasks[N]['answer'] {
  return performers[ask.what](ask)
}

function predicted(on: FilmFit, recipe: FilmRecipe): Predicted | null {
  const found = predictRecipe(on, recipe)
  return found && withOutside(on, recipe, found)
}

/** Without the covariance, which nobody outside asks for. */
const withOutside = (on: FilmFit, recipe: FilmRecipe, { lab, bound90, nextPanel90 }: FilmPrediction): Predicted => ({
  lab,
  bound90,
  nextPanel90,
  outside: outsideOf(on, recipe),
})

/** Panels that a suggestion names. */
const mostResting = 4

const suggested = (on: FilmFit, one: FilmSuggestion): Suggested => ({
  formula: one.formula,
  coats: one.coats,
  predicted: withOutside(on, one.recipe, one.prediction),
  de00: one.de00,
  differenceBound90: one.differenceBound90,
  rest: restsOn(on, one.recipe, mostResting),
})

const bare = (ground: string): FilmRecipe => ({
  ground,
  under: null,
  over: null,
  dyes: [],
  coats: 0,
  gun: null,
  finish: 'cleared',
})
/** One usual cover. */
const covered = (ground: string, candy: string): FilmRecipe => ({
  ...bare(ground),
  dyes: [{ id: candy, load: 1 }],
  coats: 1,
})

/** Over this, candies are told apart: a bright metallic that is even over all wavelengths. */
const brightGround = {
  reflectance: Array.from({ length: filmSampling.count }, () => 0.62),
  trapped: trappedShare(-1.2),
}
/** 95 % of a normal either way: an interval that holds 90 %. */
const normal95 = 1.6448536269514722

function summaryOf(on: FilmFit, candies: readonly string[], grounds: readonly string[]): FilmSummary {
  const seenOver = new Map<string, Set<string>>()
  for (const { dyes, ground } of on.observations)
    for (const { id } of dyes) seenOver.set(id, (seenOver.get(id) ?? new Set()).add(ground))
  const n = Math.round(Math.sqrt(on.covariance.length))
  return {
    candies: candies.flatMap((id) => {
      const absorbance = on.absorbance.get(id)
      const bounds = [...(seenOver.get(id) ?? [])].flatMap(
        (ground) => predictRecipe(on, covered(ground, id))?.bound90 ?? [],
      )
      if (!absorbance || bounds.length === 0) return []
      return [{ id, lab: spectrumToLab(throughFilm(brightGround, [...absorbance])), bound90: Math.min(...bounds) }]
    }),
    grounds: grounds.flatMap((id) => {
      const lab = predictLab(on, bare(id))
      return lab ? [{ id, lab }] : []
    }),
    guns: [...on.builds].map(([id, build]) => {
      const column = on.layout.guns.get(id)
      const variance = column === undefined ? 0 : (on.covariance[column * n + column] ?? 0)
      const reach = Math.exp(normal95 * gunSpread * Math.sqrt(Math.max(0, variance)))
      return { id, build, from: build / reach, to: build * reach }
    }),
    usualGun: on.usualGun,
    scatterPerCoat: on.scatterPerCoat,
  }
}
