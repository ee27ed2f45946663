import { parentPort } from 'node:worker_threads'
import { measureAny } from './all-groups.ts'
import type { Job } from './pool.ts'

/** Renders and reads sets beside the main thread, one at a time. */
const port = parentPort
if (!port) throw new Error('Scenes are measured in a worker.')
port.on('message', ({ group, set, seed }: Job) => {
  measureAny(group, set, seed).then(
    (measured) => port.postMessage(measured),
    (error: unknown) => {
      throw new Error(`${group} ${set} (${seed}) could not be measured.`, { cause: error })
    },
  )
})
