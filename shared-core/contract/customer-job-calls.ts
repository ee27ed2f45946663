import { z } from 'zod'
import { Cup } from '../records/cup.ts'
import { CheckOutcome, Correction, CustomerJob, CustomerJobDraft, PartToPaint } from '../records/customer-job.ts'
import { command, query } from './call.ts'

/** Customers' work, from the reference to the painted part. */
export const customerJobCalls = {
  /** The newest first. `open`: without those that are closed. */
  'customerJobs.list': query({
    input: z.object({ open: z.boolean() }),
    output: z.object({ jobs: z.array(CustomerJob) }),
    errors: [],
  }),
  'customerJobs.get': query({
    /** Id or code. */
    input: z.object({ key: z.string().min(1).max(100) }),
    output: z.object({ job: CustomerJob, outcomes: z.array(CheckOutcome), cups: z.array(Cup) }),
    errors: ['customer-job/absent'],
  }),
  /**
   * `from`: the job as it was read. What the draft leaves as it was there stays as it is kept by now, whoever changed it
   * since, entry by entry in its lists. Left out: the job becomes what the draft says.
   */
  'customerJobs.save': command({
    input: z.object({ draft: CustomerJobDraft, from: CustomerJobDraft.optional() }),
    output: z.object({ job: CustomerJob }),
    errors: ['customer-job/absent', 'customer-job/full', 'panel/absent', 'reference/absent'],
  }),
  /** Its cups and check panels stay. */
  'customerJobs.remove': command({
    input: z.object({ customerJobId: z.string() }),
    output: z.object({}),
    errors: ['customer-job/absent'],
  }),
  /** Makes a planned panel of the job's formula, to be sprayed, photographed and compared as its check panel. */
  'customerJobs.addCheck': command({
    input: z.object({ customerJobId: z.string(), panelId: z.string().nullable(), note: z.string().max(1000) }),
    output: z.object({ job: CustomerJob, panelId: z.string() }),
    errors: ['customer-job/absent', 'customer-job/full', 'customer-job/no-formula', 'panel/absent'],
  }),
  /** What to change, from a check panel that has been read; the best first. `partIsSprayed`: coats can only be added. */
  'customerJobs.correct': query({
    input: z.object({ customerJobId: z.string(), checkId: z.string(), partIsSprayed: z.boolean() }),
    output: z.object({ corrections: z.array(Correction), words: z.string() }),
    errors: ['customer-job/absent', 'customer-job/no-formula', 'reading/absent', 'film/knows-nothing'],
  }),
  /** What was sprayed on one part; null takes it back. */
  'customerJobs.recordSprayed': command({
    input: z.object({ customerJobId: z.string(), partId: z.string(), sprayed: PartToPaint.shape.sprayed }),
    output: z.object({ job: CustomerJob }),
    errors: ['customer-job/absent', 'customer-job/part-absent'],
  }),
  /** The job on paper: reference, formula, surface, cups, checks, what was sprayed, cautions, and room to write. */
  'customerJobs.drawSheet': query({
    input: z.object({ customerJobId: z.string() }),
    output: z.object({ documentId: z.string(), pageCount: z.int(), fileName: z.string() }),
    errors: ['customer-job/absent'],
  }),
}
