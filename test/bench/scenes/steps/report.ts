import { quantile } from '../../../../shared-core/capture/statistics.ts'
import type { StepsMeasured } from './measure.ts'

const share = (values: readonly boolean[]): number => values.filter(Boolean).length / values.length
const percent = (value: number): string => `${(100 * value).toFixed(1)} %`

export function reportSteps(measured: readonly StepsMeasured[]) {
  const all = measured.flatMap(({ boundaries }) => boundaries)
  const plain = measured.filter(({ boundaries }) => boundaries.length === 0)
  const stepped = measured.filter(({ boundaries }) => boundaries.length > 0)
  const isFound = ({ offMm }: (typeof all)[number]) => offMm !== null && offMm <= 2
  const offs = all.filter(isFound).map(({ offMm }) => offMm!)
  const bins = [
    [2.5, 4],
    [4, 8],
    [8, 100],
  ].map(([from, to]) => {
    const some = all.filter(({ apart }) => apart >= from! && apart < to!)
    return { from: from!, to: to!, n: some.length, found: share(some.map(isFound)) }
  })
  const figures = {
    boundaries: all.length,
    found: share(all.map(isFound)),
    medianMm: quantile(offs, 0.5),
    p90Mm: quantile(offs, 0.9),
    byApart: bins,
    soft: share(all.filter(({ softMm }) => softMm >= 1).map(isFound)),
    plainPanels: plain.length,
    plainWithBoundary: share(plain.map(({ invented }) => invented > 0)),
    inventedPerStepped: stepped.reduce((sum, { invented }) => sum + invented, 0) / stepped.length,
  }
  console.log(
    `steps                  boundaries ${all.length}  within 2 mm ${percent(figures.found)}  median ${figures.medianMm.toFixed(2)} mm  p90 ${figures.p90Mm.toFixed(2)} mm`,
  )
  for (const { from, to, n, found } of bins) console.log(`  ${from} to ${to} dE00 apart: ${n}, found ${percent(found)}`)
  console.log(
    `  soft edges ${percent(figures.soft)}; panels of one piece with a boundary ${percent(figures.plainWithBoundary)} of ${plain.length}; invented on a stepped panel ${figures.inventedPerStepped.toFixed(2)}`,
  )
  return { group: 'steps', ...figures }
}
