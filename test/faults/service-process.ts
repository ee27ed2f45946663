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
  /** Rejects with the refusal; with `Ended` when the process is no more. */
  readonly call: (name: string, input: unknown) => Promise<unknown>
  /** What it wrote to its error output last, when it is quiet. */
  complaints(): string
  kill(): Promise<void>
  leave(): Promise<number | null>
}

/** The service ended before it answered: whether it did what was asked is not known. */
export class Ended extends Error {}

/** @param quiet  keeps its words to itself */
export function startService(home: string, { quiet = false } = {}): ServiceProcess {
  const child = fork(entry, [], {
    execArgv: [...serviceArguments],
    env: { ...serviceEnvironment(), OVERGROUND_HOME: home },
    serialization: 'advanced',
    stdio: ['ignore', quiet ? 'ignore' : 'inherit', quiet ? 'pipe' : 'inherit', 'ipc'],
  })
  let said = ''
  child.stderr?.on('data', (bytes: Buffer) => {
    said = (said + bytes.toString()).slice(-4000)
  })
  const waiting = new Map<number, { resolve(value: unknown): void; reject(error: Error): void }>()
  const acknowledged = new Map<string, IntakeItem>()
  const jobs = new Map<string, Job>()
  let next = 1
  let over = false
  const hear = (event: Event) => {
    if (event.name !== 'job.progressed') return
    jobs.set(event.data.id, event.data)
    for (const item of event.data.items) acknowledged.set(item.name, item)
  }
  child.on('message', (message: FromService) => {
    if ('event' in message) return hear(message.event)
    const { answer } = message
    const call = waiting.get(answer.id)
    waiting.delete(answer.id)
    if (answer.ok) call?.resolve(answer.value)
    else call?.reject(Object.assign(new Error(answer.error.message), answer.error))
  })
  const exited = new Promise<number | null>((resolve) => {
    child.once('exit', (code) => {
      over = true
      for (const call of waiting.values()) call.reject(new Ended('The service has ended.'))
      waiting.clear()
      resolve(code)
    })
  })
  const call: ServiceProcess['call'] = (name, input) => {
    const answered = new Promise((resolve, reject) => {
      if (over) return reject(new Ended('The service has ended.'))
      const id = next++
      waiting.set(id, { resolve, reject })
      child.send({ id, name, input }, () => undefined)
    })
    // whoever kills a service does not wait for what it was doing
    answered.catch(() => undefined)
    return answered
  }
  return {
    child,
    acknowledged,
    jobs,
    call,
    complaints: () => said,
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
