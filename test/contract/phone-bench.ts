import { createHash, randomBytes } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { connect, type Socket } from 'node:net'
import { onTestFinished, vi } from 'vitest'
import { openDoor } from '../../electron/phone/door.ts'
import { type PhoneLimits, usualLimits } from '../../electron/phone/limits.ts'
import type { DoorState, Ended, Finished, FromThread, ToThread } from '../../electron/phone/messages.ts'
import type { Failure } from '../../shared-core/contract/calls.ts'
import { freshFolder } from '../rack/fresh.ts'

/** The door for phones at 127.0.0.1, without a rack behind it: what comes in is kept in memory. */
export type DoorBench = {
  readonly port: number
  readonly host: string
  /** Pictures that were handed over whole, each time that one was. */
  readonly kept: { file: Finished; bytes: Buffer }[]
  /** Fails to keep what comes in, from now on. */
  fails(failure: Failure | null): void
  state(): DoorState
  /** Why it closed, once it has. */
  ended(): Ended | null
  hear(ask: ToThread): void
  /** Shows another code. */
  newCode(): string
  phone(): Promise<PhoneClient>
  readonly staging: string
  /** What waits in it. */
  waiting(): string[]
}

export async function doorBench(limits: Partial<PhoneLimits> = {}): Promise<DoorBench> {
  const staging = freshFolder()
  const kept: DoorBench['kept'] = []
  let failure: Failure | null = null
  let port = 0
  let state: DoorState | null = null
  let ended: Ended | null = null
  let lost = ''
  const tell = (told: FromThread) => {
    if (told.told === 'listening') port = told.port
    if (told.told === 'listening' || told.told === 'state') state = told.state
    if (told.told === 'ended') ended = told.why
    if (told.told === 'trouble') lost += told.text
    if (told.told !== 'finished') return
    if (failure === null) kept.push({ file: told.file, bytes: readFileSync(told.file.path) })
    door?.hear({ ask: 'kept', key: told.file.key, failure })
  }
  const door = await openDoor({ address: '127.0.0.1', port: 0, staging, limits: { ...usualLimits, ...limits } }, tell)
  onTestFinished(async () => {
    door?.hear({ ask: 'close' })
    await vi.waitUntil(() => ended !== null)
    if (lost !== '') throw new Error(lost)
  })
  const newCode = () => {
    door?.hear({ ask: 'new-code', nr: 1 })
    return state?.code?.token ?? ''
  }
  return {
    port,
    host: `127.0.0.1:${port}`,
    kept,
    fails: (how) => {
      failure = how
    },
    state: () => state!,
    ended: () => ended,
    hear: (what) => door?.hear(what),
    newCode,
    phone: async () => pairedPhone(port, newCode()),
    staging,
    waiting: () => readdirSync(staging),
  }
}

export type Told = { status: number; body: Record<string, unknown> & { error?: { code: string; message: string } } }

/** As our page asks: JSON, from its own origin. */
export async function ask(port: number, path: string, what: unknown, head: Record<string, string> = {}): Promise<Told> {
  const host = `127.0.0.1:${port}`
  const headers = { 'content-type': 'application/json', origin: `http://${host}`, ...head }
  const body = what instanceof Uint8Array ? Buffer.from(what) : JSON.stringify(what)
  const response = await fetch(`http://${host}${path}`, { method: 'POST', headers, body })
  return { status: response.status, body: (await response.json()) as Told['body'] }
}

export type PhoneClient = {
  readonly secret: string
  readonly ask: (path: string, what: unknown) => Promise<Told>
  readonly piece: (id: string, offset: number, bytes: Uint8Array) => Promise<Told>
  /** Announced, sent in pieces, finished, as our page does it. */
  send(
    bytes: Uint8Array,
    how?: { id?: string; name?: string; panel?: string; light?: string; pieceBytes?: number },
  ): Promise<string>
  /** Waits for the last word on a picture. */
  fate(id: string): Promise<{ words: string; isGood: boolean; state: string }>
}

export const newId = () => randomBytes(16).toString('hex')
export const sha256 = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex')

export async function pairedPhone(port: number, token: string): Promise<PhoneClient> {
  const { status, body } = await ask(port, '/pair', { token })
  if (status !== 200) throw new Error(`not paired: ${JSON.stringify(body)}`)
  return clientOf(port, String(body.secret))
}

export function clientOf(port: number, secret: string): PhoneClient {
  const mine = { 'x-phone': secret }
  const client: PhoneClient = {
    secret,
    ask: (path, what) => ask(port, path, what, mine),
    piece: (id, offset, bytes) =>
      ask(port, `/piece?id=${id}&offset=${offset}`, bytes, { ...mine, 'content-type': 'application/octet-stream' }),
    send: async (bytes, { id = newId(), name = 'shot.png', panel = '', light = '', pieceBytes = 100_000 } = {}) => {
      const told = await client.ask('/announce', { id, name, size: bytes.length })
      for (let at = Number(told.body.offset); at < bytes.length; at += pieceBytes) {
        const { status, body } = await client.piece(id, at, bytes.subarray(at, at + pieceBytes))
        if (status !== 200) throw new Error(`${status} ${JSON.stringify(body)}`)
      }
      const done = await client.ask('/finish', { id, sha256: sha256(bytes), panel, light })
      if (done.status !== 200) throw new Error(`${done.status} ${JSON.stringify(done.body)}`)
      return id
    },
    fate: async (id) => {
      for (;;) {
        const { body } = await client.ask('/fates', { ids: [id] })
        const { fate } = (
          body.fates as Record<string, { fate: { state: string; words: string; isGood: boolean } | null }>
        )[id]!
        if (fate && (fate.state !== 'kept' || fate.words !== '')) return fate
        await new Promise((resolve) => setTimeout(resolve, 20))
      }
    },
  }
  return client
}

/** Says these bytes on a connection of its own. @returns all that came until it ended */
export function say(port: number, ...pieces: (string | Buffer)[]): Promise<string> {
  return new Promise((resolve) => {
    const socket = openSocket(port)
    let heard = ''
    socket.on('data', (data) => {
      heard += data.toString('latin1')
    })
    socket.once('close', () => resolve(heard))
    for (const piece of pieces) socket.write(piece)
  })
}

export function openSocket(port: number): Socket {
  const socket = connect(port, '127.0.0.1')
  socket.on('error', () => undefined)
  onTestFinished(() => void socket.destroy())
  return socket
}

export const lines = (...all: string[]) => `${all.join('\r\n')}\r\n\r\n`
export const statusOf = (heard: string) => Number(/HTTP\/1\.1 (\d{3})/.exec(heard)?.[1] ?? 0)
