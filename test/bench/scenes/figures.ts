import { quantile } from '../../../shared-core/capture/statistics.ts'
import type { Measured } from './measure.ts'

export type Figures = {
  n: number
  median: number
  p90: number
  p95: number
  /** Share of bounded readings whose error lies within the bound. */
  holds: number | null
  medianBound: number | null
  /** Median error in the thirds of smallest, middle and largest bounds. */
  thirds: [number, number, number] | null
}

type Row = { de00: number; bound90: number | null }

/** Fewer bounded readings than this say nothing by thirds. */
const leastForThirds = 30

export function figuresOf(rows: readonly Row[]): Figures {
  const errors = rows.map(({ de00 }) => de00)
  const bounded = rows
    .flatMap(({ de00, bound90 }) => (bound90 !== null && Number.isFinite(bound90) ? [{ de00, bound90 }] : []))
    .toSorted((a, b) => a.bound90 - b.bound90)
  const size = Math.floor(bounded.length / 3)
  const third = (i: number) =>
    quantile(
      bounded.slice(i * size, (i + 1) * size).map(({ de00 }) => de00),
      0.5,
    )
  const some = bounded.length > 0
  return {
    n: rows.length,
    median: quantile(errors, 0.5),
    p90: quantile(errors, 0.9),
    p95: quantile(errors, 0.95),
    holds: some ? bounded.filter(({ de00, bound90 }) => de00 <= bound90).length / bounded.length : null,
    medianBound: some
      ? quantile(
          bounded.map(({ bound90 }) => bound90),
          0.5,
        )
      : null,
    thirds: bounded.length >= leastForThirds ? [third(0), third(1), third(2)] : null,
  }
}

export function lineOf(name: string, f: Figures): string {
  let line = `${name.padEnd(22)} n ${String(f.n).padStart(4)}  median ${f.median.toFixed(2)}  p90 ${f.p90.toFixed(2)}  p95 ${f.p95.toFixed(2)}`
  if (f.holds !== null && f.medianBound !== null)
    line += `  holds ${f.holds.toFixed(3)}  bound ${f.medianBound.toFixed(2)}`
  if (f.thirds) line += `  thirds ${f.thirds.map((v) => v.toFixed(2)).join(' ')}`
  return line
}

/** How well photos with something wrong are told from others. */
export function alarmsOf(photos: readonly Measured[]): {
  flagged: number
  bad: number
  alarms: number
  good: number
  missed: string[]
  alarmed: string[]
} {
  const bad = photos.filter(({ facts }) => facts.trouble !== null)
  // Paint that really runs into the limit is rightly warned about, and no harm when it is not: neither good nor bad.
  const good = photos.filter(({ facts }) => facts.trouble === null && !facts.clipped)
  const isFlagged = ({ facts, warnings }: Measured) => facts.trouble !== null && warnings.includes(facts.trouble)
  const told = ({ set, facts, warnings }: Measured) =>
    `${facts.trouble ?? facts.group} ${set}: ${warnings.join(' ') || '–'}`
  const alarmed = good.filter(({ warnings }) => warnings.length > 0)
  return {
    flagged: bad.filter(isFlagged).length,
    bad: bad.length,
    alarms: alarmed.length,
    good: good.length,
    missed: bad.filter((one) => !isFlagged(one)).map(told),
    alarmed: alarmed.map(told),
  }
}
