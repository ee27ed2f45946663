import { setTimeout as sleep } from 'node:timers/promises'
import type { Rack } from '../../../rack/opening/open.ts'
import type { JobHandle, Jobs } from '../../jobs.ts'

/** Whoever asks for the report is looking at it for so long. */
const watchedForMs = 8000
const lookedAt = new WeakMap<Rack, number>()

export const noteWatching = (rack: Rack): void => void lookedAt.set(rack, performance.now())

const isWatched = (rack: Rack): boolean => performance.now() - (lookedAt.get(rack) ?? -Infinity) < watchedForMs

/** What has the drive to itself while it runs. */
const others = new Set(['intake', 'notebook', 'import', 'archive', 'backup', 'restore', 'copy', 'demonstration'])

/**
 * How a look through rests: never while other work runs, and three times as long as it worked, unless somebody watches.
 * @returns to be awaited after each file, with how long it took
 */
export function pace(rack: Rack, job: JobHandle, jobs: Jobs): (workedMs: number) => Promise<void> {
  const wait = (ms: number) => sleep(ms, undefined, { signal: job.signal, ref: false }).catch(() => undefined)
  return async (workedMs) => {
    while (!job.signal.aborted && jobs.list().some((other) => other.state === 'running' && others.has(other.kind)))
      await wait(300)
    if (!job.signal.aborted && !isWatched(rack)) await wait(Math.min(2000, Math.max(5, 3 * workedMs)))
  }
}
