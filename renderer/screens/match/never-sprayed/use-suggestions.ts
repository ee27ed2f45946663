import { useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Failure, Output } from '../../../../shared-core/contract/calls.ts'
import { type FilmKnowledge, type SuggestLimits, usualLimits } from '../../../../shared-core/records/film.ts'
import type { PanelFilter } from '../../../../shared-core/records/panel.ts'
import { isRead } from '../../../parts/film/film-words.ts'
import { useAnswer } from '../../../state/asking.ts'
import { planOfRack, setPlan, usePlan } from '../../../state/plan.ts'
import { rests } from '../../../state/rests.ts'
import { useStore } from '../../../state/store.ts'
import { useModelAsked } from '../../../state/suspects.ts'
import { useMatch } from '../match-state.ts'

/** Each is another idea; more would bury the good ones. */
const mostSuggestions = 6

type Suggestions = {
  knows: FilmKnowledge | undefined
  limits: SuggestLimits
  /** The newest there is; while others are worked out, those before. */
  value: Output<'film.suggest'> | undefined
  error: Failure | null
  busy: boolean
  /** The rack is so large that the model is only asked when somebody says so. */
  unasked: boolean
}

/** Recipes for a colour, within the limits that Plan keeps and the ground and candy that candidates are narrowed to. */
export function useSuggestions(readingId: string): Suggestions {
  const filter = useMatch((s) => s.filter)
  const own = useOwnLimits()
  const may = useModelAsked()
  const described = useAnswer('film.describe', may ? {} : null, rests.afterOthersMs)
  const knows = described.value?.knows
  const limits = knows ? narrowedTo(filter, own, knows) : own
  const asked = knows?.candies.some(isRead) ? { readingId, limits, count: mostSuggestions } : null
  const { value, error } = useAnswer('film.suggest', asked, rests.afterOthersMs)
  const [last, setLast] = useState(value)
  if (value && value !== last) setLast(value)
  return {
    knows,
    limits,
    value: error ? undefined : (value ?? last),
    error: described.error ?? error,
    unasked: !may,
    busy: !may
      ? false
      : knows === undefined
        ? described.error === null
        : asked !== null && value === undefined && error === null,
  }
}

/** Limits of another rack name what this one does not have. */
function useOwnLimits(): SuggestLimits {
  const folder = useStore((s) => s.rack?.folder)
  const [of, limits] = usePlan(useShallow((s) => [s.folder, s.limits]))
  return of === null || of === folder ? limits : usualLimits
}

/** The same switch as in Plan's limits. */
export function setOnShelfOnly(onShelfOnly: boolean): void {
  const folder = useStore.getState().rack?.folder
  if (folder !== undefined) planOfRack(folder)
  setPlan({ limits: { ...usePlan.getState().limits, onShelfOnly } })
}

function narrowedTo(filter: PanelFilter, own: SuggestLimits, knows: FilmKnowledge): SuggestLimits {
  const idsOf = (list: readonly { id: string; name: string }[], names: readonly string[]) => {
    const wanted = new Set(names.map((name) => name.toLowerCase()))
    return list.filter(({ name }) => wanted.has(name.toLowerCase())).map(({ id }) => id)
  }
  return {
    ...own,
    ...(filter.grounds.length > 0 ? { grounds: idsOf(knows.grounds, filter.grounds) } : {}),
    ...(filter.candies.length > 0 ? { candies: idsOf(knows.candies, filter.candies) } : {}),
  }
}
