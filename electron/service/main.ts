import type { Ask, Event, FromService } from '../../shared-core/contract/calls.ts'
import { type Context, openContext } from './context.ts'
import { answerTo } from './dispatch.ts'
import { handlers } from './handlers/all.ts'
import { appFolder } from './link/app-folder.ts'
import type { Log } from './log.ts'

/** Entry of the service process: Electron's utility process, or a Node child. */

type ParentPort = {
  on(event: 'message', listener: (message: { data: Ask }) => void): void
  postMessage(message: FromService): void
}
const { parentPort } = process as unknown as { parentPort?: ParentPort }

function send(message: FromService): void {
  if (parentPort) parentPort.postMessage(message)
  // the host may be gone between asking and being answered: then nobody waits any more
  else if (process.connected) process.send?.(message, undefined, undefined, () => undefined)
}

const home = appFolder()
// a folder that it was started from may go away (a stick that is pulled out), and no worker starts without one
process.chdir(home)
const context: Promise<Context> = openContext(home, (event: Event) => send({ event }))

async function take(ask: Ask): Promise<void> {
  send({ answer: await answerTo(ask, await context, handlers) })
}

let leaving = false
async function leave(): Promise<void> {
  if (leaving) return
  leaving = true
  try {
    await (await context).close()
    process.exit(0)
  } catch (error) {
    console.error('The rack could not be closed properly:', error)
    process.exit(1)
  }
}

// the process ends right after this: there is no time to ask the rack for names
let log: Log | undefined
void context.then((ready) => {
  log = ready.log
})
process.on('uncaughtExceptionMonitor', (error) => log?.last(error))
process.on('SIGTERM', () => void leave())
// Ctrl-C reaches the whole group: the host decides, and disconnects
process.on('SIGINT', () => undefined)
if (parentPort) {
  parentPort.on('message', ({ data }) => void take(data))
} else {
  process.on('message', (ask: Ask) => void take(ask))
  process.on('disconnect', () => void leave())
}
