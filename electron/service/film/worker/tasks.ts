import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { Change } from '../../../../shared-core/film/correct/changes.ts'
import type { CorrectOptions } from '../../../../shared-core/film/correct/correct.ts'
import type { Checked } from '../../../../shared-core/film/correct/learn.ts'
import type { FilmFormula } from '../../../../shared-core/film/formula.ts'
import type { FilmPanel, FilmProbe, TeachingPanel } from '../../../../shared-core/film/next.ts'
import type { FilmOutside } from '../../../../shared-core/film/outside.ts'
import type { FilmLibrary, FilmRecipe, GroundKind } from '../../../../shared-core/film/recipe.ts'
import type { SuggestOptions } from '../../../../shared-core/film/suggest.ts'
import type { FilmSuspect } from '../../../../shared-core/film/suspects.ts'

/** What the film worker is asked, and what it answers: plain data that crosses threads. */
export type FilmTasks = {
  /** Fits the library anew, from the fit before where there is one; everything else asks about the last fit. */
  fit: { ask: { library: FilmLibrary }; answer: { steps: number; converged: boolean } }
  describe: { ask: { candies: readonly string[]; grounds: readonly string[] }; answer: FilmSummary }
  predict: { ask: { recipes: readonly FilmRecipe[] }; answer: (Predicted | null)[] }
  suggest: {
    ask: { target: { lab: Lab; noise: number }; options: SuggestOptions }
    answer: { suggestions: Suggested[]; nothingNear: string | null; considered: number }
  }
  next: {
    ask: {
      probes: readonly FilmProbe[]
      candidates: readonly FilmPanel[]
      /** What nobody has read yet, to be planned with as it is believed before. */
      believed: { candies: readonly string[]; grounds: readonly { id: string; kind: GroundKind }[] }
      count: number
    }
    answer: TeachingPanel[]
  }
  /** Null where the fit does not know the recipe. */
  correct: {
    ask: {
      check: Checked & { formula: FilmFormula; coats: number }
      target: { lab: Lab; noise: number }
      options: CorrectOptions
    }
    answer: { corrections: Corrected[]; asItIs: { de00: number; bound90: number } } | null
  }
  gaps: { ask: { options: SuggestOptions }; answer: FoundGap[] }
  suspects: { ask: object; answer: FilmSuspect[] }
  rest: { ask: { recipe: FilmRecipe; count: number }; answer: Rest[] }
}
export type FilmTaskName = keyof FilmTasks
export type FilmAsk<N extends FilmTaskName = FilmTaskName> = { [K in N]: { what: K } & FilmTasks[K]['ask'] }[N]
export type FilmReply = { ok: true; answer: unknown } | { ok: false; text: string }

export type Predicted = { lab: Lab; bound90: number; nextPanel90: number; outside: FilmOutside }
/** A reading by its id, and its share of what is known of a recipe. */
export type Rest = { id: string; weight: number }

/** What the fit says of the things themselves. */
export type FilmSummary = {
  candies: { id: string; lab: Lab; bound90: number }[]
  /** Bare, under clear. */
  grounds: { id: string; lab: Lab }[]
  guns: { id: string; build: number; from: number; to: number }[]
  usualGun: string | null
  scatterPerCoat: number
}

export type Suggested = {
  formula: FilmFormula
  coats: number
  predicted: Predicted
  de00: number
  differenceBound90: number
  rest: Rest[]
}

export type Corrected = {
  formula: FilmFormula
  coats: number
  changes: readonly Change[]
  predicted: Predicted
  de00: number
  bound90: number
  isSure: boolean
}

export type FoundGap = {
  formula: FilmFormula
  coats: number
  predicted: Predicted
  nearest: number
  nearestId: string | null
}
