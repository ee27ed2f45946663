import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import {
  CustomerJob,
  type CustomerJobDraft,
  type CustomerJobStatus,
} from '../../../../shared-core/records/customer-job.ts'
import type { CustomerJobRow } from '../../bench-rows.ts'
import type { Changing } from '../../history/change.ts'
import type { Tables } from '../../tables.ts'
import { giveBenchCode } from './bench-codes.ts'
import { withShelfIds } from './cups.ts'

/** Customers' work. What a job lists is kept with it: nothing else looks into it by rows. */

export const customerJobAbsent = () =>
  new Refusal('customer-job/absent', 'This job is not in the rack (any more).', 'Undo brings a removed job back.')

const asJob = (row: CustomerJobRow): CustomerJob => ({
  id: row.id,
  code: row.code,
  title: row.title,
  customer: row.customer,
  status: row.status as CustomerJobStatus,
  referenceId: row.reference_id,
  candidates: JSON.parse(row.candidates) as CustomerJob['candidates'],
  formula: row.formula === null ? null : (JSON.parse(row.formula) as CustomerJob['formula']),
  parts: JSON.parse(row.parts) as CustomerJob['parts'],
  tolerance: row.tolerance,
  checks: JSON.parse(row.checks) as CustomerJob['checks'],
  decisions: JSON.parse(row.decisions) as CustomerJob['decisions'],
  dueOn: row.due_on,
  notes: row.notes,
  createdAt: row.created_at,
})

/** The newest first. @param open  without those that are closed */
export async function listCustomerJobs(db: Kysely<Tables>, open: boolean): Promise<CustomerJob[]> {
  let query = db.selectFrom('customer_job').selectAll().where('deleted_at', 'is', null)
  if (open) query = query.where('status', '!=', 'closed')
  const rows = await query.orderBy('created_at', 'desc').orderBy('code', 'desc').execute()
  return rows.map(asJob)
}

/** @param key  id or code. @throws Refusal `customer-job/absent` */
export async function readCustomerJob(db: Kysely<Tables>, key: string): Promise<CustomerJob> {
  const row = await db
    .selectFrom('customer_job')
    .selectAll()
    .where((e) => e.or([e('id', '=', key), e('code', '=', key.trim())]))
    .where('deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) throw customerJobAbsent()
  return asJob(row)
}

const lists = [
  ['candidates', 'candidates'],
  ['parts', 'parts'],
  ['checks', 'check panels'],
  ['decisions', 'decisions'],
] as const

/** A job that is longer than its record allows could not be shown again, nor could the list of all jobs. */
function mustNotBeTooLong(draft: CustomerJobDraft): void {
  for (const [list, inWords] of lists) {
    if (CustomerJob.shape[list].safeParse(draft[list]).success) continue
    throw new Refusal(
      'customer-job/full',
      `${draft.code === null ? 'This job' : `Job ${draft.code}`} has as many ${inWords} as a job holds.`,
      'Take off what is no longer needed, or begin another job.',
    )
  }
}

/**
 * Makes a job, or brings one to what the draft says.
 * @returns the job as it is kept
 * @throws Refusal `customer-job/absent`, `customer-job/full`
 */
export async function saveCustomerJob(change: Changing, draft: CustomerJobDraft): Promise<CustomerJob> {
  mustNotBeTooLong(draft)
  const old = draft.id === null ? null : await readCustomerJob(change.db, draft.id)
  const id = old?.id ?? v7()
  const formula = draft.formula && { ...draft.formula, mixture: await withShelfIds(change, draft.formula.mixture) }
  const said = {
    title: draft.title,
    customer: draft.customer,
    status: draft.status,
    reference_id: draft.referenceId,
    tolerance: draft.tolerance,
    due_on: draft.dueOn,
    candidates: JSON.stringify(draft.candidates),
    formula: formula && JSON.stringify(formula),
    parts: JSON.stringify(draft.parts),
    checks: JSON.stringify(draft.checks),
    decisions: JSON.stringify(draft.decisions),
    notes: draft.notes,
  }
  if (old) await change.update('customer_job', id, said)
  else {
    const code = await giveBenchCode(change, 'job')
    await change.insert('customer_job', {
      id,
      code,
      ...said,
      created_at: new Date().toISOString(),
      deleted_at: null,
    })
  }
  return readCustomerJob(change.db, id)
}

export async function removeCustomerJob(change: Changing, id: string): Promise<void> {
  await change.update('customer_job', id, { deleted_at: new Date().toISOString() })
}

/** "job J-0007, tank in teal"; empty for one that is gone. */
export async function customerJobWords(db: Kysely<Tables>, id: string): Promise<string> {
  const row = await db.selectFrom('customer_job').select(['code', 'title']).where('id', '=', id).executeTakeFirst()
  return row ? `job ${row.code}, ${row.title}` : ''
}
