import { placementOf } from '../../../shared-core/label/sheet/placement.ts'
import type { MaterialRef } from '../../../shared-core/records/mixture.ts'
import { drawListPdf, layOutList, wordingOf } from '../../print/spray-list.ts'
import { readFilmRack } from '../../rack/queries/film-observations.ts'
import { readPanels } from '../../rack/queries/panel-read.ts'
import { savePanel } from '../../rack/queries/panels.ts'
import { listMaterials, setOnShelf } from '../../rack/queries/shelf.ts'
import type { Handlers } from '../dispatch.ts'
import { plannedDraft } from '../film/planned-panels.ts'

/** Panels that are to be sprayed, the list to spray them from, and what is on hand for it. */
export const planHandlers = {
  'plan.addPanels': async ({ panels }, context) => {
    const label = panels.length === 1 ? 'plan a panel' : `plan ${panels.length} panels`
    return context.rack().change({ label }, async (change) => {
      const rack = await readFilmRack(change.db)
      const panelIds: string[] = []
      for (const panel of panels) panelIds.push(await savePanel(change, await plannedDraft(change.db, rack, panel)))
      return { panelIds }
    })
  },
  'plan.drawSprayList': async ({ panelIds, cupMl, wording }, context) => {
    const { panels, materials } = await context.rack().read(async (db) => ({
      panels: await readPanels(db, [...new Set(panelIds)]),
      materials: await listMaterials(db),
    }))
    const density = new Map(materials.map(({ id, densityKgPerL }) => [id, densityKgPerL]))
    const densityOf = ({ id }: MaterialRef) => (id === null ? null : (density.get(id) ?? null))
    const settings = context.appFiles.settings()
    const said = wording ?? wordingOf(settings)
    const pages = layOutList(panels, { wording: said, cupMl, densityOf })
    const fileName = 'spray list.pdf'
    const placement = placementOf(settings.printing.calibration.paper)
    const documentId = await context.documents.add(fileName, (path) => drawListPdf(pages, path, placement))
    return { documentId, pageCount: pages.length, fileName }
  },
  'materials.setOnShelf': async ({ materialIds, onShelf }, context) => {
    const where = onShelf ? 'on the shelf' : 'off the shelf'
    await context.rack().change({ label: `put materials ${where}` }, async (change) => {
      const names = await setOnShelf(change, materialIds, onShelf)
      await change.relabel(names.length === 1 ? `put ${names[0]} ${where}` : `put ${names.length} materials ${where}`)
    })
    return {}
  },
} satisfies Partial<Handlers>
