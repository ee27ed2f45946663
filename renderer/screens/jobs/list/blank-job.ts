import type { CustomerJobDraft } from '../../../../shared-core/records/customer-job.ts'

/** A job with nothing in it yet. @param tolerance  to begin with, what the user calls the same */
export const blankJob = (title: string, tolerance: number): CustomerJobDraft => ({
  id: null,
  code: null,
  title,
  customer: '',
  status: 'open',
  referenceId: null,
  candidates: [],
  formula: null,
  parts: [],
  tolerance,
  checks: [],
  decisions: [],
  dueOn: null,
  notes: '',
})
