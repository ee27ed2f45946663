import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { CustomerJob, CustomerJobDraft } from '../../../shared-core/records/customer-job.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { listCups } from '../../rack/queries/bench/cups.ts'
import {
  listCustomerJobs,
  readCustomerJob,
  removeCustomerJob,
  saveCustomerJob,
} from '../../rack/queries/bench/customer-jobs.ts'
import { readPanel } from '../../rack/queries/panel-read.ts'
import { savePanel } from '../../rack/queries/panels.ts'
import { getReference } from '../../rack/queries/references.ts'
import { checkPanelDraft } from '../customer-jobs/check-panel.ts'
import { correctJob } from '../customer-jobs/correct.ts'
import { drawJobSheet } from '../customer-jobs/draw-sheet.ts'
import { judgeChecks } from '../customer-jobs/judge-checks.ts'
import { mergeDraft } from '../customer-jobs/merge-draft.ts'
import type { Handlers } from '../dispatch.ts'

/**
 * What a job names anew must be there. What it has named before may be in the trash since: the job is saved all the same.
 * @throws Refusal `customer-job/absent`, `panel/absent`, `reference/absent`
 */
async function mustBeThere(db: Rack['db'], draft: CustomerJobDraft): Promise<void> {
  const old = draft.id === null ? null : await readCustomerJob(db, draft.id)
  if (draft.referenceId !== null && draft.referenceId !== old?.referenceId) await getReference(db, draft.referenceId)
  const named = new Set(old ? panelsOf(old) : [])
  for (const id of new Set(panelsOf(draft))) if (!named.has(id)) await readPanel(db, id)
}

const panelsOf = ({ candidates, formula, checks }: Pick<CustomerJob, 'candidates' | 'formula' | 'checks'>): string[] =>
  [formula?.panelId, ...[...candidates, ...checks].map(({ panelId }) => panelId)].filter((id) => typeof id === 'string')

/** Customers' work, from the reference to the painted part. */
export const customerJobHandlers = {
  'customerJobs.list': async ({ open }, context) => ({ jobs: await listCustomerJobs(context.rack().db, open) }),
  'customerJobs.get': async ({ key }, context) =>
    context.rack().read(async (db) => {
      const job = await readCustomerJob(db, key)
      const cups = await listCups(db, { customerJobId: job.id, panelId: null })
      const judged = await judgeChecks(db, job)
      return { job, outcomes: judged.map(({ outcome }) => outcome), cups }
    }),
  'customerJobs.save': async ({ draft, from }, context) =>
    context.rack().change({ label: draft.id === null ? 'add a job' : 'change a job' }, async (change) => {
      const kept = draft.id === null ? null : await readCustomerJob(change.db, draft.id)
      const wanted = kept && from ? mergeDraft(kept, draft, from) : draft
      await mustBeThere(change.db, wanted)
      const job = await saveCustomerJob(change, wanted)
      await change.relabel(`${draft.id === null ? 'add' : 'change'} job ${job.code}`)
      return { job }
    }),
  'customerJobs.remove': async ({ customerJobId }, context) => {
    await context.rack().change({ label: 'remove a job' }, async (change) => {
      const { id, code } = await readCustomerJob(change.db, customerJobId)
      await removeCustomerJob(change, id)
      await change.relabel(`remove job ${code}`)
    })
    return {}
  },
  'customerJobs.addCheck': async ({ customerJobId, panelId, note }, context) =>
    context.rack().change({ label: 'add a check panel' }, async (change) => {
      const job = await readCustomerJob(change.db, customerJobId)
      // a panel that is there already is taken as it is; a new one is planned from the job's formula
      const checked =
        panelId === null
          ? await savePanel(change, await checkPanelDraft(change.db, job))
          : (await readPanel(change.db, panelId)).id
      // a panel is a check once, however often it is added
      if (job.checks.some((each) => each.panelId === checked)) return { job, panelId: checked }
      const check = { id: v7(), panelId: checked, addedAt: new Date().toISOString(), note }
      const kept = await saveCustomerJob(change, { ...job, checks: [...job.checks, check] })
      const { code } = await readPanel(change.db, checked)
      await change.relabel(`add check panel ${code} to job ${job.code}`, checked)
      return { job: kept, panelId: checked }
    }),
  'customerJobs.correct': (input, context) => correctJob(context, input),
  'customerJobs.recordSprayed': async ({ customerJobId, partId, sprayed }, context) =>
    context.rack().change({ label: 'write down what was sprayed' }, async (change) => {
      const job = await readCustomerJob(change.db, customerJobId)
      const part = job.parts.find(({ id }) => id === partId)
      if (!part)
        throw new Refusal(
          'customer-job/part-absent',
          `Job ${job.code} has no such part (any more).`,
          'Open the job again and choose a part.',
        )
      const parts = job.parts.map((each) => (each.id === partId ? { ...each, sprayed } : each))
      await change.relabel(`write down what was sprayed on ${part.name} of job ${job.code}`)
      return { job: await saveCustomerJob(change, { ...job, parts }) }
    }),
  'customerJobs.drawSheet': ({ customerJobId }, context) => drawJobSheet(context, customerJobId),
} satisfies Partial<Handlers>
