import { quantile } from '../../../../shared-core/capture/statistics.ts'
import { type Kind, nearEnough, type ProposalsMeasured } from './measure.ts'

const bins = [0, 0.25, 0.5, 0.7, 0.85, 1.001]
const percent = (value: number): string => `${(100 * value).toFixed(1)} %`
const share = (values: readonly boolean[]): number => values.filter(Boolean).length / values.length

export function reportProposals(measured: readonly ProposalsMeasured[]) {
  const things = measured.flatMap((one) => one.things)
  const proposed = measured.flatMap((one) => one.proposed)
  const kinds: Kind[] = ['panel', 'card', 'chart']
  const found = kinds.map((kind) => {
    const some = things.filter((thing) => thing.kind === kind)
    const overlaps = some.map(({ overlap }) => overlap)
    const isFound = overlaps.map((overlap) => overlap >= nearEnough)
    return {
      kind,
      n: some.length,
      found: share(isFound),
      medianOverlap: quantile(overlaps, 0.5),
      asOther: some.filter(({ overlap, sideways }) => overlap < nearEnough && sideways >= nearEnough).length,
    }
  })
  const wrong = proposed.filter(({ confidence, right }) => confidence >= 0.5 && !right).length / measured.length
  const confidence = bins.slice(1).map((to, i) => {
    const from = bins[i]!
    const some = proposed.filter((one) => one.confidence >= from && one.confidence < to)
    return { from, to: Math.min(1, to), n: some.length, right: share(some.map(({ right }) => right)) }
  })
  for (const one of found)
    console.log(
      `proposals ${one.kind.padEnd(12)} n ${String(one.n).padStart(4)}  IoU ≥ ${nearEnough}: ${percent(one.found)}  median IoU ${one.medianOverlap.toFixed(3)}  taken for something else ${one.asOther}`,
    )
  console.log(`  wrong ones drawn as sure: ${wrong.toFixed(2)} a photo`)
  for (const { from, to, n, right } of confidence)
    console.log(`  confidence ${from.toFixed(2)} to ${to.toFixed(2)}: ${n}, right ${n > 0 ? percent(right) : '–'}`)
  return { group: 'proposals', photos: measured.length, found, wrongPerPhoto: wrong, confidence }
}
