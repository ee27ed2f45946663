import { type MapSteps, mapSteps } from '../../renderer/screens/rack/map/geometry/steps.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'

/** Colours as the map holds them: three steps to a panel, of 0, 1 and 2 coats. */
export function stepsOf(labs: readonly Lab[]): MapSteps {
  const panels = Math.ceil(labs.length / 3)
  const names = (before: string) => Array.from({ length: panels }, (_, i) => `${before}${i}`)
  return mapSteps(
    {
      panels: { ids: names('panel-'), codes: names('P-'), titles: names('Panel ') },
      steps: {
        panel: labs.map((_, i) => Math.floor(i / 3)),
        coats: labs.map((_, i) => i % 3),
        l: labs.map(({ l }) => l),
        a: labs.map(({ a }) => a),
        b: labs.map(({ b }) => b),
        bound90: labs.map(() => 1),
      },
      panelCount: panels,
    },
    'sRGB',
  )
}
