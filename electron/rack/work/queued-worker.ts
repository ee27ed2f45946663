import { Worker } from 'node:worker_threads'

export type Queued = {
  /** In the order asked. @throws Error as `failed` or `lost` put it */
  ask: (message: unknown) => Promise<unknown>
  end: () => Promise<void>
}

/** What a worker sends for each message, in their order. */
export type QueuedReply = { ok: true; answer: unknown } | { ok: false; text: string; code?: string | undefined }

type Wording = {
  /** The task itself threw. */
  failed: (text: string, code: string | undefined) => Error
  /** The worker ended, or never began. */
  lost: (why: unknown) => Error
}
type Waiting = { done: (answer: unknown) => void; failed: (error: Error) => void }

/** A worker thread that is asked one thing after the other and keeps what it has between them. */
export function queuedWorker(address: URL, { failed, lost }: Wording): Queued {
  const worker = new Worker(address, {
    resourceLimits: { maxOldGenerationSizeMb: 1024 },
    // flags of the process that started this one, such as a test runner's, are not the worker's
    execArgv: [],
  })
  // the service leaves when its host does, whatever is being worked on
  worker.unref()
  const waiting: Waiting[] = []
  let loss: Error | null = null
  const lose = (why: unknown) => {
    loss ??= lost(why)
    for (const one of waiting.splice(0)) one.failed(loss)
  }
  worker.on('message', (reply: QueuedReply) => {
    const next = waiting.shift()
    if (reply.ok) next?.done(reply.answer)
    else next?.failed(failed(reply.text, reply.code))
  })
  worker.on('error', lose)
  worker.on('messageerror', lose)
  worker.on('exit', (code) => lose(`ended with ${code}`))
  return {
    ask: (message) =>
      new Promise((done, reject) => {
        if (loss) return reject(loss)
        waiting.push({ done, failed: reject })
        worker.postMessage(message)
      }),
    end: async () => {
      lose('was ended')
      await worker.terminate()
    },
  }
}
