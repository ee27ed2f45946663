import { type Group as ReadGroup, usualCount as usualReadCount } from './groups.ts'
import { type LabelsMeasured, measureLabels } from './labels/measure.ts'
import { type Measured, measureSet } from './measure.ts'
import { measureProposals, type ProposalsMeasured } from './proposals/measure.ts'
import { measureSheets, type SheetMeasured } from './sheet/measure.ts'
import { measureSteps, type StepsMeasured } from './steps/measure.ts'

export type AnyMeasured = Measured | SheetMeasured | StepsMeasured | ProposalsMeasured | LabelsMeasured
export type AnyGroup = AnyMeasured['group']

/** How many sets a full run makes of each group: 400 readings, boundaries or things, 200 labels. */
export const usualCounts: Record<AnyGroup, number> = {
  ...usualReadCount,
  'sheet-known': 100,
  'sheet-new': 400,
  steps: 220,
  proposals: 200,
  labels: 100,
}
export const allGroups = Object.keys(usualCounts) as AnyGroup[]

const isReadGroup = (group: AnyGroup): group is ReadGroup => group in usualReadCount

/** Renders and looks at one set of photos. */
export function measureAny(group: AnyGroup, set: number, seed: string): Promise<AnyMeasured[]> {
  if (isReadGroup(group)) return measureSet(group, set, seed)
  if (group === 'steps') return measureSteps(set, seed)
  if (group === 'proposals') return measureProposals(set, seed)
  if (group === 'labels') return measureLabels(set, seed)
  return measureSheets(group, set, seed)
}

/** Those of one group. */
export const ofGroup = <G extends AnyGroup>(measured: readonly AnyMeasured[], group: G) =>
  measured.filter((one): one is Extract<AnyMeasured, { group: G }> => one.group === group)
