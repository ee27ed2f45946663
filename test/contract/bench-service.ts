import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { type Context, openContext } from '../../electron/service/context.ts'
import { dispatch } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import type { CallName, Event, Failure, Input, Output } from '../../shared-core/contract/calls.ts'
import type { Job } from '../../shared-core/records/job.ts'
import { freshFolder } from '../rack/fresh.ts'

/** The service in this process: real rack, real photos, through dispatch. */
export type BenchService = {
  readonly context: Context
  readonly folder: string
  readonly events: Event[]
  /** What a call answers; a refusal is thrown as a value. */
  readonly call: <N extends CallName>(name: N, input: Input<N>) => Promise<Output<N>>
  /** The failure of a call that has to fail. */
  readonly refusal: (name: string, input: unknown) => Promise<Failure>
  readonly ended: (jobId: string) => Promise<Job>
}

/** @param given  without `lookAt` nobody looks at photos in the background */
export async function benchService(given: Parameters<typeof openContext>[2] = {}): Promise<BenchService> {
  const folder = freshFolder()
  const events: Event[] = []
  mkdirSync(join(folder, 'app'))
  const quietly = { lookAt: null, ...given }
  const context = await openContext(join(folder, 'app'), (event) => void events.push(event), quietly)
  onTestFinished(() => context.close())
  return {
    context,
    folder,
    events,
    call: async (name, input) => {
      const reply = await dispatch(name, input, context, handlers)
      if (!reply.ok) throw Object.assign(new Error(`${name}: ${reply.error.code} ${reply.error.message}`), reply.error)
      return reply.value as Output<typeof name>
    },
    refusal: async (name, input) => {
      const reply = await dispatch(name, input, context, handlers)
      if (reply.ok) throw new Error(`${name} did not fail`)
      return reply.error
    },
    ended: async (jobId) => {
      for (;;) {
        const job = context.jobs.list().find(({ id }) => id === jobId)
        if (job && job.state !== 'running') return job
        await new Promise((resolve) => setTimeout(resolve, 10))
      }
    },
  }
}
