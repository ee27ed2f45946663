import { parentPort } from 'node:worker_threads'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { look } from './look.ts'
import { symbolsBeside } from './symbols-beside.ts'
import type { LookAnswer, LookTask } from './task.ts'

/** Looks at one photo after the other; what it has compiled and loaded serves the next. */
const port = parentPort
if (!port) throw new Error('Looking at photos runs as a worker.')
port.on('message', (task: LookTask) => {
  void answerTo(task).then((answer) => port.postMessage(answer))
})

async function answerTo({ path }: LookTask): Promise<LookAnswer> {
  try {
    return { ok: true, found: await look(path, symbolsBeside) }
  } catch (error) {
    if (error instanceof Refusal) {
      const { code, message, remedy } = error
      return { ok: false, refusal: { code, message, remedy }, text: message }
    }
    return { ok: false, refusal: null, text: error instanceof Error ? (error.stack ?? error.message) : String(error) }
  }
}
