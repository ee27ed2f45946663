import { fileURLToPath } from 'node:url'
import type { Event } from '../../shared-core/contract/calls.ts'
import { appFolder, stagingFolder, sweepStaging } from '../service/link/app-folder.ts'
import { sayEnd, serviceClient } from '../service/link/client.ts'
import { gatherDetails } from '../service/link/details.ts'
import { pictureLocator } from '../service/link/located.ts'
import { nodeService } from '../service/link/node-child.ts'
import { newReference, troubleLog } from '../service/link/trouble-log.ts'
import { eventStreams } from './events.ts'
import { newSecret } from './guard.ts'
import { loopbackServer } from './server.ts'

// run from its source (development), the service is started from its source as well
const built = !import.meta.url.endsWith('.ts')
const entry = new URL(built ? './service.js' : '../service/main.ts', import.meta.url)
const pages = fileURLToPath(new URL(built ? '../renderer' : '../../out/renderer', import.meta.url))

const home = appFolder()
const staging = stagingFolder(home)
const log = troubleLog(home, 'browser')
const note = (during: string, error?: unknown) => void log.note(newReference(), during, error)
await sweepStaging(staging)

const events = eventStreams()
const hear = (event: Event) => {
  pictures.hear(event)
  events.send(event)
}
const client = serviceClient(nodeService(process.execPath, entry), hear, {}, (end) => note(sayEnd(end)))
const pictures = pictureLocator(client.call)
const asked = Number(process.env.OVERGROUND_PORT ?? 0)
const server = await loopbackServer({
  call: client.call,
  pictures,
  events,
  pages,
  staging,
  token: newSecret(),
  details: () => gatherDetails(home, 'browser'),
  note,
  port: Number.isInteger(asked) && asked > 0 && asked < 65_536 ? asked : 0,
}).catch(async (error: NodeJS.ErrnoException) => {
  await client.stop()
  const taken = error.code === 'EADDRINUSE'
  console.error(
    taken
      ? `Port ${asked} is used by another program. Choose another with OVERGROUND_PORT, or leave it unset.`
      : `Overground could not listen on 127.0.0.1 (${error.message}).`,
  )
  process.exit(1)
})
console.log(server.address)

let ending = false
function leave(code: number): void {
  if (ending) return
  ending = true
  void Promise.all([server.close(), client.stop()]).then(() => process.exit(code))
}
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => leave(0))
process.on('unhandledRejection', (error) => note('loopback host, a promise', error))
process.on('uncaughtException', (error) => {
  note('loopback host', error)
  console.error('Overground’s host for the browser failed and ends. Everything saved is safe: start it again.')
  leave(1)
})
