import { create } from 'zustand'
import type { Output } from '../../shared-core/contract/calls.ts'
import { useAnswer } from './asking.ts'
import { useStore } from './store.ts'

/**
 * Up to here the rack is looked through by itself for what does not fit. The film model learns from all readings at once:
 * seconds for some hundreds of panels, minutes for thousands, which nobody wants who only looks at the wall.
 */
export const looksByItselfUpTo = 400

/** The rack that somebody asked to be looked through. */
export const useLookedThrough = create<{ folder: string | null }>(() => ({ folder: null }))

export const looksByItself = (panelCount: number): boolean => panelCount <= looksByItselfUpTo

/** Whether the film model may be asked for what a place merely mentions. */
export function useModelAsked(): boolean {
  const byItself = useStore((s) => looksByItself(s.rack?.panelCount ?? 0))
  const folder = useStore((s) => s.rack?.folder ?? null)
  return useLookedThrough((s) => s.folder !== null && s.folder === folder) || byItself
}

/** Steps that do not fit the rest of the rack, once they are known. @param wanted nothing is asked before */
export function useSuspects(wanted: boolean, restMs: number): Output<'film.listSuspects'>['suspects'] | undefined {
  const asked = useModelAsked()
  return useAnswer('film.listSuspects', wanted && asked ? {} : null, restMs).value?.suspects
}
