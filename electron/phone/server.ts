import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import { readJson } from '../http/bodies.ts'
import { ownAddress } from '../http/own-address.ts'
import { RequestRefusal, sendJson, sendRefusal } from '../http/request-refusal.ts'
import { filePolicy, pagePolicy, permissionsPolicy } from '../service/link/policy.ts'
import type { PhoneLimits } from './limits.ts'
import { makePace } from './pace.ts'
import { type PageFile, pageFiles } from './page-files.ts'
import type { PairedPhone, Pairing } from './pairing.ts'
import { allSafe, refusals, scanAgain } from './refusals.ts'
import type { Uploads } from './uploads.ts'

type Options = {
  address: string
  /** Taken when it is free; else any. */
  port: number
  limits: PhoneLimits
  pairing: Pairing
  uploads: Uploads
  /** A phone came in, gave a sign, or left. */
  onSign: () => void
  note: (during: string, error: unknown) => void
}

const id = z.string().regex(/^[0-9a-f]{32}$/)
/** Typed on the phone: a line of words, whatever was pasted. */
const words = z
  .string()
  .max(60)
  .transform((typed) => typed.replace(/\p{C}+/gu, ' ').trim())
const asks = {
  '/pair': z.object({ token: z.string().max(100) }),
  '/announce': z.object({ id, name: words.pipe(z.string().min(1)), size: z.int().nonnegative() }),
  '/finish': z.object({ id, sha256: z.string().regex(/^[0-9a-f]{64}$/), panel: words, light: words }),
  '/fates': z.object({ ids: z.array(id).max(60) }),
  '/drop': z.object({ id }),
  '/leave': z.object({}),
}
const isAsk = (path: string): path is keyof typeof asks => Object.hasOwn(asks, path)

/**
 * The door for phones: one page, and what it needs to send pictures in. There is no address in it under which anything of
 * the rack could be asked for.
 */
export async function phoneServer(options: Options) {
  const { limits, pairing, uploads, onSign } = options
  const server = createServer({
    requestTimeout: limits.bodyMs,
    headersTimeout: Math.min(limits.headMs, limits.bodyMs),
    connectionsCheckingInterval: limits.lookEveryMs,
    maxHeaderSize: limits.headBytes,
    insecureHTTPParser: false,
    requireHostHeader: true,
  })
  server.maxConnections = limits.connections
  server.maxHeadersCount = 60
  const port = await listening(server, options.address, options.port)
  const pageFile = await pageFiles()
  const host = `${options.address.includes(':') ? `[${options.address}]` : options.address}:${port}`
  const own = ownAddress(host, scanAgain)
  const strangers = makePace(limits.strangersPace)
  const paces = new WeakMap<Socket, () => boolean>()

  server.on('connection', (socket) => {
    paces.set(socket, makePace(limits.connectionPace))
    const from = socket.remoteAddress
    const before = connected.get(from) ?? 0
    if (before >= limits.connectionsEach) {
      socket.destroy()
      return
    }
    connected.set(from, before + 1)
    socket.once('close', () => {
      const left = (connected.get(from) ?? 1) - 1
      if (left > 0) connected.set(from, left)
      else connected.delete(from)
    })
  })
  const connected = new Map<string | undefined, number>()

  /** Whose request it is; a phone of ours is not slowed down by what strangers ask. */
  function senderOf(request: IncomingMessage): PairedPhone | null {
    const given = request.headers['x-phone']
    if (given !== undefined) {
      try {
        const phone = pairing.phoneOf(given)
        if (!phone.mayAsk()) throw refusals.tooFast()
        return phone
      } catch (error) {
        if (!(error instanceof RequestRefusal) || error.status !== 401) throw error
      }
    }
    if (!strangers()) throw refusals.tooFast()
    return null
  }

  function admit(request: IncomingMessage): PairedPhone | null {
    if (!paces.get(request.socket)?.()) throw refusals.tooFast()
    const phone = senderOf(request)
    own.checkHost(request)
    if (request.headers.upgrade !== undefined) throw refusals.method()
    return phone
  }

  async function pair(request: IncomingMessage, token: string): Promise<object> {
    const late = pairing.delayMs()
    try {
      const phone = pairing.pair(token, kindOf(request.headers['user-agent']))
      onSign()
      return { secret: phone.secret, pieceBytes: limits.pieceBytes, fileBytes: limits.fileBytes }
    } catch (error) {
      onSign()
      await wait(late)
      throw error
    }
  }

  async function post(request: IncomingMessage, url: URL, phone: PairedPhone | null): Promise<object> {
    own.checkOrigin(request)
    own.checkSite(request)
    const path = url.pathname
    const type = request.headers['content-type'] ?? ''
    if (path === '/piece') {
      if (!phone) throw refusals.stranger()
      const [upload, offset] = [url.searchParams.get('id') ?? '', url.searchParams.get('offset') ?? '']
      if (type !== 'application/octet-stream' || !/^\d{1,12}$/.test(offset)) throw refusals.unreadable()
      onSign()
      return uploads.add(phone, upload, Number(offset), request)
    }
    if (!isAsk(path)) throw refusals.absent()
    // who is no phone of ours has nothing read that it sends, but for a code
    if (path !== '/pair' && !phone) throw refusals.stranger()
    if (!/^application\/json\b/i.test(type)) throw refusals.unreadable()
    const limit = { bytes: limits.jsonBytes, idleMs: limits.bodyIdleMs, totalMs: limits.bodyIdleMs }
    const body = await readJson(request, limit)
    const read = <P extends keyof typeof asks>(of: P): z.infer<(typeof asks)[P]> => {
      const given = asks[of].safeParse(body)
      if (!given.success) throw refusals.unreadable()
      return given.data as z.infer<(typeof asks)[P]>
    }
    if (path === '/pair') return pair(request, read('/pair').token)
    if (!phone) throw refusals.stranger()
    onSign()
    switch (path) {
      case '/announce':
        return uploads.announce(phone, read('/announce'))
      case '/finish': {
        const { id: upload, sha256, ...typed } = read('/finish')
        return uploads.finish(phone, upload, sha256, typed)
      }
      case '/fates':
        return { fates: uploads.fates(phone, read('/fates').ids) }
      case '/drop':
        await uploads.drop(phone, read('/drop').id)
        return {}
      case '/leave':
        read('/leave')
        pairing.remove(phone.id)
        onSign()
        return {}
    }
  }

  async function get(request: IncomingMessage, response: ServerResponse, { pathname }: URL): Promise<void> {
    if (request.headers['sec-fetch-mode'] !== 'navigate') own.checkSite(request)
    const file = await pageFile(pathname)
    if (!file) throw refusals.absent()
    sendPageFile(response, file, request.method === 'GET')
  }

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    response.setHeader('x-content-type-options', 'nosniff')
    response.setHeader('referrer-policy', 'no-referrer')
    response.setHeader('cross-origin-resource-policy', 'same-origin')
    response.setHeader('content-security-policy', filePolicy)
    response.setHeader('permissions-policy', permissionsPolicy)
    const phone = admit(request)
    const url = own.addressed(request)
    if (request.method === 'POST') sendJson(response, 200, await post(request, url, phone))
    else if (request.method === 'GET' || request.method === 'HEAD') await get(request, response, url)
    else throw refusals.method()
  }

  const refused = (request: IncomingMessage, response: ServerResponse, refusal: RequestRefusal) => {
    if (refusal.status === 429) response.setHeader('retry-after', '1')
    sendRefusal(request, response, refusal, allSafe)
  }
  server.on('request', (request, response) => {
    answer(request, response).catch((error: unknown) => {
      if (error instanceof RequestRefusal) return refused(request, response, error)
      // a phone that went away while it sent something is no fault of ours
      if (!request.destroyed) options.note('answering a phone', error)
      response.destroy()
    })
  })
  // our page never asks first whether a body is welcome
  server.on('checkContinue', (request, response) => refused(request, response, refusals.method()))

  return {
    port,
    /** Ends the open connections and waits until the port is free. */
    close: () =>
      new Promise<void>((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}

async function listening(server: Server, address: string, wanted: number): Promise<number> {
  const listen = (port: number) =>
    new Promise<number>((resolve, reject) => {
      server.once('error', reject)
      server.listen({ port, host: address, exclusive: true, ipv6Only: address.includes(':') }, () => {
        server.off('error', reject)
        resolve((server.address() as AddressInfo).port)
      })
    })
  if (wanted === 0) return listen(0)
  return listen(wanted).catch((error: NodeJS.ErrnoException) => {
    server.removeAllListeners('error')
    if (error.code === 'EADDRINUSE' || error.code === 'EACCES') return listen(0)
    throw error
  })
}

/** What its browser says it is: no more than this is shown or kept of it. */
const kindOf = (agent: string | undefined): string => (/mobi/i.test(agent ?? '') ? 'Phone' : 'Browser')

function sendPageFile(response: ServerResponse, { type, bytes }: PageFile, bodyToo: boolean): void {
  const isPage = type.startsWith('text/html')
  response.writeHead(200, {
    'content-type': type,
    'content-length': bytes.length,
    'content-security-policy': isPage ? pagePolicy : filePolicy,
    'cross-origin-opener-policy': 'same-origin',
    'cache-control': 'no-store',
  })
  response.end(bodyToo ? bytes : undefined)
}
