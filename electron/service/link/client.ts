import type { Answer, Ask, Event, FromService } from '../../../shared-core/contract/calls.ts'
import type { Reply } from '../../../shared-core/contract/host.ts'

/** A running service, seen from its host. `end` asks it to leave, `kill` makes it. */
export type Channel = { readonly pid: number | undefined; send(ask: Ask): void; end(): void; kill(): void }
/** Starts a service. `ended` is called once, however it ends. */
export type Starter = (heard: (message: FromService) => void, ended: (why: string) => void) => Channel

export type Limits = {
  /** This many ends within `crashWindowMs`, and the service is not started again. */
  crashes: number
  crashWindowMs: number
  /** Pause before the second start in a row; doubles with each further one. The first is made at once. */
  backOffMs: number
  /** How long a service that was asked to leave may take before it is killed. */
  leaveMs: number
}
const usual: Limits = { crashes: 5, crashWindowMs: 60_000, backOffMs: 250, leaveMs: 5_000 }

export type ServiceClient = {
  call(name: string, input: unknown): Promise<Reply>
  /** Asks the service to leave and waits until it has; calls made from now on are refused. */
  stop(): Promise<void>
  /** The process that works at present. */
  pid(): number | undefined
}

type Waiting = { name: string; resolve(reply: Reply): void }

/**
 * Starts the service and stays with it: matches answers to calls, notices when it ends, starts it again, opens the rack
 * that was open, and only then lets new calls through and says `service.restarted`. A call that was waiting when the
 * service ended is answered `service/stopped` and never repeated: whether it was carried out is not known here.
 */
export function serviceClient(start: Starter, onEvent: (event: Event) => void, limits: Partial<Limits> = {}) {
  const limit = { ...usual, ...limits }
  const waiting = new Map<number, Waiting>()
  /** Calls that came while no service could take them. */
  let held: Array<() => void> = []
  let state: 'running' | 'restarting' | 'given-up' | 'stopping' = 'running'
  /** Counts starts and ends, so that what belongs to an older service is recognised. */
  let turn = 0
  let alive = false
  let openFolder: string | undefined
  let opening = false
  let endedWhileOpening = 0
  let ends: number[] = []
  let lastId = 0
  let left: (() => void) | undefined
  let pause: ReturnType<typeof setTimeout> | undefined
  let channel = begin()

  function begin(): Channel {
    const mine = ++turn
    alive = true
    return start(hear, (why) => {
      if (mine === turn) ended(why)
    })
  }

  function hear(message: FromService): void {
    if ('answer' in message) return answer(message.answer)
    // a job (the demonstration rack) opens a rack too: ask for its folder, so that it can be opened again
    if (message.event.name === 'rack.opened' && state === 'running') void ask('rack.describe', {})
    onEvent(message.event)
  }

  function answer({ id, ...reply }: Answer): void {
    const asked = waiting.get(id)
    if (!asked) return
    waiting.delete(id)
    if (reply.ok) remember(asked.name, reply.value)
    asked.resolve(reply)
  }

  function remember(name: string, value: unknown): void {
    if (name === 'rack.open' || name === 'rack.create') openFolder = (value as { folder: string }).folder
    if (name === 'rack.describe') openFolder = (value as { rack: { folder: string } | null }).rack?.folder
    if (name === 'rack.close') openFolder = undefined
  }

  function ask(name: string, input: unknown): Promise<Reply> {
    return new Promise((resolve) => {
      const id = ++lastId
      waiting.set(id, { name, resolve })
      channel.send({ id, name, input })
    })
  }

  function ended(why: string): void {
    turn++
    alive = false
    const unanswered = [...waiting.values()]
    waiting.clear()
    const refuse = (reply: Reply) => {
      for (const one of unanswered) one.resolve(reply)
    }
    if (state === 'stopping') {
      refuse(closing())
      left?.()
      return
    }
    if (opening) endedWhileOpening++
    opening = false
    const now = Date.now()
    ends = [...ends.filter((at) => now - at < limit.crashWindowMs), now]
    if (ends.length >= limit.crashes) {
      state = 'given-up'
      refuse(givenUp())
      release()
      return
    }
    state = 'restarting'
    refuse(interrupted(why))
    pause = setTimeout(() => void startAgain(why), ends.length === 1 ? 0 : limit.backOffMs * 2 ** (ends.length - 2))
  }

  async function startAgain(why: string): Promise<void> {
    channel = begin()
    const mine = turn
    let rackReopened = false
    // a process is not yet a service: only one that answers has started
    await ask('service.describe', {})
    if (mine !== turn) return
    // a rack that has ended the service twice while it was opened would do so for ever
    if (openFolder !== undefined && endedWhileOpening < 2) {
      opening = true
      rackReopened = (await ask('rack.open', { folder: openFolder })).ok
    }
    if (mine !== turn || state !== 'restarting') return
    opening = false
    if (!rackReopened) openFolder = undefined
    endedWhileOpening = 0
    state = 'running'
    onEvent({ name: 'service.restarted', data: { why, rackReopened } })
    release()
  }

  function release(): void {
    const ready = held
    held = []
    for (const go of ready) go()
  }

  function call(name: string, input: unknown): Promise<Reply> {
    if (state === 'running') return ask(name, input)
    if (state === 'given-up') return Promise.resolve(givenUp())
    if (state === 'stopping') return Promise.resolve(closing())
    return new Promise((resolve) => held.push(() => resolve(call(name, input))))
  }

  async function stop(): Promise<void> {
    if (state === 'stopping') return
    state = 'stopping'
    clearTimeout(pause)
    release()
    if (!alive) return
    await new Promise<void>((resolve) => {
      const late = setTimeout(() => channel.kill(), limit.leaveMs)
      left = () => {
        clearTimeout(late)
        resolve()
      }
      channel.end()
    })
  }

  return { call, stop, pid: () => channel.pid } satisfies ServiceClient
}

const refusal = (message: string, remedy: string): Reply => ({
  ok: false,
  error: { code: 'service/stopped', message, remedy },
})
const closing = () => refusal('Overground is closing.', 'Start it again to go on working.')
const interrupted = (why: string) =>
  refusal(
    `The part of Overground that does the work stopped (${why}) and is being started again.`,
    'Everything saved before is kept. Look whether this last change is there, and make it again if it is not.',
  )
const givenUp = () =>
  refusal(
    'The part of Overground that does the work stopped several times within a minute and was not started again.',
    'Close Overground and start it again. If it happens again with the same rack, restore the last backup of that rack.',
  )
