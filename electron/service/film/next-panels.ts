import type { FilmFormula } from '../../../shared-core/film/formula.ts'
import { recipeOfFormula } from '../../../shared-core/film/formula.ts'
import type { FilmPanel, FilmProbe, TeachingPanel } from '../../../shared-core/film/next.ts'
import type { NextPanel, PlanFormula } from '../../../shared-core/records/film.ts'
import type { FilmRack, FilmStep } from '../../rack/queries/film-observations.ts'
import { filmFormula, planFormula } from './plan-recipe.ts'
import { listed, type Names } from './words.ts'
import type { FilmTasks } from './worker/tasks.ts'

/** What is to be known better, and the panels that could be sprayed for it. */
export type Wish = Omit<FilmTasks['next']['ask'], 'count'> & { of: string }

/** Rows of the Plan's table, as far as its coats are usual. */
const tableCoats = [1, 2, 3, 4, 5, 6]

/** The Plan's table: its formula over its grounds, and what could be sprayed of its candies over them. */
export function wishForTable(rack: FilmRack, formula: PlanFormula, grounds: readonly string[], usual: number): Wish {
  const over = grounds.map((ground) => filmFormula(formula, ground))
  const alone = ({ candies, ...rest }: FilmFormula): FilmFormula[] =>
    candies.length < 2
      ? []
      : candies.map(({ id }) => ({ ...rest, under: null, over: null, candies: [{ id, parts: 1 }] }))
  return {
    probes: over.flatMap((each) =>
      tableCoats.map((coats): FilmProbe => ({ recipe: recipeOfFormula(each, coats), weight: 1 })),
    ),
    candidates: over.flatMap((each) => [each, ...alone(each)].map((one) => inSteps(rack, one, usual))),
    believed: believedOf(
      rack,
      formula.candies.map(({ id }) => id),
      grounds,
    ),
    of: grounds.length === 1 ? 'its column' : 'this table',
  }
}

/**
 * Where the painter works: every candy on the shelf and every blend that was sprayed, over every ground, by how often
 * they were.
 */
export function wishForRack(rack: FilmRack, usual: number): Wish {
  const uses = usesOf(rack)
  const grounds = rack.grounds.map(({ id }) => id)
  const cup = usualCup(rack.steps)
  const shelf = rack.candies.filter(({ id, onShelf }) => onShelf || uses.candy(id) > 0).map(({ id }) => id)
  const single = (id: string, ground: string): FilmFormula => ({ ...cup, ground, candies: [{ id, parts: 1 }] })
  // one more than sprayed, so that what nobody sprayed yet counts a little
  const weigh = (ids: readonly string[], ground: string) =>
    Math.sqrt((1 + Math.min(...ids.map(uses.candy))) * (1 + uses.ground(ground)))
  const coats = [...new Set([Math.max(1, Math.round(usual / 2)), usual])]
  const formulas = grounds.flatMap((ground) => [
    ...shelf.map((id) => single(id, ground)),
    ...blendsOf(rack.steps).map((candies) => ({ ...cup, ground, candies })),
  ])
  return {
    probes: formulas.flatMap((formula) => {
      const weight = weigh(
        formula.candies.map(({ id }) => id),
        formula.ground,
      )
      return coats.map((count): FilmProbe => ({ recipe: recipeOfFormula(formula, count), weight }))
    }),
    candidates: grounds.flatMap((ground) => shelf.map((id) => inSteps(rack, single(id, ground), usual))),
    believed: believedOf(rack, shelf, grounds),
    of: 'what is sprayed here',
  }
}

/** In two steps, with a bare strip where the ground was never read bare under clear. */
function inSteps(rack: FilmRack, formula: FilmFormula, usual: number): FilmPanel {
  const strip = formula.finish === 'cleared' && !hasBare(rack, formula.ground) ? [0] : []
  return { formula, coats: [...new Set([...strip, Math.max(1, Math.round(usual / 2)), usual])] }
}
const hasBare = ({ library }: FilmRack, ground: string): boolean =>
  library.observations.some(
    (seen) =>
      seen.ground === ground && seen.finish === 'cleared' && seen.dyes.length === 0 && !seen.under && !seen.over,
  )

function believedOf(rack: FilmRack, candies: readonly string[], grounds: readonly string[]): Wish['believed'] {
  return {
    candies,
    grounds: rack.grounds.filter(({ id }) => grounds.includes(id)).map(({ id, kind }) => ({ id, kind })),
  }
}

function usesOf({ library }: FilmRack) {
  const [candies, grounds] = [new Map<string, number>(), new Map<string, number>()]
  const count = (map: Map<string, number>, id: string) => void map.set(id, (map.get(id) ?? 0) + 1)
  for (const { ground, dyes } of library.observations) {
    count(grounds, ground)
    for (const { id } of dyes) count(candies, id)
  }
  return { candy: (id: string) => candies.get(id) ?? 0, ground: (id: string) => grounds.get(id) ?? 0 }
}

const mixedOf = ({ dyes }: FilmStep): { id: string; share: number }[] => (dyes && dyes.length > 1 ? dyes : [])

/** Blends that were sprayed, each once, as shares. */
function blendsOf(steps: readonly FilmStep[]): { id: string; parts: number }[][] {
  const blends = new Map<string, { id: string; parts: number }[]>()
  for (const step of steps) {
    const dyes = mixedOf(step).toSorted((a, b) => (a.id < b.id ? -1 : 1))
    const [first] = dyes
    if (!first || dyes.length > 3) continue
    const parts = dyes.map(({ id, share }) => ({ id, parts: Math.round((100 * share) / first.share) / 100 }))
    if (parts.every(({ parts: amount }) => amount > 0)) blends.set(JSON.stringify(parts), parts)
  }
  return [...blends.values()]
}

/** The usual cup: carrier as most cups have it, nothing on top. Six to one where the rack does not say (common practice, no source). */
function usualCup(steps: readonly FilmStep[]): Omit<FilmFormula, 'ground' | 'candies'> {
  const carriers = steps.flatMap(({ dyes }) => {
    const share = (dyes ?? []).reduce((sum, dye) => sum + dye.share, 0)
    return share > 0 ? [Math.round(1 / share - 1)] : []
  })
  const uses = [...Map.groupBy(carriers, (carrier) => carrier)]
  const [carrierParts = 6] = uses.toSorted((a, b) => b[1].length - a[1].length || a[0] - b[0])[0] ?? []
  return { carrierParts, reducerPercent: 0, hardenerPercent: 0, under: null, over: null, gun: null, finish: 'cleared' }
}

export function nextPanel(rack: FilmRack, names: Names, of: string, found: TeachingPanel): NextPanel {
  const { panel, boundNow, boundThen } = found
  return {
    ground: panel.formula.ground,
    formula: planFormula(panel.formula),
    coats: [...panel.coats],
    boundNow,
    boundThen,
    of,
    why: whyItTeaches(rack, names, panel),
  }
}

/** What is missing on the rack that this panel brings. */
function whyItTeaches(rack: FilmRack, names: Names, { formula, coats }: FilmPanel): string {
  const { observations } = rack.library
  const ground = names.ground(formula.ground)
  const never = formula.candies.filter(({ id }) => !observations.some((seen) => seen.dyes.some((dye) => dye.id === id)))
  if (never.length > 0) return `${said(never, names)} on no panel that was read.`
  if (!observations.some((seen) => seen.ground === formula.ground)) return `Nothing over ${ground} was read yet.`
  const apart = formula.candies.filter(
    ({ id }) => !observations.some((seen) => seen.ground === formula.ground && seen.dyes.some((dye) => dye.id === id)),
  )
  if (apart.length > 0) return `${said(apart, names, 'was', 'were')} never read over ${ground}.`
  if (coats.includes(0)) return `${ground} was never read bare under clear.`
  return `Of what is left to know, more ${listed(formula.candies.map(({ id }) => names.candy(id)))} over ${ground} teaches most.`
}
const said = (candies: readonly { id: string }[], names: Names, one = 'is', several = 'are'): string =>
  `${listed(candies.map(({ id }) => names.candy(id)))} ${candies.length > 1 ? several : one}`
