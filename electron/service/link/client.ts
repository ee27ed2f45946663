import type { Answer, Ask, Event, FromService } from '../../../shared-core/contract/calls.ts'
import type { Reply } from '../../../shared-core/contract/host.ts'
import type { RackInfo } from '../../../shared-core/records/rack.ts'
import { takesLong, type Watch, type WatchLimits, watchOver } from './watch.ts'

/** A running service, seen from its host. `end` asks it to leave, `kill` makes it. */
export type Channel = { readonly pid: number | undefined; send(ask: Ask): void; end(): void; kill(): void }
/** Starts a service. `ended` is called once, however it ends. */
export type Starter = (heard: (message: FromService) => void, ended: (why: string) => void) => Channel

export type Limits = WatchLimits & {
  /** This many ends within `crashWindowMs`, and the service is not started again. */
  crashes: number
  crashWindowMs: number
  /** Pause before the second start in a row; doubles with each further one. The first is made at once. */
  backOffMs: number
  /** How long a service that was asked to leave may take before it is killed. */
  leaveMs: number
}
const usual: Limits = {
  crashes: 5,
  crashWindowMs: 60_000,
  backOffMs: 250,
  leaveMs: 5_000,
  askEveryMs: 5_000,
  hungMs: 60_000,
  patientMs: 15 * 60_000,
}

export type ServiceClient = {
  call(name: string, input: unknown): Promise<Reply>
  /** Asks the service to leave and waits until it has; calls made from now on are refused. */
  stop(): Promise<void>
  /** The process that works at present. */
  pid(): number | undefined
}

type Remembered = { folder: string; access?: RackInfo['access'] }
type Waiting = { name: string; resolve(reply: Reply): void }

/** How a service ended, for the host's log: what it was doing, never with what. */
export type ServiceEnd = { why: string; pid: number | undefined; during: readonly string[]; rackWasOpen: boolean }

/**
 * Starts the service and stays with it: matches answers to calls, notices when it ends, starts it again, opens the rack
 * that was open, and only then lets new calls through and says `service.restarted`. A call that was waiting when the
 * service ended is answered `service/stopped` and never repeated: whether it was carried out is not known here.
 */
export function serviceClient(
  start: Starter,
  onEvent: (event: Event) => void,
  limits: Partial<Limits> = {},
  onEnd: (end: ServiceEnd) => void = () => undefined,
) {
  const limit = { ...usual, ...limits }
  const waiting = new Map<number, Waiting>()
  /** Calls that came while no service could take them. */
  let held: Array<() => void> = []
  let state: 'running' | 'restarting' | 'given-up' | 'stopping' = 'running'
  /** Counts starts and ends, so that what belongs to an older service is recognised. */
  let turn = 0
  let alive = false
  let openFolder: string | undefined
  let onlyRead = false
  let opening = false
  let endedWhileOpening = 0
  let ends: number[] = []
  let lastId = 0
  let left: (() => void) | undefined
  let pause: ReturnType<typeof setTimeout> | undefined
  /** Jobs that run, by id: their kinds of work may hold the service for long. */
  const running = new Set<string>()
  let watch: Watch | undefined
  /** Set when this side ends a service that hangs: its end is then told so. */
  let hangs = false
  let gaveUpWhy = ''
  let channel = begin()

  function begin(): Channel {
    const mine = ++turn
    alive = true
    hangs = false
    const begun = start(hear, (why) => {
      if (mine === turn) ended(hangs ? 'it no longer answered' : why)
    })
    watch = watchOver(() => ask('service.ping', {}), isBusy, kill, limit)
    return begun
  }

  function isBusy(): boolean {
    return running.size > 0 || [...waiting.values()].some(({ name }) => takesLong(name))
  }

  function kill(): void {
    hangs = true
    channel.kill()
  }

  function hear(message: FromService): void {
    if ('answer' in message) return answer(message.answer)
    // a job (the demonstration rack) opens a rack too: ask for its folder, so that it can be opened again
    if (message.event.name === 'rack.opened' && state === 'running') void ask('rack.describe', {})
    if (message.event.name === 'job.progressed') {
      const { id, state: now } = message.event.data
      if (now === 'running') running.add(id)
      else running.delete(id)
    }
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
    const described = name === 'rack.describe' ? (value as { rack: Remembered | null }).rack : (value as Remembered)
    if (name === 'rack.close' || described === null) openFolder = undefined
    else if (name === 'rack.open' || name === 'rack.create' || name === 'rack.describe') {
      openFolder = described.folder
      // what somebody else holds was only looked at, and is so again
      onlyRead = described.access?.mode === 'reading' && described.access.why === 'in-use'
    }
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
    watch?.end()
    running.clear()
    const unanswered = [...waiting.values()]
    waiting.clear()
    const during = unanswered.map(({ name }) => name).filter((name) => name !== 'service.ping')
    if (state !== 'stopping') onEnd({ why, pid: channel.pid, during, rackWasOpen: openFolder !== undefined })
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
      gaveUpWhy = why
      refuse(givenUp())
      release()
      onEvent({ name: 'service.gaveUp', data: { why: endInWords(why), withRack: openFolder !== undefined } })
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
      rackReopened = (
        await ask('rack.open', onlyRead ? { folder: openFolder, how: 'reading' } : { folder: openFolder })
      ).ok
    }
    if (mine !== turn || state !== 'restarting') return
    opening = false
    const endedByRack = endedWhileOpening >= 2
    if (!rackReopened) openFolder = undefined
    endedWhileOpening = 0
    state = 'running'
    onEvent({ name: 'service.restarted', data: { why, rackReopened, ...(endedByRack ? { endedByRack } : {}) } })
    release()
  }

  /** After it was given up: once more, because somebody wants it. */
  async function startAgainAsked(withRack: boolean): Promise<Reply> {
    if (state === 'given-up') {
      ends = []
      endedWhileOpening = 0
      if (!withRack) openFolder = undefined
      state = 'restarting'
      void startAgain(gaveUpWhy)
    }
    const described = await call('rack.describe', {})
    if (!described.ok) return described
    return { ok: true, value: { rackReopened: (described.value as { rack: unknown }).rack !== null } }
  }

  function release(): void {
    const ready = held
    held = []
    for (const go of ready) go()
  }

  function call(name: string, input: unknown): Promise<Reply> {
    if (name === 'service.startAgain') return startAgainAsked((input as { withRack?: unknown })?.withRack === true)
    if (state === 'running') return ask(name, input)
    if (state === 'given-up') return Promise.resolve(givenUp())
    if (state === 'stopping') return Promise.resolve(closing())
    return new Promise((resolve) => held.push(() => resolve(call(name, input))))
  }

  async function stop(): Promise<void> {
    if (state === 'stopping') return
    state = 'stopping'
    clearTimeout(pause)
    watch?.end()
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
const inBrackets = (words: string) => (words === '' ? '' : ` (${words})`)
const closing = () => refusal('Overground is closing.', 'Start it again to go on working.')
const interrupted = (why: string) =>
  refusal(
    `The part of Overground that does the work stopped${inBrackets(endInWords(why))} and is being started again.`,
    'Everything saved before is kept. Look whether this last change is there, and make it again if it is not.',
  )
const givenUp = () =>
  refusal(
    'The part of Overground that does the work stopped several times within a minute and was not started again.',
    'Start it again, without this rack if it happens once more; Safe keeping looks through the rack and holds its backups.',
  )

/** Why it ended, for somebody who has never heard of signals; empty where that says nothing to them: the log has it. */
export function endInWords(why: string): string {
  if (/SIGKILL|SIGABRT|code 13[47]/.test(why)) return 'the computer’s memory may have run out'
  return /^(signal|code) /.test(why) ? '' : why
}

/** For a host's log: what the service was doing when it ended, by the names of calls alone. */
export function sayEnd({ why, during, rackWasOpen }: ServiceEnd): string {
  const doing = during.length === 0 ? 'nothing' : during.slice(-10).join(', ')
  return `the service ended (${why}), doing ${doing}, ${rackWasOpen ? 'a rack was' : 'no rack was'} open`
}
