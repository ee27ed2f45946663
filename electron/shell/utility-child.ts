import { fileURLToPath } from 'node:url'
import { utilityProcess } from 'electron'
import type { FromService } from '../../shared-core/contract/calls.ts'
import type { Starter } from '../service/link/client.ts'

/** A service that is asked to leave has no channel that closes: it closes the rack, and is then ended. */
const closing = { id: -1, name: 'rack.close', input: {} }

/** The service as a utility process, on macOS and Windows. On Linux native sharp and Electron's GLib do not go together. */
export function utilityService(entry: URL): Starter {
  return (heard, ended) => {
    const { NODE_OPTIONS: _, ...env } = process.env
    const child = utilityProcess.fork(fileURLToPath(entry), [], {
      serviceName: 'Overground service',
      stdio: 'inherit',
      env,
    })
    let leaving = false
    child.on('message', (message: FromService) => {
      if (leaving && 'answer' in message && message.answer.id === closing.id) child.kill()
      else heard(message)
    })
    child.once('exit', (code) => ended(`code ${code}`))
    return {
      get pid() {
        return child.pid
      },
      send: (ask) => child.postMessage(ask),
      end: () => {
        leaving = true
        child.postMessage(closing)
      },
      kill: () => void child.kill(),
    }
  }
}
