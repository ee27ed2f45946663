import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import type { Event } from '../../../shared-core/contract/calls.ts'
import type { PhoneAddress, PhoneState } from '../../../shared-core/contract/phone-calls.ts'
import { type PhoneLimits, usualLimits } from '../../phone/limits.ts'
import type { DoorState, FromThread } from '../../phone/messages.ts'
import { type PhoneThread, startPhoneThread } from '../../phone/thread.ts'
import { qrRows } from '../../print/qr.ts'
import type { Rack } from '../../rack/opening/open.ts'
import type { IntakeSupport } from '../intake/take-all.ts'
import { stagingFolder, sweepStaging } from '../link/app-folder.ts'
import { phoneAddresses } from './addresses.ts'
import { type FoundIn, makeSent } from './sent.ts'
import { addressGone, cannotListen, closedBecause, closedByFault, isOff, tooManyWrong } from './words.ts'

/** For tests: a browser on this computer in place of a phone, and smaller limits. */
export type PhoneOptions = { withLoopback?: boolean; limits?: Partial<PhoneLimits> }

export type PhoneDoor = {
  addresses(): PhoneAddress[]
  state(): Promise<PhoneState>
  turnOn(rack: Rack, address: string): Promise<PhoneState>
  turnOff(): Promise<PhoneState>
  /** @throws Refusal `phone/off` */
  ask(what: 'new-code' | 'keep-on' | { disconnect: string }): Promise<PhoneState>
  /** Hears what becomes of pictures. */
  follow(event: Event): void
}

type Open = {
  rack: Rack
  at: PhoneAddress
  port: number
  thread: PhoneThread
  door: DoorState
}

const tellEveryMs = 150
/** The thread closes at once; this only ends what hangs. */
const closeMs = 3_000

/** The door for phones: off until somebody turns it on, and closed with the rack. */
export function makePhoneDoor(
  support: IntakeSupport & { foundIn: FoundIn },
  emit: (event: Event) => void,
  { withLoopback = process.env.OVERGROUND_PHONE_LOOPBACK === '1', limits: given = {} }: PhoneOptions = {},
): PhoneDoor {
  const limits = { ...usualLimits, ...given }
  const { log, appFiles } = support
  const portFile = join(appFiles.folder, 'phone-port.json')
  let open: Open | null = null
  let said: string | null = null
  const asked = new Map<number, () => void>()
  let lastNr = 0
  /** Turning on and off never overlap. */
  let turn: Promise<unknown> = Promise.resolve()
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turn.then(work, work)
    turn = mine.catch(() => undefined)
    return mine
  }

  let timer: NodeJS.Timeout | undefined
  const tell = () => {
    timer ??= setTimeout(() => {
      timer = undefined
      emit({ name: 'phone.changed', data: {} })
    }, tellEveryMs)
    timer.unref()
  }

  const sent = makeSent({
    intake: support,
    foundIn: support.foundIn,
    meet: (key, fate) => open?.thread.ask({ ask: 'fate', key, fate }),
    changed: tell,
  })

  const linkOf = ({ at, port, door }: Open): string | null => {
    const host = at.address.includes(':') ? `[${at.address}]` : at.address
    return door.code && Date.parse(door.code.until) > Date.now() ? `http://${host}:${port}/#${door.code.token}` : null
  }
  let drawn: { link: string; rows: string[] } | null = null
  const symbolOf = async (link: string): Promise<string[]> => {
    if (drawn?.link !== link) drawn = { link, rows: await qrRows(link) }
    return drawn.rows
  }

  const state = async (): Promise<PhoneState> => {
    const link = open && linkOf(open)
    return {
      isOn: open !== null,
      address: open?.at ?? null,
      link,
      symbol: link === null ? [] : await symbolOf(link),
      linkUntil: (link && open?.door.code?.until) || null,
      closesAt: open?.door.closesAt ?? null,
      phones: open?.door.phones ?? [],
      isFull: (open?.door.phones.length ?? 0) >= limits.phones,
      pictures: sent.list(),
      said: open?.door.isPairingClosed ? tooManyWrong : said,
    }
  }

  const closed = (why: string | null) => {
    open = null
    said = why
    tell()
  }

  const hear = (mine: () => Open | null, told: FromThread) => {
    const here = mine()
    if (told.told === 'trouble') log.unexpected(new Error(told.text), `phone to tray, ${told.during}`)
    if (!here) return
    if (told.told === 'state') {
      here.door = told.state
      if (told.nr !== null) asked.get(told.nr)?.()
      tell()
    } else if (told.told === 'finished') {
      const { key } = told.file
      void sent.take(here.rack, told.file).then((failure) => here.thread.ask({ ask: 'kept', key, failure }))
    }
  }

  const turnOnNow = async (rack: Rack, address: string): Promise<void> => {
    if (open?.at.address === address && open.rack === rack) return
    await turnOffNow()
    const at = phoneAddresses(withLoopback).find((one) => one.address === address)
    if (!at) throw addressGone()
    const staging = stagingFolder(appFiles.folder)
    await sweepStaging(staging)
    const start = { address, port: await portBefore(portFile), staging, limits }
    let here: Open | null = null
    const listening = await new Promise<{ port: number; state: DoorState; thread: PhoneThread }>((resolve, reject) => {
      const thread = startPhoneThread(
        start,
        (told) => {
          if (told.told === 'listening') resolve({ ...told, thread })
          else if (told.told === 'cannot-listen') {
            void thread.end()
            reject(cannotListen(told.code))
          } else if (told.told === 'ended') {
            void thread.end()
            if (here && here === open) closed(closedBecause[told.why])
          } else hear(() => here, told)
        },
        (why) => {
          reject(new Error('The thread of phone to tray ended', { cause: why }))
          if (!here || here !== open) return
          log.unexpected(why, 'phone to tray')
          closed(closedByFault)
        },
      )
    })
    const { port, thread, state: door } = listening
    here = { rack, at, port, thread, door }
    open = here
    said = null
    sent.forget()
    tell()
    await writeFile(portFile, JSON.stringify({ port })).catch((error: unknown) =>
      log.unexpected(error, 'noting the port of phone to tray'),
    )
  }

  const turnOffNow = async (): Promise<void> => {
    const here = open
    if (!here) return
    closed(null)
    here.thread.ask({ ask: 'close' })
    await here.thread.ended(closeMs)
    await sent.settled()
  }

  return {
    addresses: () => phoneAddresses(withLoopback),
    state,
    turnOn: async (rack, address) => {
      await inTurn(() => turnOnNow(rack, address))
      return state()
    },
    turnOff: async () => {
      await inTurn(turnOffNow)
      return state()
    },
    ask: async (what) => {
      const here = open
      if (!here) throw isOff()
      const nr = ++lastNr
      await new Promise<void>((resolve) => {
        asked.set(nr, resolve)
        void here.thread.ended().then(resolve)
        here.thread.ask(
          typeof what === 'string' ? { ask: what, nr } : { ask: 'disconnect', phoneId: what.disconnect, nr },
        )
      })
      asked.delete(nr)
      return state()
    },
    follow: (event) => sent.follow(event),
  }
}

const Kept = z.object({ port: z.int().min(1024).max(65_535) })

/** The port of last time, so that a phone's page that is still open finds its pictures again; 0: any. */
async function portBefore(file: string): Promise<number> {
  try {
    return Kept.parse(JSON.parse(await readFile(file, 'utf8'))).port
  } catch {
    return 0
  }
}
