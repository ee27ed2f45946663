import type { PanelSummary } from '../../shared-core/records/panel.ts'
import { usePanelsBy } from './panels-by.ts'

/** The panel that a step belongs to; undefined while it is looked for or when the rack has no such step. */
export function usePanelOfStep(stepId: string | null): PanelSummary | undefined {
  return usePanelsBy({ stepIds: [stepId] })[0]
}
