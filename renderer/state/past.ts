import { create } from 'zustand'
import type { Output } from '../../shared-core/contract/calls.ts'
import type { HistoryEntry } from '../../shared-core/records/history.ts'
import { go, type Route } from './router.ts'
import { type State, useStore } from './store.ts'

/** What the History page shows beside its address. */
type Past = {
  /** What the chosen entry changed, or how the panel stood after it. */
  view: 'changed' | 'stood'
  /** How it stood before the entry, in place of after it. */
  before: boolean
  /** Readings and photos that came after it stay when it is restored. */
  keepLater: boolean
  /** The entries that are listed, in order. */
  entries: readonly HistoryEntry[]
  set: (change: Partial<Omit<Past, 'set'>>) => void
}

export const usePast = create<Past>((set) => ({
  view: 'changed',
  before: false,
  keepLater: true,
  entries: [],
  set: (change) => set(change),
}))

type HistoryRoute = Extract<Route, { at: 'care' }>

/** The History page's address, while it is open. */
export function historyRoute({ route }: Pick<State, 'route'>): HistoryRoute | null {
  return route.at === 'care' && route.page === 'history' ? route : null
}

/** The entry that is looked at: the address names it, otherwise the newest. */
export function chosenEntry(state: Pick<State, 'route'>): HistoryEntry | null {
  const route = historyRoute(state)
  if (!route) return null
  const { entries } = usePast.getState()
  return entries.find(({ id }) => id === route.changeId) ?? (route.changeId ? null : (entries[0] ?? null))
}

export function chooseEntry(id: string): void {
  const route = historyRoute(useStore.getState())
  if (!route) return
  usePast.getState().set({ before: false })
  go({ ...route, changeId: id }, 'replace')
}

/** What is asked for the entry that is looked at, or null. */
export function thenAsked(state: Pick<State, 'route'>) {
  const route = historyRoute(state)
  const changeId = route?.changeId ?? chosenEntry(state)?.id
  if (!route?.panelId || !changeId) return null
  const { keepLater, before } = usePast.getState()
  return { panelId: route.panelId, changeId, keepLater, ...(before && { before }) }
}

/** How the panel stood then, from what the service answered. */
export function shownThen(state: Pick<State, 'route' | 'answers'>): Output<'history.panelAt'> | null {
  const asked = thenAsked(state)
  const kept = asked && state.answers[`history.panelAt ${JSON.stringify(asked)}`]
  return (kept?.value as Output<'history.panelAt'> | undefined) ?? null
}

/** The panel in the trash that is looked at: the one whose history it is, or the one that the chosen entry tells of. */
export function trashedShown(state: Pick<State, 'route'>): string | null {
  const route = historyRoute(state)
  const panel = chosenEntry(state)?.panel
  return route?.panelId ?? (panel?.where === 'trash' ? panel.id : null)
}

/** That panel with the change that removed it, from what the service answered. */
export function namedShown(state: Pick<State, 'route' | 'answers'>): Output<'history.namePanel'> | null {
  const key = trashedShown(state)
  const kept = key === null ? undefined : state.answers[`history.namePanel ${JSON.stringify({ key })}`]
  return (kept?.value as Output<'history.namePanel'> | undefined) ?? null
}
