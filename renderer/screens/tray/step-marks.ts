import type { Step } from '../../../shared-core/records/panel.ts'
import { areasOf, type BandsMark, type Mark, type Marks, splitEvenly } from './marks.ts'

type Steps = readonly Pick<Step, 'id'>[]

const stepIdsOf = (mark: Mark): (string | null)[] => (mark.kind === 'bands' ? mark.stepIds : [mark.stepId])

function withStepIds(mark: Mark, ids: (string | null)[]): Mark {
  return mark.kind === 'bands' ? { ...mark, stepIds: ids } : { ...mark, stepId: ids[0] ?? null }
}

export function setStep(marks: Marks, key: number, band: number, stepId: string | null): Marks {
  const list = marks.list.map((mark, i) =>
    i === key
      ? withStepIds(
          mark,
          stepIdsOf(mark).map((id, b) => (b === band ? stepId : id)),
        )
      : mark,
  )
  return { ...marks, list }
}

/** Changes one outline with bands; other marks are left as they are. */
export function setBands(marks: Marks, key: number, change: (mark: BandsMark) => BandsMark): Marks {
  return { ...marks, list: marks.list.map((m, i) => (i === key && m.kind === 'bands' ? change(m) : m)) }
}

/**
 * Fits the marks to the chosen panel's steps. Steps of another panel are forgotten; a single outline is cut into as many
 * bands as the panel has steps; areas that nobody has named get the steps in order when their numbers agree, or the
 * only step there is. What was named by hand stays.
 */
export function fitToSteps(marks: Marks, steps: Steps): Marks {
  const known = steps.flatMap((step) => (step.id === null ? [] : [step.id]))
  if (known.length === 0) return marks
  let list = marks.list.map((mark) =>
    withStepIds(
      mark,
      stepIdsOf(mark).map((id) => (id && known.includes(id) ? id : null)),
    ),
  )
  const named = list.some((mark) => stepIdsOf(mark).some((id) => id !== null))
  const only = list[0]
  if (!named && list.length === 1 && only?.kind === 'bands' && only.stepIds.length !== known.length)
    list = [splitEvenly(only, known.length)]
  const open = list.flatMap(stepIdsOf).filter((id) => id === null).length
  const total = areasOf({ ...marks, list }).length
  if (known.length === 1 || (open === total && total === known.length)) {
    let next = 0
    list = list.map((mark) =>
      withStepIds(
        mark,
        stepIdsOf(mark).map((id) => id ?? (known.length === 1 ? known[0]! : known[next++]!)),
      ),
    )
  }
  return { ...marks, list }
}

/** The steps run the other way along their panel; the cuts stay on the edges where they lie. */
export const turnedRound = (mark: BandsMark): BandsMark => ({ ...mark, stepIds: mark.stepIds.toReversed() })
