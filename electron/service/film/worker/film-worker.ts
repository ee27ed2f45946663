import { parentPort } from 'node:worker_threads'
import { performFilm } from './perform.ts'
import type { FilmAsk, FilmReply } from './tasks.ts'

/** Holds the fit of one rack; asks are answered in the order in which they come. */
const port = parentPort
if (!port) throw new Error('The film model runs as a worker.')
port.on('message', (ask: FilmAsk) => {
  let reply: FilmReply
  try {
    reply = { ok: true, answer: performFilm(ask) }
  } catch (error) {
    reply = { ok: false, text: error instanceof Error ? (error.stack ?? error.message) : String(error) }
  }
  port.postMessage(reply)
})
