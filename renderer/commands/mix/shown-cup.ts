import type { Output } from '../../../shared-core/contract/calls.ts'
import type { Cup } from '../../../shared-core/records/cup.ts'
import type { Material } from '../../../shared-core/records/mixture.ts'
import type { State } from '../../state/store.ts'

/** The cup that the mix place shows, with what the shelf knows, from what the service answered for it. */
export function shownCup(state: State): { cup: Cup; materials: readonly Material[] } | null {
  if (state.route.at !== 'mix' || state.route.cupId === null) return null
  const kept = state.answers[`cups.get ${JSON.stringify({ key: state.route.cupId })}`]
  const shelf = state.answers['materials.list {}']
  const cup = (kept?.value as Output<'cups.get'> | undefined)?.cup
  const materials = (shelf?.value as Output<'materials.list'> | undefined)?.materials
  return cup && materials ? { cup, materials } : null
}

/** The cup that is being poured, or in words why there is none. */
export const notPouring = (state: State): string | null =>
  shownCup(state)?.cup.status === 'pouring' ? null : 'No cup is being poured here.'

/** Space on a button or in a list belongs to it; the bench has its own. */
export function focusHasOwnKeys(): boolean {
  const focused = typeof document === 'undefined' ? null : document.activeElement
  return (
    focused !== null &&
    focused.matches('a[href], button, summary, input, select, textarea, [role=button]') &&
    !focused.matches('[data-pours]')
  )
}
