import { networkInterfaces } from 'node:os'
import type { Failure } from '../../shared-core/contract/calls.ts'
import type { DoorState, Ended, Finished, FromThread, PhoneStart, ToThread } from './messages.ts'
import { makePairing } from './pairing.ts'
import { refusals } from './refusals.ts'
import { phoneServer } from './server.ts'
import { makeUploads } from './uploads.ts'

/** Signs come many times a second; the desk is told less often. */
const tellEveryMs = 200

/** Opens the door, and closes it by itself: when it is quiet, after a while, after sleep, when its address goes away. */
export async function openDoor({ address, port, staging, limits }: PhoneStart, tell: (told: FromThread) => void) {
  const waiting = new Map<string, (failure: Failure | null) => void>()
  const keep = (file: Finished) =>
    new Promise<Failure | null>((resolve) => {
      const late = setTimeout(() => answered(refusals.notKeptYet().failure), limits.keepingMs)
      const answered = (failure: Failure | null) => {
        clearTimeout(late)
        waiting.delete(file.key)
        resolve(failure)
      }
      waiting.set(file.key, answered)
      tell({ told: 'finished', file })
    })

  let lastSign = Date.now()
  let longest = Date.now() + limits.mostMs
  const pairing = makePairing(limits)
  const uploads = makeUploads(staging, limits, keep, () => tellSoon())
  const closesAt = () => Math.min(lastSign + limits.quietMs, longest)
  const state = (): DoorState => ({
    code: pairing.code(),
    isPairingClosed: pairing.isClosed(),
    phones: pairing.phones().map(({ id, name, since }) => ({ id, name, since, ...uploads.count(id) })),
    closesAt: new Date(closesAt()).toISOString(),
  })
  let timer: NodeJS.Timeout | undefined
  const tellSoon = () => {
    timer ??= setTimeout(() => tellNow(null), tellEveryMs)
  }
  const tellNow = (nr: number | null) => {
    clearTimeout(timer)
    timer = undefined
    tell({ told: 'state', state: state(), nr })
  }

  const note = (during: string, error: unknown) =>
    tell({ told: 'trouble', during, text: error instanceof Error ? (error.stack ?? error.message) : String(error) })
  const onSign = () => {
    // a stranger's knock is told, and keeps nothing open
    if (pairing.phones().length > 0) lastSign = Date.now()
    tellSoon()
  }
  let server: Awaited<ReturnType<typeof phoneServer>>
  try {
    server = await phoneServer({ address, port, limits, pairing, uploads, onSign, note })
  } catch (error) {
    tell({ told: 'cannot-listen', code: (error as NodeJS.ErrnoException).code ?? String(error) })
    return null
  }

  let isOver = false
  const end = async (why: Ended) => {
    if (isOver) return
    isOver = true
    clearInterval(watch)
    clearTimeout(timer)
    await server.close()
    tell({ told: 'ended', why })
  }
  let lastLook = Date.now()
  const watch = setInterval(() => {
    const now = Date.now()
    const late = now - lastLook - limits.watchEveryMs
    lastLook = now
    if (late > limits.sleptMs) void end('slept')
    else if (now >= longest) void end('long')
    else if (now >= closesAt()) void end('quiet')
    else if (!isThere(address)) void end('address-gone')
  }, limits.watchEveryMs)

  const hear = (ask: ToThread) => {
    switch (ask.ask) {
      case 'new-code':
        pairing.renew()
        break
      case 'keep-on':
        lastSign = Date.now()
        longest = Date.now() + limits.mostMs
        break
      case 'disconnect':
        pairing.remove(ask.phoneId)
        break
      case 'kept':
        waiting.get(ask.key)?.(ask.failure)
        return
      case 'fate':
        uploads.meet(ask.key, ask.fate)
        return
      case 'close':
        void end('asked')
        return
    }
    tellNow(ask.nr)
  }
  tell({ told: 'listening', port: server.port, state: state() })
  return { hear }
}

const isThere = (address: string): boolean =>
  Object.values(networkInterfaces()).some((all) => all?.some((one) => one.address === address))
