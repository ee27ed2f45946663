import { fitFilm } from '../fit.ts'
import type { FilmFit } from '../fitted.ts'
import type { FilmObservation } from '../recipe.ts'

/**
 * A panel that is wrong in all its steps draws the fit towards it, and then others look wrong beside it. So panels that do
 * not fit are set aside one by one and the rest is fitted again, until it is of one mind.
 */

/** Of a rack that never comes to one mind, so many panels are set aside. */
const mostRounds = 8
/** Panels that are tried in one round: the worst. */
const mostTried = 3
/** One panel this many times worse than the next is set aside without trying others. */
const clearlyWorst = 4

export type SetAside = {
  /** Fitted to what is of one mind. */
  fit: FilmFit
  /** Panels that were set aside. */
  panels: ReadonlySet<string>
}

export function setAside(fit: FilmFit, isOff: (de00: number, allowed90: number) => boolean): SetAside {
  const readings = Map.groupBy(fit.observations, ({ panel }) => panel)
  // a single reading hardly draws the fit: these need no trying
  const single = panelsOff(fit, isOff).filter(({ panel }) => readings.get(panel)?.length === 1)
  const panels = new Set(single.map(({ panel }) => panel))
  let now = panels.size > 0 ? refit(fit, panels) : fit
  for (let round = 0; round < mostRounds; round++) {
    const off = panelsOff(now, isOff)
    const [worst, second] = off
    if (!worst) break
    const tried = !second || worst.weight > clearlyWorst * second.weight ? [worst] : off.slice(0, mostTried)
    const without = tried.map(({ panel }) => {
      const rest = refit(fit, new Set([...panels, panel]))
      return { panel, rest, left: panelsOff(rest, isOff).reduce((sum, { weight }) => sum + weight, 0) }
    })
    const best = without.reduce((a, b) => (b.left < a.left ? b : a))
    panels.add(best.panel)
    now = best.rest
  }
  // what the last round left, so that nothing is dropped in silence
  for (const { panel } of panelsOff(now, isOff)) panels.add(panel)
  return { fit: now, panels }
}

/** Panels with steps that are off, the worst first. */
function panelsOff(
  fit: FilmFit,
  isOff: (de00: number, allowed90: number) => boolean,
): { panel: string; weight: number }[] {
  const panelOf = new Map(fit.observations.map(({ id, panel }) => [id, panel]))
  const weights = new Map<string, number>()
  for (const { id, de00, allowed90 } of fit.residuals) {
    const panel = panelOf.get(id)
    if (panel === undefined || !isOff(de00, allowed90)) continue
    weights.set(panel, (weights.get(panel) ?? 0) + (de00 / allowed90) ** 2)
  }
  return [...weights].map(([panel, weight]) => ({ panel, weight })).toSorted((a, b) => b.weight - a.weight)
}

function refit(fit: FilmFit, without: ReadonlySet<string>): FilmFit {
  const observations: FilmObservation[] = fit.observations.filter(({ panel }) => !without.has(panel))
  const groundKinds = new Map([...fit.beliefs].map(([id, { kind }]) => [id, kind]))
  return fitFilm({ observations, groundKinds, scatterPerCoat: fit.scatterPerCoat }, fit)
}
