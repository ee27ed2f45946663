import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import type { Answers, Job } from './worker.ts'

/** Works through all jobs on as many workers as there are cores; answers come in the order of the jobs. */
export async function onWorkers<K extends keyof Answers>(
  what: K,
  jobs: readonly Job[],
  size = Math.min(4, availableParallelism()),
): Promise<Answers[K][]> {
  const answers: Answers[K][] = []
  const left = jobs.map((job, at) => ({ job, at }))
  const workers = Array.from(
    { length: Math.min(size, jobs.length) },
    () => new Worker(new URL('./worker.ts', import.meta.url)),
  )
  const workThrough = async (worker: Worker) => {
    for (let next = left.shift(); next; next = left.shift()) answers[next.at] = await ask(worker, what, next.job)
  }
  try {
    await Promise.all(workers.map(workThrough))
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()))
  }
  return answers
}

function ask<K extends keyof Answers>(worker: Worker, what: K, job: Job): Promise<Answers[K]> {
  return new Promise((resolve, reject) => {
    const done = () => worker.off('message', answered).off('error', failed)
    const answered = (answer: Answers[K]) => {
      done()
      resolve(answer)
    }
    const failed = (error: Error) => {
      done()
      reject(error)
    }
    worker.on('message', answered).on('error', failed)
    worker.postMessage({ what, job })
  })
}
