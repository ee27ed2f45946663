import { create } from 'zustand'
import { type PlanFormula, type SuggestLimits, usualLimits } from '../../shared-core/records/film.ts'

/** A cell of the table. */
export type CellAt = { ground: string; coats: number }
export type PlanTab = 'cell' | 'suggest' | 'next' | 'rack'

/** What is worked on in Plan; kept while other places are visited and when the page is loaded again. */
export type PlanView = {
  /** The rack that all of this belongs to. */
  folder: string | null
  formula: PlanFormula | null
  /** Grounds across; null: the first eight by how often they are sprayed. */
  grounds: string[] | null
  /** Rows down to so many coats. */
  coatsTo: number
  cell: CellAt | null
  tab: PlanTab
  limits: SuggestLimits
  referenceId: string | null
  /** Sprayed cells as their photos, each in the light it was taken in, or in the colours that were read. */
  shows: 'photos' | 'colours'
  /** What "spray next" is judged on. */
  nextAbout: 'table' | 'rack'
  /** For the cup at the left and the marks on the spray list. */
  cupMl: number
}

/** A cup for two or three test panels: common practice, no source. */
const usualCupMl = 210
export const usualRows = 6
export const mostRows = 12

export const freshPlan: PlanView = {
  folder: null,
  formula: null,
  grounds: null,
  coatsTo: usualRows,
  cell: null,
  tab: 'suggest',
  limits: usualLimits,
  referenceId: null,
  shows: 'photos',
  nextAbout: 'table',
  cupMl: usualCupMl,
}

const keptKey = 'overground-plan'
function readKept(): PlanView {
  const kept = typeof sessionStorage === 'undefined' ? null : sessionStorage.getItem(keptKey)
  return kept === null ? freshPlan : { ...freshPlan, ...(JSON.parse(kept) as Partial<PlanView>) }
}

export const usePlan = create<PlanView>(() => readKept())
usePlan.subscribe((view) => sessionStorage.setItem(keptKey, JSON.stringify(view)))

export const setPlan = (change: Partial<PlanView>): void => usePlan.setState(change)

/** Another rack knows other candies: nothing of the plan is carried over to it. */
export function planOfRack(folder: string): void {
  const kept = usePlan.getState().folder
  if (kept !== folder) usePlan.setState(kept === null ? { folder } : { ...freshPlan, folder })
}

/** Changes some of the sliders. */
export function setFormula(change: Partial<PlanFormula>): void {
  usePlan.setState(({ formula }) => (formula === null ? {} : { formula: { ...formula, ...change } }))
}

/** Shows a cell, with its column and its row, wherever it is. */
export function chooseCell(cell: CellAt, shownGrounds: readonly string[]): void {
  usePlan.setState(({ coatsTo }) => ({
    cell,
    coatsTo: Math.min(mostRows, Math.max(coatsTo, Math.ceil(cell.coats))),
    ...(shownGrounds.includes(cell.ground) ? {} : { grounds: [...shownGrounds, cell.ground] }),
  }))
}
