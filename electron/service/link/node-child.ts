import { fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { FromService } from '../../../shared-core/contract/calls.ts'
import type { Starter } from './client.ts'

/** A service whose channel is closed is given this long to end by itself. */
const deafMs = 10_000

/**
 * What a service's process is started with. Options meant for the host (a loader, an inspector) would reach the service as
 * well. By default glibc keeps memory apart for each thread, and decoding leaves much of it unused in all of them: two such
 * pools, given back above a megabyte, take half as much, and no longer (mallopt(3), M_ARENA_MAX and M_TRIM_THRESHOLD).
 */
export function serviceEnvironment(): NodeJS.ProcessEnv {
  const { NODE_OPTIONS: _, ...env } = process.env
  return { MALLOC_ARENA_MAX: '2', MALLOC_TRIM_THRESHOLD_: '1048576', ...env }
}

/** Megabytes for what was made last: most of it is gone a moment later, and a larger half only waits to be used. */
export const serviceArguments: readonly string[] = ['--max-semi-space-size=8']

/**
 * The service as a plain Node child.
 * @param execPath Node's executable, 24 or later
 * @param entry    the service's entry file
 */
export function nodeService(execPath: string, entry: URL): Starter {
  return (heard, ended) => {
    const child = fork(fileURLToPath(entry), [], {
      execPath,
      execArgv: [...serviceArguments],
      env: serviceEnvironment(),
      serialization: 'advanced',
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
      // in a group of its own, Ctrl-C reaches the host alone, which then asks the service to leave; a service whose host
      // is gone leaves when the channel closes. On Windows this would open a console window.
      detached: process.platform !== 'win32',
    })
    let over = false
    const end = (why: string) => {
      if (over) return
      over = true
      ended(why)
    }
    child.on('message', (message) => heard(message as FromService))
    child.once('exit', (code, signal) => end(signal === null ? `code ${code}` : `signal ${signal}`))
    child.on('error', (error) => {
      // a child that could not be started has no exit; other errors (a failed send) are followed by one
      if (child.pid === undefined) end(error.message)
    })
    child.once('disconnect', () => {
      setTimeout(() => {
        if (!over) child.kill('SIGKILL')
      }, deafMs).unref()
    })
    return {
      pid: child.pid,
      send: (ask) => {
        // a send to a service that is just ending fails; its end answers the call
        if (child.connected) child.send(ask, () => undefined)
      },
      end: () => {
        if (child.connected) child.disconnect()
      },
      kill: () => void child.kill('SIGKILL'),
    }
  }
}
