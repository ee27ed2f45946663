import type { Input, Output } from '../../../shared-core/contract/calls.ts'
import { coarsenessOf } from '../../../shared-core/match/coarseness.ts'
import { metamerismOf } from '../../../shared-core/match/metamerism.ts'
import { withReasons } from '../../../shared-core/match/order.ts'
import type { Ranked } from '../../../shared-core/match/rank.ts'
import type { Match } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { type Candidate, getReading, listReadingsOf } from '../../rack/queries/readings.ts'
import { listLights } from '../../rack/queries/shelf.ts'
import type { Context } from '../context.ts'
import { readPointOf } from '../point-reading.ts'
import { allowedBy, type Board, boards, cardsOf, countAllowed } from './boards.ts'
import { nearestSteps } from './nearest-steps.ts'

type Ask = Input<'match.findNearest'>

/** The nearest steps to one colour, with what a painter wants to know of each. */
export async function findNearest(ask: Ask, context: Context): Promise<Output<'match.findNearest'>> {
  const rack = context.rack()
  const kept = boards(rack)
  const board = await kept.load(ask.readings.lightId)
  // a point is read before the connection is taken: it opens the photo
  const wanted = 'readingId' in ask.to ? ask.to.readingId : await readPointOf(rack, ask.to)
  return rack.read(async (db) => {
    await kept.freshen(db, board)
    const to = typeof wanted === 'string' ? await getReading(db, wanted) : wanted
    const allowed = await allowedBy(db, board, ask.filter)
    const { sameLimit } = context.appFiles.settings()
    const { weights, within, likeOnly, limit: count } = ask
    const ranked = await nearestSteps(db, board, to, ask.readings, allowed, {
      sameLimit,
      count,
      weights,
      within,
      likeOnly,
    })
    // a step is not its own neighbour
    const own = to.stepId === null ? null : board.steps.step(to.stepId)
    const isOwnCounted =
      own !== null &&
      allowed.panels[own.panel] === 1 &&
      (ask.readings.view === null || board.steps.hasView(own, ask.readings.view))
    const considered = countAllowed(board, allowed, ask.readings.view) - Number(isOwnCounted)
    return { to, matches: withReasons(await described(db, board, to, ranked, sameLimit)), considered }
  })
}

/** What was found, with its panel and all that was read of its step. */
async function described(
  db: Rack['db'],
  board: Board,
  to: Reading,
  ranked: readonly Ranked<Candidate>[],
  sameLimit: number,
): Promise<Match[]> {
  const panelIds = [...new Set(ranked.map(({ candidate }) => candidate.panelId))]
  const cards = await cardsOf(db, board, panelIds)
  const stepIds = ranked.map(({ candidate }) => candidate.stepId)
  const readings = Map.groupBy(await listReadingsOf(db, { stepIds }), ({ stepId }) => stepId)
  const ours = await listReadingsOf(db, {
    stepIds: to.stepId === null ? [] : [to.stepId],
    referenceId: to.referenceId,
  })
  const lights = new Map((await listLights(db)).map(({ id, name }) => [id, name]))
  const lightName = (id: string): string => lights.get(id) ?? 'another light'
  return ranked.map(({ candidate, ...difference }): Match => {
    const { stepId, coats, panelId } = candidate
    const theirs = readings.get(stepId) ?? []
    const card = cards.get(panelId)
    const reading = theirs.find(({ id }) => id === candidate.reading.id)
    if (!card || !reading) throw new Error(`A match without its panel or reading: ${stepId}`)
    return {
      panel: card.summary,
      stepId,
      coats,
      reading,
      ...difference,
      candyLayers: [...card.candies],
      metamerism: metamerismOf(ours, theirs, { lightName, sameLimit }),
      coarseness: coarsenessOf(to, theirs),
      why: [],
    }
  })
}
