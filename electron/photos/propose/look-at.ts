import { Worker } from 'node:worker_threads'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Found } from '../../../shared-core/records/proposal.ts'
import { refusals } from '../refusals.ts'
import type { LookAnswer, LookTask } from './task.ts'

/** Built: beside this chunk; from source (tests, benches): the .ts file itself. */
const address = new URL(
  import.meta.url.endsWith('.ts') ? './propose-worker.ts' : './propose-worker.js',
  import.meta.url,
)

/** A usual photo takes half a second; the largest, on a slow machine, a minute. */
const mostMs = 120_000
/** The worker is let go when nobody has asked for so long. */
const idleMs = 30_000

let worker: Worker | null = null
let letGo: NodeJS.Timeout | null = null
/** One photo at a time: two would only fill the memory. */
let turn: Promise<unknown> = Promise.resolve()

/**
 * Looks at one photo: panels with their steps, cards, a chart, a photo sheet and symbols. A worker does it, one photo after the
 * other, so the thread that asks goes on.
 * @param path    of any photo that was taken in
 * @param signal  a photo whose turn has not come is not looked at any more; looking at it is broken off
 * @returns       quads in upright photo pixels
 * @throws Refusal as `inspectPhoto`, and photo/damaged for a photo that brings the worker down; or the signal's reason
 */
export async function lookAt(path: string, signal?: AbortSignal): Promise<Found> {
  const mine = turn.then(() => {
    signal?.throwIfAborted()
    return inWorker({ path }, signal)
  })
  turn = mine.catch(() => null)
  return mine
}

/** Ends the worker, where there is one; the next photo starts another. */
export async function endLooking(): Promise<void> {
  if (letGo) clearTimeout(letGo)
  const ended = worker
  worker = null
  await ended?.terminate()
}

async function inWorker(task: LookTask, signal: AbortSignal | undefined): Promise<Found> {
  if (letGo) clearTimeout(letGo)
  worker ??= started()
  const mine = worker
  const { promise, resolve, reject } = Promise.withResolvers<LookAnswer>()
  const lost = () => resolve({ ok: false, refusal: null, text: '' })
  const stop = () => reject(signal?.reason)
  const timer = setTimeout(lost, mostMs)
  timer.unref()
  mine.once('message', resolve)
  mine.once('error', lost)
  mine.once('exit', lost)
  signal?.addEventListener('abort', stop, { once: true })
  try {
    mine.postMessage(task)
    const answer = await promise
    if (answer.ok) return answer.found
    if (answer.refusal) throw new Refusal(answer.refusal.code, answer.refusal.message, answer.refusal.remedy)
    // it ended, hangs, or stumbled over this photo: the next one gets a new worker
    await drop(mine)
    if (answer.text) throw new Error(answer.text)
    throw refusals.damaged()
  } catch (error) {
    if (signal?.aborted) await drop(mine)
    throw error
  } finally {
    clearTimeout(timer)
    signal?.removeEventListener('abort', stop)
    mine.removeListener('message', resolve)
    mine.removeListener('error', lost)
    mine.removeListener('exit', lost)
    letGo = setTimeout(() => void endLooking(), idleMs)
    letGo.unref()
  }
}

async function drop(one: Worker): Promise<void> {
  if (worker === one) worker = null
  await one.terminate()
}

function started(): Worker {
  const one = new Worker(address, {
    resourceLimits: { maxOldGenerationSizeMb: 1024 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  // the service leaves when its host does, whatever is being looked at
  one.unref()
  // an error between two photos has nobody to be told to
  one.on('error', () => {
    if (worker === one) worker = null
  })
  one.on('exit', () => {
    if (worker === one) worker = null
  })
  return one
}
