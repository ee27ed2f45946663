import { useMemo } from 'react'
import type { Suspect } from '../../../shared-core/records/film.ts'
import { coatsInWords } from '../../parts/strokes.tsx'
import { useAnswer } from '../../state/asking.ts'

/** The wall is looked at first; what does not fit can wait. */
const restMs = 1000
const none: ReadonlyMap<string, Suspect[]> = new Map()

/** Steps that do not fit the rest of the rack, by panel. @param hangs nothing is asked before the wall hangs */
export function useDoubts(hangs: boolean): ReadonlyMap<string, Suspect[]> {
  const { value } = useAnswer('film.listSuspects', hangs ? {} : null, restMs)
  return useMemo(() => (value ? Map.groupBy(value.suspects, ({ panelId }) => panelId) : none), [value])
}

/** "2 coats: Probably misread. Photograph it again." */
export const reasonsInWords = (suspects: readonly Suspect[]): string =>
  suspects.map(({ coats, words }) => `${coatsInWords(coats)}: ${words}`).join(' ')
