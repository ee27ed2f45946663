import type { Lab } from '../../../shared-core/colour/lab.ts'
import { planFormulaOf } from '../../../shared-core/film/formula-of-panel.ts'
import type { JobFormula } from '../../../shared-core/records/customer-job.ts'
import type { PlanRecipe } from '../../../shared-core/records/film.ts'
import type { Reading, Reference } from '../../../shared-core/records/reading.ts'
import { useAnswer } from '../../state/asking.ts'
import { usePanelsBy } from '../../state/panels-by.ts'
import { newestOf } from '../match/reading-words.ts'

/** What a job's paint looks like: read from a panel, or predicted from its formula. */
export type JobPaint = { lab: Lab; bound90: number; predicted: boolean }

export type JobReference = { reference: Reference; reading: Reading | null }

/** @returns undefined while it is looked for; null when there is none, or it is gone */
export function useJobReference(referenceId: string | null): JobReference | null | undefined {
  const { value, error } = useAnswer('references.list', {})
  if (referenceId === null || error) return null
  if (!value) return undefined
  const reference = value.references.find(({ id }) => id === referenceId)
  return reference ? { reference, reading: newestOf(reference.readings) ?? null } : null
}

/** A formula as the film model takes it; null when its sliders cannot say it. */
export function recipeOf({ mixture, ground, coats, gunSetup }: JobFormula): PlanRecipe | null {
  const layer = { id: null, name: '', booth: null, notes: '', gunSetup: null, mixture: null }
  const found = planFormulaOf({
    layers: [
      { ...layer, kind: 'candy', coats, mixture, gunSetup },
      { ...layer, kind: 'clear', coats: 1 },
    ],
  })
  // grounds are named by their names in lower case
  const id = ground.trim().replaceAll(/\s+/g, ' ').toLowerCase()
  return found.ok && id !== '' ? { formula: found.formula, ground: id, coats } : null
}

/** The panel's own reading where the formula is a panel's step, otherwise what the rack predicts of it. */
export function useFormulaPaint(formula: JobFormula | null): JobPaint | null {
  const panels = usePanelsBy({ stepIds: [formula?.stepId ?? null] })
  const band =
    formula?.stepId === null || formula === null
      ? undefined
      : panels.flatMap(({ bands }) => bands).find(({ stepId }) => stepId === formula.stepId)
  const read = band?.lab ? { lab: band.lab, bound90: band.bound90 ?? 0, predicted: false } : null
  const recipe = formula && !read ? recipeOf(formula) : null
  const { value } = useAnswer('film.predict', recipe && { recipe })
  if (read) return read
  return value ? { lab: value.prediction.lab, bound90: value.prediction.nextPanel90, predicted: true } : null
}
