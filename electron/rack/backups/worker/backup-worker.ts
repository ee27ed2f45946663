import { parentPort, workerData } from 'node:worker_threads'
import { perform } from './perform.ts'
import { Damaged } from './read-database.ts'
import type { TaskAsk, TaskReply } from './tasks.ts'

/** One task, then it ends. */
const port = parentPort
if (!port) throw new Error('Work on backups runs as a worker.')
let stopped = false
port.on('message', () => {
  stopped = true
})
const tell = (reply: TaskReply) => port.postMessage(reply)

try {
  const answer = await perform(workerData as TaskAsk, {
    onProgress: (done, total) => {
      if (stopped) throw new Error('stopped')
      tell({ kind: 'progress', done, total })
    },
  })
  tell({ kind: 'done', answer })
} catch (error) {
  tell(replyTo(error))
}
port.close()

function replyTo(error: unknown): TaskReply {
  if (error instanceof Damaged) return { kind: 'damaged', what: error.message }
  const { code, message } = error as { code?: unknown; message?: unknown }
  const named = typeof code === 'string' ? code : null
  if (named?.startsWith('SQLITE_CORRUPT') || named === 'SQLITE_NOTADB' || named?.startsWith('SQLITE_IOERR_SHORT'))
    return { kind: 'damaged', what: String(message) }
  return { kind: 'failed', code: named, text: String(message) }
}
