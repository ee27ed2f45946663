import { labToCssColour } from '../../../shared-core/colour/screen.ts'
import type { Shown } from '../../../shared-core/label/job-sheet/lines.ts'
import { placementOf } from '../../../shared-core/label/sheet/placement.ts'
import type { Judged } from '../../../shared-core/match/check-outcome.ts'
import type { CustomerJob } from '../../../shared-core/records/customer-job.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { drawPagesPdf } from '../../print/draw-pages.ts'
import { layOutJobSheet } from '../../print/job-sheet.ts'
import { wordingOf } from '../../print/spray-list.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { listCups } from '../../rack/queries/bench/cups.ts'
import { readCustomerJob } from '../../rack/queries/bench/customer-jobs.ts'
import { readPanelsThere } from '../../rack/queries/panel-read.ts'
import { listReferences } from '../../rack/queries/references.ts'
import { listMaterials } from '../../rack/queries/shelf.ts'
import type { Context } from '../context.ts'
import { pictureForPaper } from '../paper-pictures.ts'
import { judgeChecks } from './judge-checks.ts'

type Drawn = { documentId: string; pageCount: number; fileName: string }

/** The job on paper: what was agreed, mixed, checked and sprayed, with room to write. */
export async function drawJobSheet(context: Context, customerJobId: string): Promise<Drawn> {
  const rack = context.rack()
  const { printing, ...settings } = context.appFiles.settings()
  const { job, facts } = await rack.read(async (db) => {
    const found = await readCustomerJob(db, customerJobId)
    const judged = await judgeChecks(db, found)
    const [reference] = found.referenceId === null ? [] : await listReferences(db, found.referenceId)
    const known = {
      wording: wordingOf(settings),
      referenceName: reference?.name ?? null,
      swatches: swatchesOf(reference?.readings ?? [], judged),
      outcomes: judged.map(({ outcome }) => outcome),
      cups: await listCups(db, { customerJobId: found.id, panelId: null }),
      codes: await codesOf(db, found),
      isocyanates: new Map((await listMaterials(db)).map(({ id, isocyanate }) => [id, isocyanate])),
    }
    return { job: found, facts: known }
  })
  const pages = await layOutJobSheet(job, facts, printing.paper)
  const fileName = `job ${job.code}.pdf`
  const documentId = await context.documents.add(fileName, (path) =>
    drawPagesPdf(pages, path, {
      title: `Job ${job.code}`,
      placement: placementOf(printing.calibration.paper),
      pictureOf: pictureForPaper(rack, new AbortController().signal),
    }),
  )
  return { documentId, pageCount: pages.length, fileName }
}

/** The reference and the newest check panel that was read, side by side. */
function swatchesOf(references: readonly Reading[], judged: readonly Judged[]): Shown[] {
  const last = judged.findLast(({ pair }) => pair !== null)
  const reference = last?.pair?.reference ?? references[0]
  const shown = (under: string, { cut, lab }: Reading): Shown => ({ under, cut, hex: labToCssColour(lab).hex })
  return [
    ...(reference ? [shown('Reference', reference)] : []),
    ...(last?.pair ? [shown(last.outcome.code, last.pair.check)] : []),
  ]
}

async function codesOf(db: Rack['db'], { formula, candidates }: CustomerJob): Promise<Map<string, string>> {
  const ids = [formula?.panelId, ...candidates.map(({ panelId }) => panelId)].filter((id) => typeof id === 'string')
  if (ids.length === 0) return new Map()
  return new Map((await readPanelsThere(db, ids)).map(({ id, code }) => [id, code]))
}
