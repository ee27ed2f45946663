import type { Event } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { IntakeItem, Job } from '../../shared-core/records/job.ts'
import type { Log } from './log.ts'

/** Reports at most this often. */
const reportEveryMs = 100
const endedKept = 20

/** Why a job is asked to end: the user's wish, or the rack is closed and it goes on when that is opened again. */
export type Stop = 'cancelled' | 'suspended'

export type JobHandle = {
  readonly id: string
  readonly signal: AbortSignal
  /** Null while nobody asked it to end. */
  stopped(): Stop | null
  progress(stage: string, done: number, total: number): void
  item(item: IntakeItem): void
  /** What it came to, in words; told with the last report, and in passing where nobody has to do anything about it. */
  conclude(outcome: string, passing?: boolean): void
  /** All that it did to the rack is this one change. */
  changed(changeId: string): void
  /** What the job drew; it is told with the last report. */
  deliver(document: NonNullable<Job['document']>): void
}

export type Jobs = {
  list(): Job[]
  start(
    what: Pick<Job, 'id' | 'kind' | 'label' | 'total' | 'rackFolder'>,
    work: (job: JobHandle) => Promise<void>,
  ): void
  cancel(id: string): void
  /** Asks these jobs to end and waits until they have. */
  stopAll(why: Stop, kind?: Job['kind']): Promise<void>
}

type Running = { job: Job; abort: AbortController; ended: Promise<void> }

/** @param expected makes a refusal of what a drive says that is full or gone */
export function makeJobs(
  emit: (event: Event) => void,
  log: Log,
  expected: (error: unknown) => Promise<unknown> = async (error) => error,
): Jobs {
  const jobs = new Map<string, Running>()

  const start: Jobs['start'] = (what, work) => {
    const job: Job = { ...what, stage: '', done: 0, state: 'running', items: [], error: null }
    const abort = new AbortController()
    let told = 0
    const report = throttled(() => {
      const items = job.items.slice(told)
      emit({ name: 'job.progressed', data: { ...job, items, itemsBefore: told } })
      told = job.items.length
    })
    const handle: JobHandle = {
      id: job.id,
      signal: abort.signal,
      stopped: () => (abort.signal.aborted ? (abort.signal.reason as Stop) : null),
      progress: (stage, done, total) => {
        Object.assign(job, { stage, done, total })
        report.soon()
      },
      item: (item) => {
        job.items.push(item)
        report.soon()
      },
      conclude: (outcome, passing = false) => {
        Object.assign(job, { outcome, passing })
      },
      changed: (changeId) => {
        job.changeId = changeId
      },
      deliver: (document) => {
        job.document = document
      },
    }
    const run = async () => {
      try {
        await work(handle)
        job.state = abort.signal.aborted ? 'cancelled' : 'done'
        if (handle.stopped() === 'suspended') job.stage = 'goes on when the rack is opened again'
      } catch (error) {
        job.state = abort.signal.aborted ? 'cancelled' : 'failed'
        if (job.state === 'failed') job.error = asCaution(await expected(error), log, job.label)
        else if (!(error instanceof Refusal) && error !== abort.signal.reason)
          log.unexpected(error, `${job.label}, ending`)
      }
      report.now()
      forgetOld()
    }
    // a turn later, so that the answer with the job's id is on its way before its first report
    const ended = new Promise<void>((resolve) => setImmediate(resolve)).then(run)
    jobs.set(job.id, { job, abort, ended })
  }

  const forgetOld = () => {
    const over = [...jobs.values()].filter(({ job }) => job.state !== 'running')
    for (const { job } of over.slice(0, Math.max(0, over.length - endedKept))) jobs.delete(job.id)
  }

  return {
    list: () => [...jobs.values()].map(({ job }) => ({ ...job, items: [...job.items] })),
    start,
    cancel: (id) => jobs.get(id)?.abort.abort('cancelled' satisfies Stop),
    stopAll: async (why, kind) => {
      const concerned = [...jobs.values()].filter(({ job }) => job.state === 'running' && (!kind || job.kind === kind))
      for (const { abort } of concerned) abort.abort(why)
      await Promise.all(concerned.map(({ ended }) => ended))
    },
  }
}

function asCaution(error: unknown, log: Log, during: string): Job['error'] {
  if (error instanceof Refusal) return { code: error.code, message: error.message, remedy: error.remedy }
  return log.unexpected(error, during)
}

/** Calls at once, then not again before the time is over; the last call is never lost. */
function throttled(call: () => void): { soon(): void; now(): void } {
  let last = Number.NEGATIVE_INFINITY
  let timer: ReturnType<typeof setTimeout> | undefined
  const now = () => {
    clearTimeout(timer)
    timer = undefined
    last = performance.now()
    call()
  }
  return {
    now,
    soon: () => {
      if (timer) return
      const wait = last + reportEveryMs - performance.now()
      if (wait <= 0) now()
      else timer = setTimeout(now, wait)
    },
  }
}
