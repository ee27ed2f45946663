import { v7 } from 'uuid'
import type { Input } from '../../../shared-core/contract/calls.ts'
import { placementOf, printerFor, unplaced } from '../../../shared-core/label/sheet/placement.ts'
import { nothingSaid, type SafetySaid } from '../../../shared-core/label/text.ts'
import type { PanelSummary } from '../../../shared-core/records/panel.ts'
import type { IndexWanted, Placement, Printable, SheetPage } from '../../../shared-core/records/sheet.ts'
import { drawPagesPdf } from '../../print/draw-pages.ts'
import { layOutPrintable, layOutRackIndex } from '../../print/sheets.ts'
import { listPanels, readSummaries } from '../../rack/queries/panel-list.ts'
import { readPanels } from '../../rack/queries/panel-read.ts'
import { panelAbsent } from '../../rack/queries/panels.ts'
import { describeRack } from '../../rack/queries/rack-info.ts'
import { listMaterials } from '../../rack/queries/shelf.ts'
import type { Context } from '../context.ts'
import type { Handlers } from '../dispatch.ts'
import { pictureForPaper } from '../paper-pictures.ts'

/** Everything that is printed. */
export const sheetHandlers = {
  'sheets.layOut': async ({ wanted, first }, context) => {
    const { pages } = await laidOut(wanted, context)
    return {
      pages: first === null ? pages : pages.slice(0, first),
      pageCount: pages.length,
      placement: placementFor(wanted, context),
    }
  },
  'sheets.drawPdf': async ({ wanted }, context) => {
    const { pages, name } = await laidOut(wanted, context)
    const fileName = fileNameOf(name)
    const placement = placementFor(wanted, context)
    const documentId = await context.documents.add(fileName, (path) =>
      drawPagesPdf(pages, path, { title: name, placement }),
    )
    return { documentId, pageCount: pages.length, fileName }
  },
  'sheets.drawIndex': async ({ wanted }, context) => {
    const rack = context.rack()
    // what cannot be laid out is refused at once, before anything runs
    const { pages, name } = await laidOut(wanted, context)
    const fileName = fileNameOf(name)
    const id = v7()
    const label = 'Drawing the index'
    context.jobs.start({ id, kind: 'index', label, total: pages.length, rackFolder: rack.folder }, async (job) => {
      const pictureOf = pictureForPaper(rack, job.signal)
      const documentId = await context.documents.add(fileName, (path) =>
        drawPagesPdf(pages, path, {
          title: name,
          placement: placementFor(wanted, context),
          pictureOf,
          onPage: (done) => {
            job.signal.throwIfAborted()
            job.progress(label, done, pages.length)
          },
        }),
      )
      job.deliver({ documentId, fileName })
    })
    return { jobId: id }
  },
} satisfies Partial<Handlers>

type Wanted = Input<'sheets.layOut'>['wanted']

async function laidOut(wanted: Wanted, context: Context): Promise<{ pages: SheetPage[]; name: string }> {
  if (wanted.kind === 'index') {
    const { panels, rackName } = await panelsOfIndex(wanted, context)
    return { pages: layOutRackIndex(panels, rackName, wanted), name: `index of ${rackName}` }
  }
  const ids = 'panelIds' in wanted ? [...new Set(wanted.panelIds)] : []
  const { panels, said } =
    ids.length === 0
      ? { panels: [], said: nothingSaid }
      : await context.rack().read(async (db) => {
          const told = new Map((await listMaterials(db)).map(({ id, isocyanate }) => [id, isocyanate]))
          const saidOf: SafetySaid = ({ id }) => (id === null ? null : (told.get(id) ?? null))
          return { panels: await readPanels(db, ids), said: saidOf }
        })
  const pages = await layOutPrintable(wanted, panels, said)
  const codes = wanted.kind === 'cups' ? wanted.cups.map(({ code }) => code) : panels.map(({ code }) => code)
  return { pages, name: nameOf(wanted, codes) }
}

function nameOf(wanted: Printable, codes: readonly string[]): string {
  const [one, many] = {
    labels: ['label', 'labels'],
    cups: ['cup label', 'cup labels'],
    cards: ['card', 'cards'],
    'photo-sheets': ['photo sheet', 'photo sheets'],
    calibration: ['calibration page', ''],
  }[wanted.kind] as [string, string]
  if (codes.length === 0) return one
  return codes.length === 1 ? `${one} ${codes[0]}` : `${many} ${codes[0]} and ${codes.length - 1} more`
}

/** A code and a rack's name are typed by hand and may hold what a file name may not. */
const fileNameOf = (name: string): string => `${name.replaceAll(/[<>:"/\\|?*\p{Cc}]/gu, '-')}.pdf`

async function panelsOfIndex(
  { panelIds, filter, sort }: IndexWanted,
  context: Context,
): Promise<{ panels: PanelSummary[]; rackName: string }> {
  const rack = context.rack()
  const { name: rackName } = await describeRack(rack.db, rack.folder)
  return rack.read(async (db) => {
    if (panelIds === null) return { panels: (await listPanels(db, filter, sort)).panels, rackName }
    const found = await readSummaries(db, panelIds)
    const panels = [...new Set(panelIds)].map((id) => {
      const panel = found.get(id)
      if (!panel) throw panelAbsent()
      return panel
    })
    return { panels, rackName }
  })
}

/** The correction of the printer that this goes to. */
function placementFor(wanted: Wanted, context: Context): Placement {
  if (wanted.kind === 'calibration' && !wanted.corrected) return unplaced
  return placementOf(context.appFiles.settings().printing.calibration[printerFor(wanted)])
}
