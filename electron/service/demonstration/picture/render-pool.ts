import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import type { PhotoPlan } from './plan.ts'
import type { RenderedPhoto } from './render-photo.ts'

export type RenderPool = {
  /** How many photos are drawn at once. */
  size: number
  render: (plan: PhotoPlan) => Promise<RenderedPhoto>
  close: () => Promise<void>
}

type Wait = { plan: PhotoPlan; done: (photo: RenderedPhoto) => void; failed: (error: unknown) => void }

/** Two at a time: more do not help, because decoding and filing want the machine as well. */
export function openRenderPool(size = Math.min(2, availableParallelism())): RenderPool {
  const waiting: Wait[] = []
  const idle: Worker[] = []
  const address = new URL(
    import.meta.url.endsWith('.ts') ? './render-worker.ts' : './render-worker.js',
    import.meta.url,
  )
  const busy = new Map<Worker, Wait>()
  let failure: unknown = null

  const next = (): void => {
    const worker = idle.at(-1)
    const wait = waiting[0]
    if (!worker || !wait) return
    idle.pop()
    waiting.shift()
    busy.set(worker, wait)
    worker.postMessage(wait.plan)
  }
  const fail = (error: unknown): void => {
    failure = error
    for (const wait of [...busy.values(), ...waiting.splice(0)]) wait.failed(error)
    busy.clear()
  }
  const workers = Array.from({ length: size }, () => {
    const worker = new Worker(address)
    worker.on('message', (photo: RenderedPhoto) => {
      busy.get(worker)?.done(photo)
      busy.delete(worker)
      idle.push(worker)
      next()
    })
    worker.on('error', fail)
    idle.push(worker)
    return worker
  })
  return {
    size,
    render: (plan) =>
      new Promise((done, failed) => {
        if (failure) return failed(failure)
        waiting.push({ plan, done, failed })
        next()
      }),
    close: async () => {
      fail(new Error('The renderer was closed.'))
      await Promise.all(workers.map((worker) => worker.terminate()))
    },
  }
}
