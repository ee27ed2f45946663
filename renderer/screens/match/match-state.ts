import { create } from 'zustand'
import type { FilmKnowledge, Suggestion } from '../../../shared-core/records/film.ts'
import { noFilter, type PanelFilter, type ReadingFilter } from '../../../shared-core/records/panel.ts'
import type { Pin } from '../../state/pins.ts'
import type { WeightName } from './narrowing/weights.ts'

/** A recipe that nobody sprayed, and what its names mean. */
export type Predicted = { suggestion: Suggestion; knows: FilmKnowledge }

type MatchView = {
  filter: PanelFilter
  readings: ReadingFilter
  /** How many candidates are asked for. */
  limit: number
  /** The candidate one has walked to, by step: it stays when the list changes around it. */
  stepId: string | null
  /** The code of that candidate's panel, for the button that opens it. */
  code: string | null
  /** That candidate as it is pinned. */
  pin: Pin | null
  /** The prediction one has walked to; null while one stands among what was sprayed. */
  predicted: Predicted | null
  /** How many predictions stand below what was sprayed. */
  offered: number
  /** Calibrated colours, or the photos' own cut-outs, each in the light it was taken in. */
  shows: 'colours' | 'photos'
  /** How narrow the question is: see `rungs`. */
  rung: number
  /** What counts for how much in the difference. */
  weights: WeightName
  /** Nearest first; or of those equally near within doubt, the ones first that speak for themselves otherwise. */
  order: 'nearest' | 'doubt'
  /** Whose candidates these are, by its piece of an address. */
  of: string | null
  /** Where one stood in the lists of the others. */
  left: Readonly<Record<string, Stood>>
}
type Stood = Pick<MatchView, 'limit' | 'stepId' | 'predicted'>

export const openView: MatchView = {
  filter: noFilter,
  readings: { view: null, lightId: null },
  limit: 50,
  stepId: null,
  code: null,
  pin: null,
  predicted: null,
  offered: 0,
  shows: 'colours',
  rung: 0,
  weights: 'alike',
  order: 'nearest',
  of: null,
  left: {},
}

/** What is looked at in Match; kept while other places are visited. */
export const useMatch = create<MatchView>(() => openView)

/** The two lists that one walks through; the focus goes from one to the other. */
export const listIds = { sprayed: 'match-sprayed', predicted: 'match-predicted' } as const

/** Where the part below starts, under its bar. */
export const neverSprayedId = 'match-never-sprayed'

/** @returns whether that list is there */
export function walkInto(list: keyof typeof listIds): boolean {
  const element = document.getElementById(listIds[list])
  element?.focus({ preventScroll: true })
  return element !== null
}

/** The panel that one has walked to; null while it is a prediction. */
export function sprayedCode(): string | null {
  const { code, predicted } = useMatch.getState()
  return predicted === null ? code : null
}

/** One recipe among others. */
export const recipeKey = ({ recipe }: Pick<Suggestion, 'recipe'>): string => JSON.stringify(recipe)

export function narrow(filter: Partial<PanelFilter>, readings: Partial<ReadingFilter> = {}): void {
  useMatch.setState((s) => ({
    filter: { ...s.filter, ...filter },
    readings: { ...s.readings, ...readings },
    limit: openView.limit,
  }))
}

/** Another reference has a list of its own; coming back to one leads to where one stood in it. */
export function matchOf(of: string): void {
  const now = useMatch.getState()
  if (now.of === of) return
  const left = now.of === null ? now.left : { ...now.left, [now.of]: standing(now) }
  const stood = left[of] ?? { limit: openView.limit, stepId: null, predicted: null }
  useMatch.setState({ of, left, code: null, pin: null, ...stood })
}

const standing = ({ limit, stepId, predicted }: MatchView): Stood => ({ limit, stepId, predicted })
