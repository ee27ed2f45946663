import type { LabelsMeasured } from './measure.ts'
import type { LabelKind } from './plan.ts'

const percent = (read: readonly boolean[]): string =>
  `${((100 * read.filter(Boolean).length) / read.length).toFixed(1)} % of ${read.length}`

export function reportLabels(measured: readonly LabelsMeasured[]) {
  const labels = measured.flatMap((one) => one.labels)
  const readOf = (kind: LabelKind) => labels.filter((label) => label.kind === kind).map(({ read }) => read)
  const all = labels.map(({ read }) => read)
  const invented = measured.reduce((sum, one) => sum + one.invented, 0)
  console.log(
    `labels                 read ${percent(all)}: symbol beside text ${percent(readOf('beside text'))}, alone ${percent(readOf('alone'))}; invented ${invented}`,
  )
  return {
    group: 'labels',
    labels: labels.length,
    read: all.filter(Boolean).length / all.length,
    besideText: readOf('beside text').filter(Boolean).length / readOf('beside text').length,
    alone: readOf('alone').filter(Boolean).length / readOf('alone').length,
    invented,
  }
}
