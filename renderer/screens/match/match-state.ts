import { create } from 'zustand'
import { noFilter, type PanelFilter, type ReadingFilter } from '../../../shared-core/records/panel.ts'

type MatchView = {
  filter: PanelFilter
  readings: ReadingFilter
  /** How many candidates are asked for. */
  limit: number
  /** The candidate one has walked to, by step: it stays when the list changes around it. */
  stepId: string | null
  /** The code of that candidate's panel, for the button that opens it. */
  code: string | null
  /** Calibrated colours, or the photos' own cut-outs, each in the light it was taken in. */
  shows: 'colours' | 'photos'
  /** Whose candidates these are: another reference starts at the top again. */
  readingId: string | null
}

export const openView: MatchView = {
  filter: noFilter,
  readings: { view: null, lightId: null },
  limit: 50,
  stepId: null,
  code: null,
  shows: 'colours',
  readingId: null,
}

/** What is looked at in Match; kept while other places are visited. */
export const useMatch = create<MatchView>(() => openView)

export function narrow(filter: Partial<PanelFilter>, readings: Partial<ReadingFilter> = {}): void {
  useMatch.setState((s) => ({
    filter: { ...s.filter, ...filter },
    readings: { ...s.readings, ...readings },
    limit: openView.limit,
  }))
}

export function matchReading(readingId: string): void {
  if (useMatch.getState().readingId !== readingId)
    useMatch.setState({ readingId, stepId: null, code: null, limit: openView.limit })
}
