import { type Random, randomFrom } from '../../electron/service/demonstration/random.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import type { FilmLibrary, FilmObservation, FilmRecipe, GroundKind } from '../../shared-core/film/recipe.ts'
import { type Category, type PlanWish, planRack } from './plan.ts'
import { misread, type PhotoError, photoErrors } from './readings.ts'
import { type Departure, labOf, type World, type WorldWish, worldOf } from './world.ts'

export type RackWish = WorldWish &
  PlanWish & {
    /** Mean dE00 of one reading's own error, and of what the readings of a photo share. */
    noise: number
    photoNoise?: number
    scatterPerCoat: number
    /** The scatter is to be found from the rack. */
    scatterUnknown?: boolean
    /** Share of panels that were misread altogether. */
    misread?: number
    /** So many panels: the shop goes on in the same manner, with other coats and carriers. */
    panels?: number
    /** Some panels were read before clear, some after, some both. */
    bothFinishes?: boolean
  }

export type Question = {
  id: string
  category: Category
  recipe: FilmRecipe
  /** What the formula gives, and what one fresh panel of it read. */
  truth: Lab
  read: Lab
  /** Mean dE00 of that reading's error. */
  noise: number
}

export type Rack = { world: World; library: FilmLibrary; questions: Question[]; panelCount: number }

const panelsPerPhoto = 4
const [perPanel, perMixing] = [0.03, 0.02]

/** How one panel's film departs: its coats are laid one by one, so that steps share those beneath. */
function spraying(random: Random, scatterPerCoat: number): (recipe: FilmRecipe) => Departure {
  const common = Math.exp(perPanel * random.normal() + perMixing * random.normal())
  const coats: number[] = []
  const raw = Math.exp(0.15 * random.normal())
  return ({ coats: count }) => {
    while (coats.length < count) coats.push(Math.exp(scatterPerCoat * random.normal()))
    const laid = coats.slice(0, count).reduce((sum, coat) => sum + coat, 0)
    return { build: count > 0 ? (common * laid) / count : 1, raw }
  }
}

export function rackOf(seed: string, wish: RackWish): Rack {
  const world = worldOf(seed, wish)
  const random = randomFrom(`${seed}/rack`)
  const planned = planRack(random.fork('plan'), world, wish)
  for (let k = 1; planned.panels.length < (wish.panels ?? 0); k++)
    planned.panels.push(...planRack(random.fork(`plan-${k}`), world, wish).panels)
  if (wish.panels !== undefined) planned.panels.length = wish.panels
  const finishes = (): FilmRecipe['finish'][] =>
    random
      .pick(
        wish.bothFinishes
          ? ([['cleared'], ['uncleared'], ['cleared', 'uncleared']] as const)
          : ([['cleared']] as const),
      )
      .slice()
  const sprayed = planned.panels.map(({ steps }) => {
    const departure = spraying(random, wish.scatterPerCoat)
    const recipes = finishes().flatMap((finish) => steps.map((step) => ({ ...step, finish })))
    return recipes.map((recipe) => ({ recipe, lab: labOf(world, recipe, departure(recipe)) }))
  })
  const photoNoise = wish.photoNoise ?? 0
  const newPhoto = photoErrors(
    random.fork('photos'),
    sprayed.flat().map(({ lab }) => lab),
    photoNoise,
  )
  const read = (lab: Lab, photo: PhotoError, noise = wish.noise) => misread(random, photo(lab), noise)

  const observations: FilmObservation[] = []
  let photo = newPhoto()
  sprayed.forEach((steps, p) => {
    if (p % panelsPerPhoto === 0) photo = newPhoto()
    const wrong = random.chance(wish.misread ?? 0) ? 10 : 0
    const shared = photoNoise > 0 ? [{ by: `photo-${Math.floor(p / panelsPerPhoto)}`, noise: photoNoise }] : []
    for (const [s, { recipe, lab }] of steps.entries())
      observations.push({
        ...recipe,
        id: `panel-${p}/${s}`,
        panel: `panel-${p}`,
        lab: read(misread(random, lab, wrong), photo),
        noise: wish.noise,
        shared,
      })
  })
  const questions = planned.questions.map(({ category, recipe: asked }, q): Question => {
    const recipe: FilmRecipe = { ...asked, finish: wish.bothFinishes && random.chance(0.5) ? 'uncleared' : 'cleared' }
    const fresh = labOf(world, recipe, spraying(random, wish.scatterPerCoat)(recipe))
    return {
      id: `held-${q}`,
      category,
      recipe,
      truth: labOf(world, recipe),
      read: read(fresh, newPhoto()),
      noise: Math.hypot(wish.noise, photoNoise),
    }
  })
  const groundKinds = new Map<string, GroundKind>([...world.grounds].map(([id, { kind }]) => [id, kind]))
  const library = { observations, groundKinds, scatterPerCoat: wish.scatterUnknown ? null : wish.scatterPerCoat }
  return { world, library, questions, panelCount: planned.panels.length }
}
