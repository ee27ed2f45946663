import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { type Judged, judgeCheck } from '../../../shared-core/match/check-outcome.ts'
import type { CustomerJob } from '../../../shared-core/records/customer-job.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPanelsThere } from '../../rack/queries/panel-read.ts'
import { listPanelReadings } from '../../rack/queries/readings.ts'
import { getReference } from '../../rack/queries/references.ts'

/** Each check panel beside the reference; panels that are in the trash are left out. */
export async function judgeChecks(db: Rack['db'], job: CustomerJob): Promise<Judged[]> {
  if (job.checks.length === 0) return []
  const references = job.referenceId === null ? [] : await referenceReadings(db, job.referenceId)
  const ids = job.checks.map(({ panelId }) => panelId)
  const panels = new Map((await readPanelsThere(db, ids)).map((panel) => [panel.id, panel]))
  const judged: Judged[] = []
  for (const { id: checkId, panelId } of job.checks) {
    const panel = panels.get(panelId)
    if (!panel) continue
    const steps = panel.steps.flatMap(({ id, coats }) => (id === null ? [] : [{ id, coats }]))
    const readings = await listPanelReadings(db, panelId)
    const wanted = job.formula?.coats ?? Math.max(0, ...steps.map(({ coats }) => coats))
    judged.push(judgeCheck({ checkId, panelId, code: panel.code, steps, readings }, references, wanted, job.tolerance))
  }
  return judged
}

async function referenceReadings(db: Rack['db'], id: string): Promise<Reading[]> {
  try {
    return (await getReference(db, id)).readings
  } catch (error) {
    // the reference may be in the trash: the job is still shown
    if (error instanceof Refusal) return []
    throw error
  }
}
