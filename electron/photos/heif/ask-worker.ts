import { Worker } from 'node:worker_threads'
import type { HeifAnswer, HeifTask } from './task.ts'

/** Built: beside this chunk; from source (tests, benches): the .ts file itself. */
const address = new URL(import.meta.url.endsWith('.ts') ? './heif-worker.ts' : './heif-worker.js', import.meta.url)

/** Two decoders keep two cores busy; more only fill the memory. */
const mostAtOnce = 2
let running = 0
const waiting: (() => void)[] = []

export type Asking = { signal?: AbortSignal | undefined; limitMs: number }

/**
 * Has a worker do one task. Whatever goes wrong in it (a crash, endless work, too little memory) is the answer for this
 * photo alone.
 * @throws only the signal's reason
 */
export async function askHeifWorker(task: HeifTask, { signal, limitMs }: Asking): Promise<HeifAnswer> {
  signal?.throwIfAborted()
  if (running >= mostAtOnce) await new Promise<void>((resolve) => waiting.push(resolve))
  else running++
  try {
    signal?.throwIfAborted()
    return await inWorker(task, signal, limitMs)
  } finally {
    const next = waiting.shift()
    if (next) next()
    else running--
  }
}

async function inWorker(task: HeifTask, signal: AbortSignal | undefined, limitMs: number): Promise<HeifAnswer> {
  const worker = new Worker(address, {
    workerData: task,
    // the decoder's own memory is bounded by the library; this is for the little JavaScript around it
    resourceLimits: { maxOldGenerationSizeMb: 256 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  const { promise, resolve, reject } = Promise.withResolvers<HeifAnswer>()
  const fault = (text: string) => resolve({ ok: false, fault: 'damaged', text })
  const timer = setTimeout(() => fault('took too long'), limitMs)
  const stop = () => reject(signal?.reason)
  signal?.addEventListener('abort', stop, { once: true })
  worker.once('message', resolve)
  worker.once('error', (error) => fault(String(error)))
  worker.once('exit', (code) => fault(`ended with ${code}`))
  try {
    return await promise
  } finally {
    clearTimeout(timer)
    signal?.removeEventListener('abort', stop)
    await worker.terminate()
  }
}
