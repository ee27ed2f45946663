import { useMemo } from 'react'
import type { Suspect } from '../../../../shared-core/records/film.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useSuspects } from '../../../state/suspects.ts'

/** The wall is looked at first; what does not fit can wait. */
const restMs = 1000
const none: ReadonlyMap<string, Suspect[]> = new Map()

/** Steps that do not fit the rest of the rack, by panel. @param hangs nothing is asked before the wall hangs */
export function useDoubts(hangs: boolean): ReadonlyMap<string, Suspect[]> {
  const suspects = useSuspects(hangs, restMs)
  return useMemo(() => (suspects ? Map.groupBy(suspects, ({ panelId }) => panelId) : none), [suspects])
}

/** "2 coats: Probably misread. Photograph it again." */
export const reasonsInWords = (suspects: readonly Suspect[]): string =>
  suspects.map(({ coats, words }) => `${coatsInWords(coats)}: ${words}`).join(' ')
