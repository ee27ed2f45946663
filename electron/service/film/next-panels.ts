import { panelsOfRack, panelsOfTable, probesOfRack, probesOfTable } from '../../../shared-core/film/next/panels.ts'
import type { FilmPanel, TeachingPanel } from '../../../shared-core/film/next.ts'
import type { NextPanel, PlanFormula } from '../../../shared-core/records/film.ts'
import type { FilmRack } from '../../rack/queries/film-observations.ts'
import { filmFormula, planFormula } from './plan-recipe.ts'
import { listed, type Names } from './words.ts'
import type { FilmTasks } from './worker/tasks.ts'

/** What is to be known better, and the panels that could be sprayed for it. */
export type Wish = Omit<FilmTasks['next']['ask'], 'count'> & { of: string }

/** Rows of the Plan's table, as far as its coats are usual. */
const tableCoats = [1, 2, 3, 4, 5, 6]

/** The Plan's table: its formula over its grounds, and what could be sprayed of its candies over them. */
export function wishForTable(rack: FilmRack, formula: PlanFormula, grounds: readonly string[], usual: number): Wish {
  const asked = filmFormula(formula, grounds[0] ?? '')
  return {
    probes: probesOfTable(asked, grounds, tableCoats),
    candidates: panelsOfTable(asked, grounds, [usual]),
    believed: believedOf(
      rack,
      formula.candies.map(({ id }) => id),
      grounds,
    ),
    of: grounds.length === 1 ? 'its column' : 'this table',
  }
}

/** Where the painter works: candies that are on the shelf or on a panel, over every ground, by how often they were sprayed. */
export function wishForRack(rack: FilmRack): Wish {
  const { observations } = rack.library
  const sprayed = new Set(observations.flatMap(({ dyes }) => dyes.map(({ id }) => id)))
  const candies = rack.candies.filter(({ id, onShelf }) => onShelf || sprayed.has(id)).map(({ id }) => id)
  const grounds = rack.grounds.map(({ id }) => id)
  const having = { grounds, candies }
  return {
    probes: probesOfRack(observations, having),
    candidates: panelsOfRack(observations, having),
    believed: believedOf(rack, candies, grounds),
    of: 'what is sprayed here',
  }
}

function believedOf(rack: FilmRack, candies: readonly string[], grounds: readonly string[]): Wish['believed'] {
  return {
    candies,
    grounds: rack.grounds.filter(({ id }) => grounds.includes(id)).map(({ id, kind }) => ({ id, kind })),
  }
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
