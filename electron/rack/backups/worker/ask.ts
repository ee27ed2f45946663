import { Worker } from 'node:worker_threads'
import type { TaskName, TaskReply, Tasks } from './tasks.ts'

/** Built: beside this chunk; from source (tests): the .ts file itself. */
const address = new URL(import.meta.url.endsWith('.ts') ? './backup-worker.ts' : './backup-worker.js', import.meta.url)

/** The database that was looked at is not whole; `message` says what SQLite found. */
export class NotWhole extends Error {}

export type Asking = {
  signal?: AbortSignal
  /** In bytes. */
  onProgress?: (done: number, total: number) => void
}

/**
 * Has a task done beside everything else.
 * @throws NotWhole; an error with the system's or SQLite's code; the signal's reason
 */
export function askWorker<N extends TaskName>(
  name: N,
  ask: Tasks[N]['ask'],
  { signal, onProgress }: Asking = {},
): Promise<Tasks[N]['answer']> {
  signal?.throwIfAborted()
  return new Promise((resolve, reject) => {
    // flags of the process that started this one, such as a test runner's, are not the worker's
    const worker = new Worker(address, { workerData: { name, ask }, execArgv: [] })
    let settled = false
    const settle = (end: () => void) => {
      if (settled) return
      settled = true
      signal?.removeEventListener('abort', stop)
      end()
    }
    const stop = () => {
      // asked, not ended: it closes its files first
      worker.postMessage('stop')
    }
    signal?.addEventListener('abort', stop)
    worker.on('message', (reply: TaskReply) => {
      if (reply.kind === 'progress') return onProgress?.(reply.done, reply.total)
      // the caller goes on once the worker has let go of its files: Windows keeps open ones from being renamed
      worker.once('exit', () =>
        settle(() => {
          if (signal?.aborted) reject(signal.reason as Error)
          else if (reply.kind === 'done') resolve(reply.answer as Tasks[N]['answer'])
          else if (reply.kind === 'damaged') reject(new NotWhole(reply.what))
          else reject(Object.assign(new Error(reply.text), reply.code === null ? {} : { code: reply.code }))
        }),
      )
    })
    worker.once('error', (error) => settle(() => reject(error)))
    worker.once('exit', (code) => {
      setImmediate(() => settle(() => reject(new Error(`The work on a backup ended (${code}).`))))
    })
  })
}
