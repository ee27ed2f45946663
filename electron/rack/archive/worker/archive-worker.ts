import { parentPort, workerData } from 'node:worker_threads'
import { perform } from './perform.ts'
import { replyToError, type TaskAsk } from './tasks.ts'

/** One task, then it ends. */
const port = parentPort
if (!port) throw new Error('Work on archives runs as a worker.')
try {
  port.postMessage({ ok: true, answer: await perform(workerData as TaskAsk) })
} catch (error) {
  port.postMessage(replyToError(error))
}
port.close()
