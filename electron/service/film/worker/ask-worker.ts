import { Worker } from 'node:worker_threads'
import type { FilmAsk, FilmReply, FilmTaskName, FilmTasks } from './tasks.ts'

/** Built: beside this chunk; from source (tests): the .ts file itself. */
const address = new URL(import.meta.url.endsWith('.ts') ? './film-worker.ts' : './film-worker.js', import.meta.url)

/** The worker ended, or never began: not the fault of what was asked. */
export class WorkerLost extends Error {}

export type FilmWorker = {
  /** @throws WorkerLost when the worker ended; Error when the task itself failed, which is a bug */
  ask: <N extends FilmTaskName>(ask: FilmAsk<N>) => Promise<FilmTasks[N]['answer']>
  end: () => Promise<void>
}

type Waiting = { done: (answer: unknown) => void; failed: (error: Error) => void }

export function startFilmWorker(): FilmWorker {
  const worker = new Worker(address, {
    resourceLimits: { maxOldGenerationSizeMb: 1024 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  // the service leaves when its host does, whatever is being worked out
  worker.unref()
  const waiting: Waiting[] = []
  let lost: WorkerLost | null = null
  const lose = (why: string) => {
    lost ??= new WorkerLost(why)
    for (const { failed } of waiting.splice(0)) failed(lost)
  }
  worker.on('message', (reply: FilmReply) => {
    const next = waiting.shift()
    if (reply.ok) next?.done(reply.answer)
    else next?.failed(new Error(`The film model failed: ${reply.text}`))
  })
  worker.on('error', (error) => lose(String(error)))
  worker.on('messageerror', (error) => lose(String(error)))
  worker.on('exit', (code) => lose(`ended with ${code}`))
  return {
    ask: (ask) =>
      new Promise((done, failed) => {
        if (lost) return failed(lost)
        waiting.push({ done: done as (answer: unknown) => void, failed })
        worker.postMessage(ask)
      }),
    end: async () => {
      lose('was ended')
      await worker.terminate()
    },
  }
}
