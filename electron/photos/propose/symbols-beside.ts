import { Worker } from 'node:worker_threads'
import type { FoundSymbol } from '../../../shared-core/records/proposal.ts'
import type { SymbolsTask } from './task.ts'

/** Built: beside this chunk; from source (tests, benches): the .ts file itself. */
const address = new URL(
  import.meta.url.endsWith('.ts') ? './symbols-worker.ts' : './symbols-worker.js',
  import.meta.url,
)

let worker: Worker | null = null

/**
 * Reads symbols in a worker of its own, which is kept for the next photo. One photo at a time.
 * @param task  its pixels are copied: those of a decoder cannot be moved to another thread
 * @throws Error when the worker ends
 */
export async function symbolsBeside(task: SymbolsTask): Promise<FoundSymbol[]> {
  worker ??= new Worker(address, {
    resourceLimits: { maxOldGenerationSizeMb: 512 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  const mine = worker
  // whoever looked at the photo may leave before it is done
  mine.unref()
  const { promise, resolve, reject } = Promise.withResolvers<FoundSymbol[]>()
  const lost = (why: unknown) => {
    worker = null
    reject(new Error(`The reader of symbols ended: ${String(why)}.`))
  }
  mine.once('message', resolve)
  mine.once('error', lost)
  mine.once('exit', lost)
  try {
    mine.postMessage(task)
    return await promise
  } finally {
    mine.removeListener('message', resolve)
    mine.removeListener('error', lost)
    mine.removeListener('exit', lost)
  }
}
