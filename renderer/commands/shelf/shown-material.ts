import type { Output } from '../../../shared-core/contract/calls.ts'
import type { Material } from '../../../shared-core/records/mixture.ts'
import type { State } from '../../state/store.ts'

const answered = (state: State, key: string): unknown => state.answers[key]?.value

/** The material that the page shows, as the service answered last. */
export function shownMaterial(state: State): Material | null {
  const { route } = state
  if (route.at !== 'shelf' || route.materialId === null) return null
  const list = answered(state, 'materials.list {}') as Output<'materials.list'> | undefined
  return list?.materials.find(({ id }) => id === route.materialId) ?? null
}

/** Where it is needed, once that was answered. */
export const shownHistory = (state: State, materialId: string): Output<'shelf.history'> | null =>
  (answered(state, `shelf.history ${JSON.stringify({ materialId })}`) as Output<'shelf.history'> | undefined) ?? null

export const noMaterialShown = 'Open a material first.'
