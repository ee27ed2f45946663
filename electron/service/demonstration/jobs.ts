import { v7 } from 'uuid'
import type { CustomerJob, JobCandidate, JobFormula } from '../../../shared-core/records/customer-job.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'
import type { Changing } from '../../rack/history/change.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { finishCup, pourLine, readCup, startCup } from '../../rack/queries/bench/cups.ts'
import { saveCustomerJob } from '../../rack/queries/bench/customer-jobs.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'
import { savePanel } from '../../rack/queries/panels.ts'
import { listReferences } from '../../rack/queries/references.ts'
import { checkPanelDraft } from '../customer-jobs/check-panel.ts'
import { daysBefore, type JobIdea, jobIdeas } from './workshop/customers.ts'
import { dayOf } from './workshop/drafts.ts'
import { candyMixture } from './workshop/mixtures.ts'
import type { PanelIdea } from './workshop/panels.ts'

/** A check panel that is to be photographed beside the reference. */
export type CheckWanted = { panel: Panel; idea: PanelIdea; referenceId: string; reference: string; takenAt: Date }

const sprayedBefore = 4

/** Customers' jobs, by the same functions that serve the screens. @returns the check panels that have no photo yet */
export async function writeJobs(rack: Rack, panels: readonly Panel[]): Promise<CheckWanted[]> {
  const wanted: CheckWanted[] = []
  for (const idea of jobIdeas) {
    const { job, check } = await rack.change({ label: `add job ${idea.title}` }, (change) =>
      writeJob(change, idea, panels),
    )
    if (check === null || idea.formula === null || job.referenceId === null) continue
    wanted.push({
      panel: await rack.read((db) => readPanel(db, check)),
      idea: idea.formula.idea,
      referenceId: job.referenceId,
      reference: idea.reference,
      takenAt: new Date(daysBefore(daysOf(idea) + 1).getTime() - 4 * 3_600_000),
    })
  }
  return wanted
}

/** How long ago the job's first decision was. */
const daysOf = ({ decided }: JobIdea): number => Math.max(sprayedBefore, ...decided.map((each) => each.daysBefore))

async function writeJob(
  change: Changing,
  idea: JobIdea,
  panels: readonly Panel[],
): Promise<{ job: CustomerJob; check: string | null }> {
  const panelOf = (title: string): Panel => {
    const found = panels.find((panel) => panel.title === title)
    if (!found) throw new Error(`There is no panel ${title}.`)
    return found
  }
  const reference = (await listReferences(change.db)).find(({ name }) => name === idea.reference)
  if (!reference) throw new Error(`There is no reference ${idea.reference}.`)
  const candidates = idea.candidates.map(({ title, coats, note }): JobCandidate => {
    const { id, steps } = panelOf(title)
    return { id: v7(), panelId: id, stepId: steps.find((step) => step.coats === coats)?.id ?? null, recipe: null, note }
  })
  const begun = await saveCustomerJob(change, {
    id: null,
    code: null,
    title: idea.title,
    customer: idea.customer,
    status: idea.status,
    referenceId: reference.id,
    candidates,
    formula: idea.formula && formulaOf(panelOf(idea.formula.like), idea.formula.idea),
    parts: [...idea.parts],
    tolerance: idea.tolerance,
    checks: [],
    decisions: [],
    dueOn: idea.dueInDays === null ? null : dayOf(daysBefore(-idea.dueInDays)),
    notes: idea.notes,
  })
  const check = begun.formula ? await addCheck(change, begun, daysBefore(daysOf(idea) + 2)) : null
  const cupIds = idea.cup && begun.formula ? [await mixCup(change, begun, idea.cup)] : []
  const job = await saveCustomerJob(change, {
    ...begun,
    parts: begun.parts.map((part) => ({ ...part, sprayed: part.sprayed && { ...part.sprayed, cupIds } })),
    checks:
      check === null
        ? []
        : [{ id: v7(), panelId: check, addedAt: daysBefore(daysOf(idea) + 3).toISOString(), note: '' }],
    decisions: idea.decided.map(({ daysBefore: days, who, what, words }) => ({
      at: daysBefore(days).toISOString(),
      who,
      what,
      panelId: what === 'note' ? null : check,
      words,
    })),
  })
  return { job, check }
}

function formulaOf(like: Panel, idea: PanelIdea): JobFormula {
  const candy = like.layers.find(({ kind }) => kind === 'candy')
  const ground = like.layers.find(({ kind }) => kind === 'ground')
  const coats = Math.max(...idea.steps)
  return {
    panelId: like.id,
    stepId: like.steps.find((step) => step.coats === coats)?.id ?? null,
    mixture: candyMixture(idea),
    ground: ground?.name ?? '',
    coats,
    gunSetup: candy?.gunSetup ?? null,
  }
}

async function addCheck(change: Changing, job: CustomerJob, sprayed: Date): Promise<string> {
  const draft = await checkPanelDraft(change.db, job)
  return savePanel(change, { ...draft, status: 'sprayed', sprayedOn: dayOf(sprayed), sprayedBy: 'Wren' })
}

/** Poured as it was wanted, and off the shelf. */
async function mixCup(
  change: Changing,
  job: CustomerJob,
  { ml, title }: { ml: number; title: string },
): Promise<string> {
  if (!job.formula) throw new Error(`Job ${job.title} has no formula.`)
  const cup = await startCup(change, {
    title,
    mixture: job.formula.mixture,
    target: { basis: 'volume', amount: ml, words: '' },
    measure: { by: 'volume', step: 1, dropMl: null },
    cupMl: 300,
    tipMm: job.formula.gunSetup?.tipMm ?? null,
    customerJobId: job.id,
    panelId: null,
  })
  for (const { id, wanted } of cup.lines)
    await pourLine(change, cup, { lineId: id, poured: Math.round(wanted), accepted: false, batch: '' })
  await finishCup(change, await readCup(change.db, cup.id), {
    mixedBy: 'Wren',
    standUntil: null,
    potLifeUntil: null,
    notes: '',
    who: 'Wren',
  })
  return cup.id
}
