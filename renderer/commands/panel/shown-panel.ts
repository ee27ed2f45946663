import type { Output } from '../../../shared-core/contract/calls.ts'
import type { State } from '../../state/store.ts'

/** The panel that the panel place shows, from what the service answered for it. */
export function shownPanel(state: State): Output<'panels.get'> | null {
  if (state.route.at !== 'panel') return null
  const kept = state.answers[`panels.get ${JSON.stringify({ key: state.route.key })}`]
  return (kept?.value as Output<'panels.get'> | undefined) ?? null
}

export const notShown = 'The panel is not there yet.'
