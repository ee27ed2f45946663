import type { LeftOut, Suspect } from '../../../../shared-core/records/film.ts'
import type { Panel } from '../../../../shared-core/records/panel.ts'
import { stepsInWords } from '../../../parts/film/film-words.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useModelAsked } from '../../../state/suspects.ts'

/** Long enough that what the place itself shows is asked first, and that walking past asks nothing. */
const restMs = 300

/** What the film model holds against this panel's readings. */
export type FilmDoubts = { suspects: readonly Suspect[]; leftOut: readonly LeftOut[] }

/** @param read  whether the panel has readings that could be held against it */
export function useFilmDoubts(panelId: string, read: boolean): FilmDoubts {
  const asked = useModelAsked() && read
  const { value: found } = useAnswer('film.listSuspects', asked ? {} : null, restMs)
  const { value: described } = useAnswer('film.describe', asked ? {} : null, restMs)
  const own = <T extends { panelId: string }>(all: readonly T[] | undefined): T[] =>
    (all ?? []).filter((each) => each.panelId === panelId)
  return { suspects: own(found?.suspects), leftOut: own(described?.knows.leftOut) }
}

/** Why predictions do without readings of this panel, with the steps that it is about; steps that nobody read say nothing. */
export function leftOutInWords(
  leftOut: readonly LeftOut[],
  steps: Panel['steps'],
  readSteps: ReadonlySet<string>,
): string[] {
  const byReason = Map.groupBy(
    leftOut.filter(({ stepId }) => readSteps.has(stepId)),
    ({ why }) => why,
  )
  return [...byReason].map(([why, own]) => {
    const coats = steps.flatMap(({ id, coats: count }) => (own.some(({ stepId }) => stepId === id) ? [count] : []))
    return coats.length === steps.length
      ? `Predictions do without this panel: ${why}`
      : `Predictions do without ${stepsInWords(coats)}: ${why}`
  })
}
