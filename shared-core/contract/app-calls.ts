import { z } from 'zod'
import { Job } from '../records/job.ts'
import { Settings } from '../records/settings.ts'
import { command, query } from './call.ts'

/** The service itself, its jobs, the settings of this computer. */
export const appCalls = {
  'service.describe': query({
    input: z.object({}),
    output: z.object({ version: z.string(), node: z.string(), sqlite: z.string(), sharp: z.string(), pid: z.int() }),
    errors: [],
  }),
  /** For hosts: whether the service still answers; a debugger that holds it is no fault. Not offered to pages. */
  'service.ping': query({ input: z.object({}), output: z.object({ inspected: z.boolean() }), errors: [] }),
  /** Answered by the host: starts a service that was given up, with the rack that was open or without it. */
  'service.startAgain': command({
    input: z.object({ withRack: z.boolean() }),
    output: z.object({ rackReopened: z.boolean() }),
    errors: [],
  }),
  /**
   * Keeps what went wrong in the page in the log of this computer. Only the kind of place is told, never what it showed.
   * More than a few within a minute are left out: then there is no reference.
   */
  'app.reportError': command({
    input: z.object({
      kind: z.enum(['drawing', 'script', 'promise', 'policy']),
      place: z.string().max(40),
      name: z.string().max(100),
      message: z.string().max(2000),
      stack: z.string().max(8000),
    }),
    output: z.object({ reference: z.string().nullable() }),
    errors: [],
  }),
  'jobs.list': query({ input: z.object({}), output: z.object({ jobs: z.array(Job) }), errors: [] }),
  'jobs.cancel': command({ input: z.object({ jobId: z.string() }), output: z.object({}), errors: [] }),
  'settings.get': query({ input: z.object({}), output: z.object({ settings: Settings }), errors: [] }),
  'settings.save': command({
    input: z.object({ settings: Settings }),
    output: z.object({ settings: Settings }),
    errors: [],
  }),
  /** For hosts: where a picture's file lies, made first when it is missing. Not offered to pages. */
  'pictures.locate': query({
    input: z.object({ key: z.string().max(200) }),
    output: z.object({ path: z.string(), type: z.string(), inside: z.string() }),
    errors: ['picture/absent', 'picture/given-up'],
  }),
  /** For hosts: the page no longer wants these pictures; what has not been begun is not made. Not offered to pages. */
  'pictures.giveUp': command({
    input: z.object({ keys: z.array(z.string().max(200)).max(1000) }),
    output: z.object({}),
    errors: [],
  }),
  /** For hosts: where a drawn document lies. Not offered to pages. */
  'documents.locate': query({
    input: z.object({ documentId: z.string().max(100) }),
    output: z.object({ path: z.string(), fileName: z.string(), inside: z.string() }),
    errors: ['document/absent'],
  }),
}

/** Calls that a host makes for itself; both hosts refuse them from a page. */
export const hostOnly: ReadonlySet<string> = new Set([
  'service.ping',
  'pictures.locate',
  'pictures.giveUp',
  'documents.locate',
])
