import { parentPort } from 'node:worker_threads'
import { perform } from './perform.ts'
import type { CheckAsk, CheckReply } from './tasks.ts'

/** Asks are answered in the order in which they come. */
const port = parentPort
if (!port) throw new Error('Looking through a rack runs as a worker.')
let turn: Promise<void> = Promise.resolve()
port.on('message', (ask: CheckAsk) => {
  turn = turn.then(async () => {
    let reply: CheckReply
    try {
      reply = { ok: true, answer: await perform(ask) }
    } catch (error) {
      const text = error instanceof Error ? (error.stack ?? error.message) : String(error)
      const { code } = error as { code?: unknown }
      reply = { ok: false, text, code: typeof code === 'string' ? code : '' }
    }
    port.postMessage(reply)
  })
})
