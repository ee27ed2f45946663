import { queuedWorker } from '../../work/queued-worker.ts'
import type { CheckAsk, CheckTaskName, CheckTasks } from './tasks.ts'

/** Built: beside this chunk; from source (tests): the .ts file itself. */
const address = new URL(import.meta.url.endsWith('.ts') ? './check-worker.ts' : './check-worker.js', import.meta.url)

/** Looks through databases and files beside the service, which goes on answering. */
export type CheckWorker = {
  /** In the order asked. @throws Error as the task threw it, with its code; or because the worker was ended */
  ask: <N extends CheckTaskName>(ask: CheckAsk<N>) => Promise<CheckTasks[N]['answer']>
  /** Comes back once its connections are closed. */
  end: () => Promise<void>
}

export class CheckEnded extends Error {}

export const startCheckWorker = (): CheckWorker =>
  queuedWorker(address, {
    failed: (text, code) => Object.assign(new Error(text), { code }),
    lost: (why) => (why instanceof Error ? why : new CheckEnded(`The look through ${String(why)}`)),
  }) as CheckWorker

/** One piece of work in a worker of its own. */
export async function withCheckWorker<T>(signal: AbortSignal, work: (worker: CheckWorker) => Promise<T>): Promise<T> {
  signal.throwIfAborted()
  const worker = startCheckWorker()
  const stop = () => void worker.end()
  signal.addEventListener('abort', stop)
  try {
    return await work(worker)
  } catch (error) {
    throw signal.aborted ? signal.reason : error
  } finally {
    signal.removeEventListener('abort', stop)
    await worker.end()
  }
}
