import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname } from 'node:path'
import type { Capabilities } from '../../shared-core/contract/host.ts'
import { type BodyLimit, readJson } from '../http/bodies.ts'
import { bodyRefusals, RequestRefusal, sendJson, sendRefusal } from '../http/request-refusal.ts'
import { callBytes, mayCall } from '../service/link/allowed-calls.ts'
import { decoded } from '../service/link/files.ts'
import { type Call, locateDocument, type PictureLocator } from '../service/link/located.ts'
import { filePolicy, permissionsPolicy } from '../service/link/policy.ts'
import type { EventStreams } from './events.ts'
import { guard } from './guard.ts'
import { allSafe, refusals } from './refusals.ts'
import { sendFile, sendPage } from './static-pages.ts'
import { takeUpload } from './uploads.ts'

export type LoopbackOptions = {
  call: Call
  pictures: PictureLocator
  events: EventStreams
  /** Folder of the built pages. */
  pages: string
  /** Folder where uploads wait to be taken in. */
  staging: string
  token: string
  /** 0 takes any that is free. */
  port: number
  /** Versions and the last entries of the logs; see `gatherDetails`. */
  details(): string
  /** Where faults go. */
  note(during: string, error: unknown): void
  callLimit?: BodyLimit
  uploadLimit?: BodyLimit
  connectionLimits?: Partial<ConnectionLimits>
}

export type ConnectionLimits = {
  /** A browser opens six to one address; this is for many tabs. */
  atOnce: number
  /** The longest wait for a request's head. */
  headersMs: number
  /** How often slow ones are looked for. */
  lookEveryMs: number
  headBytes: number
}
const usualConnections: ConnectionLimits = { atOnce: 128, headersMs: 10_000, lookEveryMs: 2_000, headBytes: 16_384 }

const megabyte = 1024 ** 2
const usualCallLimit: BodyLimit = { bytes: callBytes, idleMs: 10_000, totalMs: 30_000 }
const usualUploadLimit: BodyLimit = { bytes: 300 * megabyte, idleMs: 15_000, totalMs: 10 * 60_000 }

/** Pages that listen at once. */
const mostPages = 40

const capabilities: Capabilities = { kind: 'browser', canPickFolder: false, canPrint: false, canOpenLogs: false }

/** The application for an ordinary browser on this computer: pages, calls, pictures, documents, uploads and events. */
export async function loopbackServer(options: LoopbackOptions) {
  const { call, pictures, events, pages, staging, token } = options
  const callLimit = options.callLimit ?? usualCallLimit
  const uploadLimit = options.uploadLimit ?? usualUploadLimit
  const connections = { ...usualConnections, ...options.connectionLimits }
  const server = createServer({
    requestTimeout: uploadLimit.totalMs,
    headersTimeout: Math.min(connections.headersMs, uploadLimit.totalMs),
    connectionsCheckingInterval: connections.lookEveryMs,
    maxHeaderSize: connections.headBytes,
    // whatever a request is said to be, it is read by the strict rules
    insecureHTTPParser: false,
    requireHostHeader: true,
  })
  server.maxConnections = connections.atOnce
  server.maxHeadersCount = 100
  await listening(server, options.port)
  const { port } = server.address() as AddressInfo
  const check = guard(port, token)

  function admit(request: IncomingMessage): void {
    check.checkHost(request)
    check.checkOrigin(request)
    check.checkSite(request)
    check.checkToken(request)
  }

  async function post(request: IncomingMessage, response: ServerResponse, url: URL): Promise<void> {
    admit(request)
    if (url.pathname === '/details') {
      sendJson(response, 200, { details: options.details() })
    } else if (url.pathname === '/session') {
      response.writeHead(204, { 'set-cookie': check.cookie, 'cache-control': 'no-store' }).end()
    } else if (url.pathname === '/upload') {
      const path = await takeUpload(request, staging, url.searchParams.get('name') ?? '', uploadLimit)
      sendJson(response, 200, { path })
    } else if (url.pathname.startsWith('/call/')) {
      const name = url.pathname.slice('/call/'.length)
      if (!mayCall(name)) throw refusals.noSuchCall()
      // what a form or an image could send is never taken for a call
      if (!/^application\/json\b/i.test(request.headers['content-type'] ?? '')) throw bodyRefusals.notJson()
      sendJson(response, 200, await call(name, await readJson(request, callLimit)))
    } else throw refusals.absent()
  }

  async function get(request: IncomingMessage, response: ServerResponse, url: URL): Promise<void> {
    const { pathname } = url
    const bodyToo = request.method === 'GET'
    // a page of another address may lead here, but takes nothing of ours into itself
    if (request.headers['sec-fetch-mode'] !== 'navigate') check.checkSite(request)
    if (pathname === '/capabilities') return sendJson(response, 200, capabilities)
    if (pathname === '/events') {
      check.checkCookie(request)
      if (events.count() >= mostPages) throw refusals.tooManyPages()
      return events.add(response)
    }
    if (pathname.startsWith('/picture/')) {
      check.checkCookie(request)
      const found = await pictures.locate(keyIn(pathname, '/picture/'), goneAway(response))
      if (response.destroyed) return
      if (!found.ok) return sendJson(response, 404, found)
      return sendFile(response, found.value, pictureHead(found.value.type), bodyToo)
    }
    if (pathname.startsWith('/document/')) {
      check.checkCookie(request)
      const found = await locateDocument(call, keyIn(pathname, '/document/'))
      if (!found.ok) return sendJson(response, 404, found)
      return sendFile(response, found.value, documentHead(found.value.fileName), bodyToo)
    }
    await sendPage(response, pages, pathname, bodyToo)
  }

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    response.setHeader('x-content-type-options', 'nosniff')
    response.setHeader('referrer-policy', 'no-referrer')
    response.setHeader('cross-origin-opener-policy', 'same-origin')
    response.setHeader('cross-origin-resource-policy', 'same-origin')
    response.setHeader('content-security-policy', filePolicy)
    response.setHeader('permissions-policy', permissionsPolicy)
    check.checkHost(request)
    if (request.headers.upgrade !== undefined) {
      response.setHeader('connection', 'close')
      throw refusals.method()
    }
    const url = check.addressed(request)
    if (request.method === 'POST') return post(request, response, url)
    if (request.method === 'GET' || request.method === 'HEAD') return get(request, response, url)
    throw refusals.method()
  }

  const take = (request: IncomingMessage, response: ServerResponse) => {
    answer(request, response).catch((error: unknown) => {
      if (error instanceof RequestRefusal) return sendRefusal(request, response, error, allSafe)
      // a page that went away while it sent something is no fault of ours
      if (!request.destroyed) options.note('answering a page', error)
      response.destroy()
    })
  }
  server.on('request', take)
  // who asks first whether a body is welcome hears so only when it is
  server.on('checkContinue', (request, response) => {
    try {
      admit(request)
      const limit = request.url?.startsWith('/upload') ? uploadLimit : callLimit
      if (Number(request.headers['content-length'] ?? 0) > limit.bytes) throw bodyRefusals.tooLarge(limit.bytes)
      response.writeContinue()
      take(request, response)
    } catch (error) {
      sendRefusal(request, response, error instanceof RequestRefusal ? error : bodyRefusals.notJson(), allSafe)
    }
  })

  return {
    port,
    address: `http://127.0.0.1:${port}/#token=${token}`,
    /** Ends the open connections and waits until the port is free. */
    close: async () => {
      events.end()
      await new Promise<void>((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      })
    },
  }
}

function listening(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, '127.0.0.1', () => {
      server.off('error', reject)
      resolve()
    })
  })
}

function keyIn(pathname: string, before: string): string {
  const key = decoded(pathname.slice(before.length))
  if (key === undefined || key === '') throw refusals.absent()
  return key
}

/** Aborted when the page goes away, or scrolls past what it asked for, before it is answered. */
function goneAway(response: ServerResponse): AbortSignal {
  const gone = new AbortController()
  response.once('close', () => {
    if (!response.writableFinished) gone.abort()
  })
  return gone.signal
}

/** A picture's key names its content, so it never changes. */
const pictureHead = (type: string) => ({
  'content-type': type,
  'cache-control': 'private, max-age=31536000, immutable',
})

/** What the browser has a reader of its own for, by extension: the service says what a file is by its first bytes. */
const shownTypes: Readonly<Record<string, string>> = {
  '.pdf': 'application/pdf',
  '.jpg': 'image/jpeg',
  '.png': 'image/png',
}

/** A PDF or a picture opens in the browser's own reader; everything else is saved and never shown as a page of ours. */
const documentHead = (fileName: string) => {
  const type = shownTypes[extname(fileName)]
  return type !== undefined
    ? {
        'content-type': type,
        'content-disposition': `inline; ${named(fileName)}`,
        'cache-control': 'no-store',
        // the reader draws with styles and scripts of its own, which must not be forbidden
        'content-security-policy': "frame-ancestors 'none'",
      }
    : {
        'content-type': fileName.endsWith('.csv') ? 'text/csv; charset=utf-8' : 'application/octet-stream',
        'content-disposition': `attachment; ${named(fileName)}`,
        'cache-control': 'no-store',
      }
}

const named = (fileName: string): string => `filename*=UTF-8''${encodeURIComponent(fileName)}`
