import type { Input } from '../../../shared-core/contract/calls.ts'
import { rankMatches } from '../../../shared-core/match/rank.ts'
import type { LabelPage } from '../../../shared-core/records/label.ts'
import type { Match } from '../../../shared-core/records/match.ts'
import { drawLabelsPdf, layOutLabels } from '../../print/labels.ts'
import { readSummaries } from '../../rack/queries/panel-list.ts'
import { readLayers, readPanels } from '../../rack/queries/panel-read.ts'
import { getReading, listCandidates, readReadings } from '../../rack/queries/readings.ts'
import type { Context } from '../context.ts'
import type { Handlers } from '../dispatch.ts'

/** Finding the nearest panel, and its label. */
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
  'labels.layOut': async (wanted, context) => ({
    pages: (await layOut(context, wanted)).pages,
  }),
  'labels.drawPdf': async (wanted, context) => {
    const { pages, codes } = await layOut(context, wanted)
    const fileName = `${codes.length === 1 ? `label ${codes[0]}` : `labels ${codes[0]} and ${codes.length - 1} more`}.pdf`
    // a code is typed by hand and may hold what a file name may not
    const safeName = fileName.replaceAll(/[<>:"/\\|?*\p{Cc}]/gu, '-')
    const documentId = await context.documents.add(safeName, (path) => drawLabelsPdf(pages, path))
    return { documentId, pageCount: pages.length, fileName: safeName }
  },
} satisfies Partial<Handlers>

async function layOut(
  context: Context,
  { panelIds, size, wording }: Input<'labels.layOut'>,
): Promise<{ pages: LabelPage[]; codes: string[] }> {
  const panels = await context.rack().read((db) => readPanels(db, panelIds))
  const pages = await layOutLabels(panels, size, wording)
  return { pages, codes: panels.map((panel) => panel.code) }
}
