import { noFilter, type PanelSummary } from '../../shared-core/records/panel.ts'
import { useAnswer } from './asking.ts'

/** The panel that a step belongs to; undefined while it is looked for or when the rack has no such step. */
export function usePanelOfStep(stepId: string | null): PanelSummary | undefined {
  const { value } = useAnswer('panels.list', stepId === null ? null : { filter: noFilter, sort: 'code' })
  return stepId === null ? undefined : value?.panels.find((p) => p.bands.some((band) => band.stepId === stepId))
}
