import type { PanelSummary } from '../../shared-core/records/panel.ts'
import { useAnswer } from './asking.ts'

/** As many as one call may name. */
const most = 200

/** Panels by their ids and by their steps, however many hang on the rack; empty while they are on their way. */
export function usePanelsBy(by: {
  ids?: readonly (string | null)[]
  stepIds?: readonly (string | null)[]
}): PanelSummary[] {
  const there = (list: readonly (string | null)[] = []) => list.filter((id) => id !== null).slice(0, most)
  const [ids, stepIds] = [there(by.ids), there(by.stepIds)]
  const nothing = ids.length + stepIds.length === 0
  return useAnswer('panels.summaries', nothing ? null : { ids, stepIds }).value?.panels ?? []
}
