import { Worker } from 'node:worker_threads'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { recordsSuspicious } from '../refusals.ts'
import type { TaskName, TaskReply, Tasks } from './tasks.ts'

/** Built: beside this chunk; from source (tests): the .ts file itself. */
const address = new URL(
  import.meta.url.endsWith('.ts') ? './archive-worker.ts' : './archive-worker.js',
  import.meta.url,
)

/**
 * Processor time, not the clock's: a busy machine makes nobody suspicious. Records of 148 MB take 12 s to prove; five times
 * as much, and half a minute beside, is what no rack needs.
 */
export const mostWorkMs = (byteCount: number): number => 30_000 + (byteCount / 1e6) * 400

/** How often it is looked at. */
const lookMs = 500

/**
 * Has a task done beside everything else; a stop ends it where it is, for it writes nothing but its own working files.
 * @param limitMs  processor time that it may take
 * @throws Refusal of the task, or when it takes longer than `limitMs`; the signal's reason
 */
export function askWorker<N extends TaskName>(
  name: N,
  ask: Tasks[N]['ask'],
  signal: AbortSignal,
  limitMs = Number.POSITIVE_INFINITY,
): Promise<Tasks[N]['answer']> {
  signal.throwIfAborted()
  return new Promise((resolve, reject) => {
    const worker = new Worker(address, {
      workerData: { name, ask },
      // a rack of ten thousand panels takes a tenth of it
      resourceLimits: { maxOldGenerationSizeMb: 1024 },
      // flags of the process that started this one, such as a test runner's, are not the worker's
      execArgv: [],
    })
    // the service leaves when its host does, whatever is being looked through
    worker.unref()
    let reply: TaskReply | undefined
    const stop = () => void worker.terminate()
    signal.addEventListener('abort', stop, { once: true })
    const watch = Number.isFinite(limitMs) ? setInterval(() => void look(), lookMs).unref() : undefined
    const look = async () => {
      const used = await worker.cpuUsage().catch(() => null)
      if (used === null || (used.user + used.system) / 1000 < limitMs) return
      // a statement of SQLite goes on to its end whatever is said to it: nobody waits for that
      end(() => reject(recordsSuspicious('looking through them takes longer than through any rack of their size')))
      stop()
    }
    const end = (settle: () => void) => {
      clearInterval(watch)
      signal.removeEventListener('abort', stop)
      settle()
    }
    worker.on('message', (said: TaskReply) => {
      reply = said
    })
    worker.on('error', (error: Error & { code?: string }) =>
      end(() =>
        reject(
          error.code === 'ERR_WORKER_OUT_OF_MEMORY' ? recordsSuspicious('they take more memory than any rack') : error,
        ),
      ),
    )
    // it has let go of its files then: Windows keeps open ones from being renamed
    worker.on('exit', (code) =>
      end(() => {
        if (signal.aborted) reject(signal.reason as Error)
        else if (reply === undefined) reject(new Error(`The work on an archive ended (${code}).`))
        else if (reply.ok) resolve(reply.answer as Tasks[N]['answer'])
        else if ('refused' in reply)
          reject(new Refusal(reply.refused.code, reply.refused.message, reply.refused.remedy))
        else reject(Object.assign(new Error(reply.text), reply.code === '' ? {} : { code: reply.code }))
      }),
    )
  })
}
