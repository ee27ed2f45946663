import { differenceCiede2000 } from '../../../shared-core/colour/difference.ts'
import { fitFilm } from '../../../shared-core/film/fit.ts'
import { predictRecipe } from '../../../shared-core/film/predict.ts'
import { type GroupName, groups } from './groups.ts'

/** One recipe that was never sprayed: error and bound of what the formula gives, and of what a fresh panel read. */
export type Row = {
  category: string
  de00: number
  bound90: number
  next: { de00: number; bound90: number }
}

export type Measured = {
  group: GroupName
  rows: Row[]
  /** Recipes that the model said it knows nothing of. */
  unknown: number
  readings: number
  fitMs: number
  converged: boolean
  scatterPerCoat: number
}

export function measureRack(group: GroupName, seed: string): Measured {
  const { library, questions } = groups[group].rack(seed)
  const start = performance.now()
  const fit = fitFilm(library)
  const fitMs = performance.now() - start
  const rows = questions.flatMap(({ category, recipe, truth, read }): Row[] => {
    const said = predictRecipe(fit, recipe)
    if (said === null) return []
    const next = { de00: differenceCiede2000(said.lab, read), bound90: said.nextPanel90 }
    const finish = group === 'finishes' ? ` ${recipe.finish}` : ''
    return [{ category: category + finish, de00: differenceCiede2000(said.lab, truth), bound90: said.bound90, next }]
  })
  return {
    group,
    rows,
    unknown: questions.length - rows.length,
    readings: library.observations.length,
    fitMs,
    converged: fit.converged,
    scatterPerCoat: fit.scatterPerCoat,
  }
}
