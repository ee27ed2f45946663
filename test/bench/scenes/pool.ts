import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import type { AnyGroup, AnyMeasured } from './all-groups.ts'

export type Job = { group: AnyGroup; set: number; seed: string }

/** Measures all sets on as many workers as there are cores; answers come in the order of the jobs. */
export function measureAll(jobs: readonly Job[], size = Math.min(4, availableParallelism())): Promise<AnyMeasured[][]> {
  const answers: AnyMeasured[][] = []
  let [next, done] = [0, 0]
  return new Promise((resolve, reject) => {
    if (jobs.length === 0) return resolve(answers)
    const workers = Array.from(
      { length: Math.min(size, jobs.length) },
      () => new Worker(new URL('./worker.ts', import.meta.url)),
    )
    const stop = () => workers.map((worker) => worker.terminate())
    for (const worker of workers) {
      let at = -1
      const give = () => {
        at = next++
        const job = jobs[at]
        if (job) worker.postMessage(job)
      }
      worker.on('message', (measured: AnyMeasured[]) => {
        answers[at] = measured
        done++
        if (done < jobs.length) return give()
        Promise.all(stop()).then(() => resolve(answers), reject)
      })
      worker.on('error', (error) => {
        void Promise.all(stop()).finally(() => reject(error))
      })
      give()
    }
  })
}
