import { combineReadings, likeReadings } from '../../shared-core/capture/combine.ts'
import type { Stage, View } from '../../shared-core/records/colour.ts'
import type { Step } from '../../shared-core/records/panel.ts'
import type { Reading } from '../../shared-core/records/reading.ts'

const stageRank: Record<Stage, number> = { cured: 0, cleared: 0, dry: 1, wet: 2 }
const viewRank: Record<View, number> = { face: 0, 'near-glare': 1, flop: 2 }

/**
 * The reading that speaks for a panel: as the customer sees it (cleared before dry before wet, face before the others),
 * of the step with the most coats, and of those the surest. One that its fellows show to be an outlier speaks for none.
 */
export function bestReading(readings: readonly Reading[], steps: readonly Step[]): Reading | null {
  const coats = (reading: Reading) => steps.find((step) => step.id === reading.stepId)?.coats ?? 0
  const fitting = [...new Set(readings.map(({ stepId }) => stepId))].flatMap((id) =>
    likeReadings(readings.filter(({ stepId }) => stepId === id)).flatMap((alike) => {
      const { outliers } = combineReadings(alike)
      return alike.filter((one) => !outliers.some(({ reading }) => reading === one))
    }),
  )
  return (
    fitting.toSorted(
      (a, b) =>
        stageRank[a.stage] - stageRank[b.stage] ||
        viewRank[a.view] - viewRank[b.view] ||
        coats(b) - coats(a) ||
        a.bound90 - b.bound90,
    )[0] ?? null
  )
}
