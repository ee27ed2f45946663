import { fileURLToPath } from 'node:url'
import { appFolder, stagingFolder, sweepStaging } from '../service/link/app-folder.ts'
import { serviceClient } from '../service/link/client.ts'
import { pictureLocator } from '../service/link/located.ts'
import { nodeService } from '../service/link/node-child.ts'
import { eventStreams } from './events.ts'
import { newSecret } from './guard.ts'
import { loopbackServer } from './server.ts'

// run from its source (development), the service is started from its source as well
const built = !import.meta.url.endsWith('.ts')
const entry = new URL(built ? './service.js' : '../service/main.ts', import.meta.url)
const pages = fileURLToPath(new URL(built ? '../renderer' : '../../out/renderer', import.meta.url))

const staging = stagingFolder(appFolder())
await sweepStaging(staging)

const events = eventStreams()
const client = serviceClient(nodeService(process.execPath, entry), (event) => {
  pictures.hear(event)
  events.send(event)
})
const pictures = pictureLocator(client.call)
const asked = Number(process.env.OVERGROUND_PORT ?? 0)
const server = await loopbackServer({
  call: client.call,
  pictures,
  events,
  pages,
  staging,
  token: newSecret(),
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
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
  process.on(signal, () => {
    if (ending) return
    ending = true
    void Promise.all([server.close(), client.stop()]).then(() => process.exit(0))
  })
