import type { PlanCell } from '../../../shared-core/records/film.ts'
import { getReading } from '../../rack/queries/readings.ts'
import type { Handlers } from '../dispatch.ts'
import { describeFilm, isRead, usualCoats } from '../film/describe.ts'
import { mustKnowFormula, mustKnowGrounds } from '../film/known-things.ts'
import { nextPanel, wishForRack, wishForTable } from '../film/next-panels.ts'
import { filmRecipe } from '../film/plan-recipe.ts'
import { mustKnowSomething, prediction, restingOn, unreadThing } from '../film/predictions.ts'
import { sprayedCells } from '../film/sprayed.ts'
import { gapOf, optionsOf, suggestion } from '../film/suggestions.ts'
import { suspectOf } from '../film/suspects.ts'
import { targetOf } from '../film/target.ts'
import { namesOf } from '../film/words.ts'

/** What was never sprayed: worked out by the film model from the whole rack. */
export const filmHandlers = {
  'film.describe': (_, context) =>
    context.film.use(context.rack(), async (on) => {
      const known = on.rack
      const candies = known.candies.map(({ id }) => id)
      const grounds = known.grounds.map(({ id }) => id)
      return { knows: describeFilm(known, await on.ask({ what: 'describe', candies, grounds })) }
    }),
  'film.predictTable': ({ formula, grounds, coats }, context) =>
    context.film.use(context.rack(), async (on) => {
      const known = on.rack
      mustKnowFormula(known, formula)
      mustKnowGrounds(known, grounds)
      const recipes = coats.flatMap((count) => grounds.map((ground) => ({ formula, ground, coats: count })))
      const found = await on.ask({ what: 'predict', recipes: recipes.map(filmRecipe) })
      const names = namesOf(known)
      return {
        cells: recipes.map((recipe, i): PlanCell => {
          const predicted = found[i]
          return {
            ground: recipe.ground,
            coats: recipe.coats,
            prediction: predicted ? prediction(predicted, names) : null,
            sprayed: sprayedCells(known.steps, recipe),
          }
        }),
      }
    }),
  'film.predict': ({ recipe }, context) =>
    context.film.use(context.rack(), async (on) => {
      const known = on.rack
      mustKnowFormula(known, recipe.formula)
      mustKnowGrounds(known, [recipe.ground])
      const wanted = filmRecipe(recipe)
      const [predicted] = await on.ask({ what: 'predict', recipes: [wanted] })
      if (!predicted) throw unreadThing(known, wanted)
      return {
        prediction: prediction(predicted, namesOf(known)),
        sprayed: sprayedCells(known.steps, recipe),
        restsOn: restingOn(known, await on.ask({ what: 'rest', recipe: wanted, count: mostResting })),
      }
    }),
  'film.suggest': ({ readingId, limits, count }, context) =>
    context.film.use(context.rack(), async (on) => {
      const target = targetOf(await getReading(context.rack().db, readingId))
      mustKnowSomething(on.rack)
      const options = { ...optionsOf(on.rack, limits), count }
      const { suggestions, ...found } = await on.ask({ what: 'suggest', target, options })
      const names = namesOf(on.rack)
      return { ...found, suggestions: suggestions.map((one) => suggestion(on.rack, names, target.lab, one)) }
    }),
  'film.planNext': ({ about, count }, context) =>
    context.film.use(context.rack(), async (on) => {
      if (about) {
        mustKnowFormula(on.rack, about.formula)
        mustKnowGrounds(on.rack, about.grounds)
      }
      mustKnowSomething(on.rack)
      const { of, ...wish } = about
        ? wishForTable(on.rack, about.formula, about.grounds, usualCoats(on.rack.steps.filter(isRead)))
        : wishForRack(on.rack)
      const names = namesOf(on.rack)
      const found = await on.ask({ what: 'next', ...wish, count })
      return { panels: found.map((one) => nextPanel(on.rack, names, of, one)) }
    }),
  'film.findGaps': ({ limits, count }, context) =>
    context.film.use(context.rack(), async (on) => {
      mustKnowSomething(on.rack)
      const found = await on.ask({ what: 'gaps', options: { ...optionsOf(on.rack, limits), count } })
      const names = namesOf(on.rack)
      return { gaps: found.map((gap) => gapOf(on.rack, names, gap)) }
    }),
  'film.listSuspects': (_, context) =>
    context.film.use(context.rack(), async (on) => {
      const names = namesOf(on.rack)
      const found = await on.ask({ what: 'suspects' })
      return { suspects: found.map((each) => suspectOf(on.rack, names, each)) }
    }),
} satisfies Partial<Handlers>

/** A prediction rests a little on everything; the page names these. */
const mostResting = 12
