import { Worker } from 'node:worker_threads'
import type { FromThread, PhoneStart, ToThread } from './messages.ts'

/** Built: beside this chunk; from source (tests): the .ts file itself. */
const address = new URL(import.meta.url.endsWith('.ts') ? './phone-worker.ts' : './phone-worker.js', import.meta.url)

export type PhoneThread = {
  ask(message: ToThread): void
  /** Ends it at once. */
  end(): Promise<void>
  /** Waits until it has ended; it is ended after `ms`, where that is given. */
  ended(ms?: number): Promise<void>
}

/** @param lost  called once when the thread ended by itself, which is a fault */
export function startPhoneThread(
  start: PhoneStart,
  hear: (told: FromThread) => void,
  lost: (why: unknown) => void,
): PhoneThread {
  const worker = new Worker(address, {
    workerData: start,
    resourceLimits: { maxOldGenerationSizeMb: 256 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  // the service leaves when its host does, whoever is connected
  worker.unref()
  let isOver = false
  const lose = (why: unknown) => {
    if (isOver) return
    isOver = true
    lost(why)
  }
  worker.on('message', hear)
  worker.on('error', lose)
  worker.on('messageerror', lose)
  const over = new Promise<void>((resolve) =>
    worker.once('exit', (code) => {
      resolve()
      lose(`ended with ${code}`)
    }),
  )
  const end = async () => {
    isOver = true
    await worker.terminate()
  }
  return {
    ask: (message) => {
      if (!isOver) worker.postMessage(message)
    },
    end,
    ended: async (ms) => {
      const late = ms === undefined ? undefined : setTimeout(() => void end(), ms)
      await over
      clearTimeout(late)
    },
  }
}
