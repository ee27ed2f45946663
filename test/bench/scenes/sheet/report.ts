import { quantile } from '../../../../shared-core/capture/statistics.ts'
import { figuresOf, lineOf } from '../figures.ts'
import type { SheetMeasured } from './measure.ts'
import type { SheetGroup } from './sets.ts'

const share = (values: readonly boolean[]): number => values.filter(Boolean).length / values.length
const percent = (value: number): string => `${(100 * value).toFixed(1)} %`
/** Wanted of the geometry. */
const nearMm = 0.5

export function reportSheets(group: SheetGroup, measured: readonly SheetMeasured[]) {
  const read = measured.filter(({ calibrates }) => !calibrates)
  const readings = read.flatMap((one) => one.readings)
  const figures = figuresOf(readings)
  const levels = [...new Set(readings.map(({ level }) => level ?? 'none'))]
  console.log(`${lineOf(group, figures)}  read by ${levels.join(', ')}`)
  const charts = measured.filter(({ calibrates }) => calibrates)
  if (charts.length > 0)
    console.log(
      `  the chart's photo taught the sheet: ${percent(share(charts.map(({ known }) => known)))} of ${charts.length}`,
    )
  const geometry = geometryOf(measured)
  console.log(
    `  sheet found ${percent(geometry.found)} of ${measured.length}; within ${nearMm} mm ${percent(geometry.near)}, median ${geometry.medianMm.toFixed(2)} mm, p90 ${geometry.p90Mm.toFixed(2)} mm (bent sheets: within ${percent(geometry.nearBent)} of ${geometry.bent}); corner hidden: found ${percent(geometry.foundHidden)} of ${geometry.hidden}`,
  )
  console.log(`  panel identified ${percent(geometry.identified)}`)
  const warned = read.filter(({ warnings }) => warnings.length > 0)
  console.log(`  photos with warnings ${percent(warned.length / read.length)}: ${told(warned)}`)
  return {
    group,
    figures,
    levels,
    geometry,
    taught: charts.length > 0 ? share(charts.map(({ known }) => known)) : null,
  }
}

/** Of all photos, those with the chart too; sheets that do not lie flat are told apart. */
function geometryOf(measured: readonly SheetMeasured[]) {
  const flat = measured.filter(({ isBent }) => !isBent)
  const bent = measured.filter(({ isBent }) => isBent)
  const hidden = measured.filter((one) => one.hidden)
  const isNear = ({ farthestMm }: SheetMeasured) => farthestMm !== null && farthestMm <= nearMm
  const away = flat.flatMap(({ farthestMm }) => farthestMm ?? [])
  return {
    found: share(measured.map(({ farthestMm }) => farthestMm !== null && Number.isFinite(farthestMm))),
    near: share(flat.map(isNear)),
    medianMm: quantile(away, 0.5),
    p90Mm: quantile(away, 0.9),
    bent: bent.length,
    nearBent: share(bent.map(isNear)),
    hidden: hidden.length,
    foundHidden: share(hidden.map(({ farthestMm }) => farthestMm !== null)),
    identified: share(measured.map(({ identified }) => identified)),
  }
}

function told(some: readonly SheetMeasured[]): string {
  const counts = new Map<string, number>()
  for (const code of some.flatMap(({ warnings }) => warnings)) counts.set(code, (counts.get(code) ?? 0) + 1)
  const lines = [...counts].toSorted((a, b) => b[1] - a[1]).map(([code, count]) => `${code} ${count}`)
  return lines.join(', ') || '–'
}
