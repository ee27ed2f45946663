import { rankMatches } from '../../../shared-core/match/rank.ts'
import type { Match } from '../../../shared-core/records/match.ts'
import { readSummaries } from '../../rack/queries/panel-list.ts'
import { readLayers } from '../../rack/queries/panel-read.ts'
import { getReading, listCandidates, readReadings } from '../../rack/queries/readings.ts'
import type { Handlers } from '../dispatch.ts'

/** Finding the nearest panel. */
export const matchHandlers = {
  'match.findNearest': async ({ readingId, filter, readings, limit }, context) =>
    context.rack().read(async (db) => {
      const to = await getReading(db, readingId)
      // a step is not its own neighbour
      const candidates = (await listCandidates(db, filter, readings)).filter(({ stepId }) => stepId !== to.stepId)
      const { sameLimit } = context.appFiles.settings()
      const ranked = rankMatches(to, candidates, { sameLimit, count: limit })
      const panelIds = [...new Set(ranked.map(({ candidate }) => candidate.panelId))]
      const summaries = await readSummaries(db, panelIds)
      const candies = await readLayers(db, panelIds, 'candy')
      const whole = await readReadings(
        db,
        ranked.map(({ candidate }) => candidate.reading.id),
      )
      const matches = ranked.map(({ candidate, ...difference }): Match => {
        const panel = summaries.get(candidate.panelId)
        const reading = whole.get(candidate.reading.id)
        if (!panel || !reading) throw new Error(`A match without its panel or reading: ${candidate.stepId}`)
        const { stepId, coats, panelId } = candidate
        return { panel, stepId, coats, reading, ...difference, candyLayers: candies.get(panelId) ?? [] }
      })
      return { to, matches, considered: new Set(candidates.map(({ stepId }) => stepId)).size }
    }),
} satisfies Partial<Handlers>
