import { type ChildProcess, fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { serviceArguments, serviceEnvironment } from '../../electron/service/link/node-child.ts'
import type { Event, FromService } from '../../shared-core/contract/calls.ts'
import type { IntakeItem, Job } from '../../shared-core/records/job.ts'

const entry = fileURLToPath(new URL('../../electron/service/main.ts', import.meta.url))

/** The service as its hosts start it: a Node process of its own. */
export type ServiceProcess = {
  readonly child: ChildProcess
  /** What the service said of files that are taken; what is in here was acknowledged. */
  readonly acknowledged: Map<string, IntakeItem>
  /** What was last told of each job. */
  readonly jobs: ReadonlyMap<string, Job>
  readonly call: (name: string, input: unknown) => Promise<unknown>
  kill(): Promise<void>
  leave(): Promise<number | null>
}

export function startService(home: string): ServiceProcess {
  const child = fork(entry, [], {
    execArgv: [...serviceArguments],
    env: { ...serviceEnvironment(), OVERGROUND_HOME: home },
    serialization: 'advanced',
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  })
  const waiting = new Map<number, { resolve(value: unknown): void; reject(error: Error): void }>()
  const acknowledged = new Map<string, IntakeItem>()
  const jobs = new Map<string, Job>()
  let next = 1
  const hear = (event: Event) => {
    if (event.name !== 'job.progressed') return
    jobs.set(event.data.id, event.data)
    for (const item of event.data.items) acknowledged.set(item.name, item)
  }
  child.on('message', (message: FromService) => {
    if ('event' in message) return hear(message.event)
    const { answer } = message
    const call = waiting.get(answer.id)
    if (answer.ok) call?.resolve(answer.value)
    else call?.reject(Object.assign(new Error(answer.error.message), answer.error))
  })
  const exited = new Promise<number | null>((resolve) => child.once('exit', resolve))
  return {
    child,
    acknowledged,
    jobs,
    call: (name, input) =>
      new Promise((resolve, reject) => {
        const id = next++
        waiting.set(id, { resolve, reject })
        child.send({ id, name, input })
      }),
    kill: async () => {
      child.kill('SIGKILL')
      await exited
    },
    leave: async () => {
      if (child.connected) child.disconnect()
      return exited
    },
  }
}
