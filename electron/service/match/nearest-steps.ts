import { type BoardStep, comesBefore, type NearStep } from '../../../shared-core/match/nearest/step-board.ts'
import {
  type Ranked,
  type Candidate as Ranking,
  type RankOptions,
  rankMatches,
} from '../../../shared-core/match/rank.ts'
import type { ReadingFilter } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { type Candidate, readCandidates } from '../../rack/queries/readings.ts'
import type { Allowed, Board } from './boards.ts'

/** Steps looked at beyond those wanted: most racks have few whose colour depends on the reference. */
const spare = 16

/**
 * The steps nearest to a reading: what `rankMatches` finds among all that are allowed, by looking at few of them. The board
 * says how far each is away at the least; the nearest by that are ranked, and more of them until no other can come before
 * the last one wanted.
 * Source: filter and refine with a lower bound, Seidl and Kriegel, Proc. ACM SIGMOD (1998) 154–165.
 */
export async function nearestSteps(
  db: Rack['db'],
  board: Board,
  to: Reading,
  readings: ReadingFilter,
  allowed: Allowed,
  options: RankOptions,
): Promise<Ranked<Candidate>[]> {
  const accepts = ({ stepId, panel }: BoardStep) => allowed.panels[panel] === 1 && stepId !== to.stepId
  const known = new Map<string, Candidate[]>()
  const take = async (stepIds: readonly string[]) => {
    const fresh = stepIds.filter((stepId) => !known.has(stepId))
    if (fresh.length === 0) return
    for (const stepId of fresh) known.set(stepId, [])
    for (const candidate of await readCandidates(db, fresh, readings)) known.get(candidate.stepId)!.push(candidate)
  }
  for (let count = options.count + spare; ; count *= 2) {
    const { weights, within, likeOnly } = options
    const near = board.steps.nearest(to, {
      count,
      accepts,
      likeOnly,
      weights: weights ?? undefined,
      within: within ?? undefined,
      view: readings.view,
    })
    await take(near.map(({ step }) => step.stepId))
    const ranked = rankMatches(to, [...known.values()].flat(), options)
    const last = near.at(-1)
    const wanted = ranked[options.count - 1]
    if (!last || near.length < count || (wanted && isSure(wanted, last))) return ranked
  }
}

/** Whether none of the steps after `last` can come before this one. */
function isSure<C extends Ranking>({ candidate, de00 }: Ranked<C>, last: NearStep): boolean {
  if (de00 !== last.atLeast) return de00 < last.atLeast
  const { stepId, panelCode, panelCreatedAt } = candidate
  return stepId === last.step.stepId || comesBefore({ stepId, panelCode, panelCreatedAt }, last.step)
}
