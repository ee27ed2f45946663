import { Worker } from 'node:worker_threads'
import type { CheckAsk, CheckReply, CheckTaskName, CheckTasks } from './tasks.ts'

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

type Waiting = { done: (answer: unknown) => void; failed: (error: Error) => void }

export function startCheckWorker(): CheckWorker {
  const worker = new Worker(address, {
    resourceLimits: { maxOldGenerationSizeMb: 1024 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  // the service leaves when its host does, whatever is being looked through
  worker.unref()
  const waiting: Waiting[] = []
  let lost: Error | null = null
  const lose = (error: Error) => {
    lost ??= error
    for (const { failed } of waiting.splice(0)) failed(lost)
  }
  worker.on('message', (reply: CheckReply) => {
    const next = waiting.shift()
    if (reply.ok) next?.done(reply.answer)
    else next?.failed(Object.assign(new Error(reply.text), { code: reply.code }))
  })
  worker.on('error', lose)
  worker.on('messageerror', lose)
  worker.on('exit', (code) => lose(new CheckEnded(`The look through ended with ${code}`)))
  return {
    ask: (ask) =>
      new Promise((done, failed) => {
        if (lost) return failed(lost)
        waiting.push({ done: done as (answer: unknown) => void, failed })
        worker.postMessage(ask)
      }),
    end: async () => {
      lose(new CheckEnded('The look through was ended'))
      await worker.terminate()
    },
  }
}

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
