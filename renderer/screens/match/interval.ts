import type { Match } from '../../../shared-core/records/match.ts'

/** Figures that may stand at the end of the axis, in dE00. */
const ends = [5, 10, 20, 50, 100] as const

/** The end of the axis: the first round figure that holds the nearest candidates' intervals whole. */
export function axisEnd(matches: readonly Pick<Match, 'de00' | 'bound90'>[]): number {
  const near = matches.slice(0, 8).map((m) => m.de00 + m.bound90)
  return ends.find((end) => near.every((value) => value <= end)) ?? 100
}

/** The six figures below an axis. */
export function axisMarks(end: number): number[] {
  return [0, 1, 2, 3, 4, 5].map((i) => (i * end) / 5)
}

/** Where the line stands between "could be the same" and "surely different": after the last row that could be. */
export function dividingRow(matches: readonly Pick<Match, 'couldBeSame'>[]): number {
  return matches.findLastIndex((m) => m.couldBeSame) + 1
}
