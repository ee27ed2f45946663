import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { type IncomingHttpHeaders, request } from 'node:http'
import { connect } from 'node:net'
import { networkInterfaces, tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { eventStreams } from '../../electron/loopback/events.ts'
import { loopbackServer } from '../../electron/loopback/server.ts'
import { type PictureLocator, pictureLocator } from '../../electron/service/link/located.ts'
import { hostOnly } from '../../shared-core/contract/app-calls.ts'
import { calls } from '../../shared-core/contract/calls.ts'
import type { Reply } from '../../shared-core/contract/host.ts'

/** The real server; behind it, in place of the service, a function that says where files lie. */
const token = 'a-token-of-a-test'
const limit = { bytes: 50_000, idleMs: 300, totalMs: 5_000 }
const events = eventStreams()
const asked: Array<{ name: string; input: unknown }> = []
let folder: string
let server: Awaited<ReturnType<typeof loopbackServer>>
let cookie: string
let pictures: PictureLocator

async function call(name: string, input: unknown): Promise<Reply> {
  asked.push({ name, input })
  const inside = join(folder, 'rack')
  if (name === 'pictures.locate') {
    const { key } = input as { key: string }
    // is being made, and takes long
    if (key === 'slow') return new Promise(() => undefined)
    if (key === 'absent')
      return { ok: false, error: { code: 'picture/absent', message: 'There is no such picture.', remedy: 'None.' } }
    return {
      ok: true,
      value: { path: join(inside, key), type: key.endsWith('.svg') ? 'image/svg+xml' : 'image/jpeg', inside },
    }
  }
  if (name === 'documents.locate' && /^sheet\.(jpg|png)$/.test((input as { documentId: string }).documentId))
    return {
      ok: true,
      value: { path: join(inside, 'label.pdf'), fileName: (input as { documentId: string }).documentId, inside },
    }
  if (name === 'documents.locate')
    return (input as { documentId: string }).documentId === 'readings'
      ? { ok: true, value: { path: join(inside, 'label.pdf'), fileName: 'readings.html.cxf', inside } }
      : { ok: true, value: { path: join(inside, 'label.pdf'), fileName: 'P-0001 «Grün».pdf', inside } }
  return { ok: true, value: { name, input } }
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'loopback-'))
  for (const name of ['pages/assets', 'rack/cut', 'staging']) mkdirSync(join(folder, name), { recursive: true })
  writeFileSync(join(folder, 'secret.txt'), 'not for pages')
  writeFileSync(join(folder, 'pages/index.html'), '<!doctype html><title>page</title>')
  writeFileSync(join(folder, 'pages/assets/main-abc.js'), 'export {}')
  symlinkSync(join(folder, 'secret.txt'), join(folder, 'pages/linked.js'))
  writeFileSync(join(folder, 'rack/cut/one'), 'picture bytes')
  writeFileSync(join(folder, 'rack/drawing.svg'), '<svg/>')
  symlinkSync(join(folder, 'secret.txt'), join(folder, 'rack/linked'))
  writeFileSync(join(folder, 'rack/label.pdf'), '%PDF-1.7')
  const staging = join(folder, 'staging')
  const pages = join(folder, 'pages')
  pictures = pictureLocator(call)
  const limits = { callLimit: limit, uploadLimit: limit, details: () => 'details', note: () => undefined }
  server = await loopbackServer({ call, pictures, events, pages, staging, token, port: 0, ...limits })
  const session = await ask('/session', { method: 'POST' })
  cookie = String(session.headers['set-cookie']).split(';')[0] ?? ''
})
afterAll(async () => {
  await server.close()
  rmSync(folder, { recursive: true, force: true })
})
beforeEach(() => {
  asked.length = 0
})

type Answered = { status: number; headers: IncomingHttpHeaders; text: string }
type Sent = { method?: string; headers?: Record<string, string | undefined>; body?: string | Buffer }
const own = () => `127.0.0.1:${server.port}`

/** A request as our own page sends it; `headers` changes that, `undefined` leaves one out. The path goes as it is. */
function ask(path: string, { method = 'GET', headers = {}, body }: Sent = {}): Promise<Answered> {
  const all: Record<string, string | undefined> = {
    host: own(),
    ...(method === 'POST' ? { origin: `http://${own()}`, 'x-token': token, 'content-type': 'application/json' } : {}),
    ...headers,
  }
  const sent = Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as Record<
    string,
    string
  >
  return new Promise((resolve, reject) => {
    const asking = request(
      { host: '127.0.0.1', port: server.port, path, method, headers: sent, setHost: false, agent: false },
      (response) => {
        let text = ''
        response.setEncoding('utf8')
        response.on('data', (piece: string) => {
          text += piece
        })
        response.on('end', () => resolve({ status: response.statusCode ?? 0, headers: response.headers, text }))
      },
    )
    asking.on('error', reject)
    asking.end(body)
  })
}
const upload = (name: string, body: Buffer) => ask(`/upload?name=${encodeURIComponent(name)}`, { method: 'POST', body })

/** A page that listens to the events. */
function listen() {
  let text = ''
  let type = ''
  const asking = request({ host: '127.0.0.1', port: server.port, path: '/events', headers: { cookie }, agent: false })
  asking.on('response', (response) => {
    response.setEncoding('utf8')
    response.on('data', (piece: string) => {
      text += piece
    })
    response.on('error', () => undefined)
    type = String(response.headers['content-type'])
  })
  asking.on('error', () => undefined)
  asking.end()
  return { text: () => text, type: () => type, leave: () => asking.destroy() }
}

const codeOf = (answered: Answered) => (JSON.parse(answered.text) as { error: { code: string } }).error.code

describe('who may ask', () => {
  test('a call of our own page goes through and comes back as it was answered', async () => {
    const answered = await ask('/call/panels.get', { method: 'POST', body: '{"key":"P-0001"}' })
    expect(answered.status).toBe(200)
    expect(JSON.parse(answered.text)).toEqual({ ok: true, value: { name: 'panels.get', input: { key: 'P-0001' } } })
  })

  test('a request without Host is refused, by Node itself', async () => {
    expect((await ask('/', { headers: { host: undefined } })).status).toBe(400)
  })

  test.each(['localhost', 'evil.example', '127.0.0.1', '127.0.0.1:1', '127.0.0.1.evil.example'])(
    'Host %s is refused, for pages as for calls',
    async (host) => {
      const named = host === 'localhost' ? `localhost:${server.port}` : host
      for (const sent of [{}, { method: 'POST', body: '{}' }]) {
        const answered = await ask('/call/panels.get', { ...sent, headers: { host: named } })
        expect(answered.status).toBe(403)
        expect(codeOf(answered)).toBe('host/other-address')
      }
      expect(asked).toEqual([])
    },
  )

  test.each([undefined, 'null', 'http://evil.example', 'http://127.0.0.1:1', 'https://127.0.0.1'])(
    'Origin %s is refused, even with the token',
    async (origin) => {
      for (const path of ['/call/panels.get', '/session', '/upload?name=a.jpg']) {
        const answered = await ask(path, { method: 'POST', body: '{}', headers: { origin } })
        expect(answered.status).toBe(403)
        expect(codeOf(answered)).toBe('host/other-page')
      }
      expect(asked).toEqual([])
      expect(readdirSync(join(folder, 'staging'))).toEqual([])
    },
  )

  test.each([undefined, '', 'wrong', `${token}x`])('token %s is refused, even with the cookie', async (given) => {
    for (const path of ['/call/panels.get', '/session', '/upload?name=a.jpg']) {
      const answered = await ask(path, { method: 'POST', body: '{}', headers: { 'x-token': given, cookie } })
      expect(answered.status).toBe(403)
      expect(codeOf(answered)).toBe('host/no-token')
    }
    expect(asked).toEqual([])
  })

  test('pictures, documents and events are refused without the cookie, and to another site that has it', async () => {
    for (const path of ['/picture/cut/one', '/document/1', '/events']) {
      for (const headers of [{}, { cookie: `overground-${server.port}=wrong` }])
        expect((await ask(path, { headers })).status).toBe(403)
      for (const site of ['cross-site', 'same-site'])
        expect((await ask(path, { headers: { cookie, 'sec-fetch-site': site } })).status).toBe(403)
    }
    expect(asked).toEqual([])
  })

  test('the cookie is kept from scripts and other sites, and is not the token', async () => {
    const answered = await ask('/session', { method: 'POST' })
    const set = String(answered.headers['set-cookie'])
    expect(set).toMatch(/; HttpOnly/)
    expect(set).toMatch(/; SameSite=Strict/)
    expect(set).toContain(`overground-${server.port}=`)
    expect(set).not.toContain(token)
  })

  test.each(['PUT', 'DELETE', 'OPTIONS', 'PATCH'])('%s is refused', async (method) => {
    expect((await ask('/call/panels.get', { method })).status).toBe(405)
  })

  test('only this computer is listened to', async () => {
    const others = Object.values(networkInterfaces())
      .flat()
      .filter((one) => one?.family === 'IPv4' && !one.internal)
    for (const other of others) {
      const code = await new Promise((resolve) => {
        const socket = connect(server.port, other?.address)
        socket.once('connect', () => {
          socket.destroy()
          resolve('connected')
        })
        socket.once('error', (error: NodeJS.ErrnoException) => resolve(error.code))
      })
      expect(code).not.toBe('connected')
    }
  })
})

describe('calls', () => {
  test('calls for hosts, and calls that do not exist, are refused', async () => {
    expect(hostOnly.size).toBeGreaterThan(0)
    for (const name of [...hostOnly, 'no.such', 'toString', '__proto__', '', 'panels.get/..'])
      expect((await ask(`/call/${name}`, { method: 'POST', body: '{}' })).status).toBe(404)
    expect(asked).toEqual([])
  })

  test('every other call of the contract is carried', async () => {
    const names = Object.keys(calls).filter((name) => !hostOnly.has(name))
    for (const name of names) expect((await ask(`/call/${name}`, { method: 'POST', body: '{}' })).status).toBe(200)
    expect(asked.map((one) => one.name)).toEqual(names)
  })

  test('a body that is too large is refused, announced or not', async () => {
    const body = Buffer.alloc(limit.bytes + 1, 0x20)
    for (const headers of [{}, { 'transfer-encoding': 'chunked' }]) {
      const answered = await ask('/call/panels.get', { method: 'POST', body, headers })
      expect(answered.status).toBe(413)
      expect(codeOf(answered)).toBe('host/too-large')
    }
    expect(asked).toEqual([])
  })

  test('a body that is not JSON is refused', async () => {
    const answered = await ask('/call/panels.get', { method: 'POST', body: '{' })
    expect(codeOf(answered)).toBe('host/not-json')
  })

  test('a body that stops coming is refused', async () => {
    const answered = await new Promise<string>((resolve) => {
      const socket = connect(server.port, '127.0.0.1')
      const head = [
        `Host: ${own()}`,
        `Origin: http://${own()}`,
        `x-token: ${token}`,
        'Content-Type: application/json',
        'Content-Length: 100',
      ]
      socket.write(`POST /call/panels.get HTTP/1.1\r\n${head.join('\r\n')}\r\n\r\n{"key"`)
      let text = ''
      socket.on('data', (piece) => {
        text += String(piece)
      })
      socket.once('close', () => resolve(text))
    })
    expect(answered).toMatch(/^HTTP\/1\.1 408 /)
    expect(answered).toContain('host/too-slow')
    expect(asked).toEqual([])
  })
})

describe('pages', () => {
  test('a place has no file of its own: it gets the page, with its policy', async () => {
    for (const path of ['/', '/rack', '/panel/P-0001', '/index.html']) {
      const answered = await ask(path)
      expect(answered.status).toBe(200)
      expect(answered.text).toContain('<title>page</title>')
      const policy = String(answered.headers['content-security-policy'])
      expect(policy).toContain("default-src 'none'")
      expect(policy).toContain("script-src 'self'")
      expect(policy).not.toContain('unsafe')
    }
  })

  test('every answer says that it is what it says, and for us alone', async () => {
    for (const path of ['/', '/assets/main-abc.js', '/absent.js', '/capabilities', '/picture/cut/one']) {
      const { headers } = await ask(path, { headers: { cookie } })
      expect(headers['x-content-type-options']).toBe('nosniff')
      expect(headers['referrer-policy']).toBe('no-referrer')
      expect(headers['cross-origin-opener-policy']).toBe('same-origin')
      expect(headers['cross-origin-resource-policy']).toBe('same-origin')
      expect(headers['content-security-policy']).toContain("default-src 'none'")
      expect(headers['access-control-allow-origin']).toBeUndefined()
    }
  })

  test('a built file has its type and lasts; a missing one stays missing', async () => {
    const found = await ask('/assets/main-abc.js')
    expect(found.headers['content-type']).toContain('text/javascript')
    expect(found.headers['cache-control']).toContain('immutable')
    expect((await ask('/assets/absent.js')).status).toBe(404)
  })

  test.each([
    '/../secret.txt',
    '/assets/../../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e%5csecret.txt',
    '/assets/..\\..\\secret.txt',
    '//secret.txt',
    '/linked.js',
    '/index.html%00.js',
    '/%ff.js',
    'secret.txt',
    'http://evil.example/secret.txt',
  ])('%s shows nothing', async (path) => {
    const answered = await ask(path)
    expect(answered.status).toBeGreaterThanOrEqual(400)
    expect(answered.text).not.toContain('not for pages')
  })

  test('says what it can do', async () => {
    const answered = await ask('/capabilities')
    expect(JSON.parse(answered.text)).toEqual({
      kind: 'browser',
      canPickFolder: false,
      canPrint: false,
      canOpenLogs: false,
    })
  })
})

describe('pictures and documents', () => {
  test('a picture comes with its type and lasts', async () => {
    const answered = await ask('/picture/cut/one', { headers: { cookie, 'sec-fetch-site': 'same-origin' } })
    expect(answered.text).toBe('picture bytes')
    expect(answered.headers['content-type']).toBe('image/jpeg')
    expect(answered.headers['cache-control']).toContain('immutable')
    expect(asked).toEqual([{ name: 'pictures.locate', input: { key: 'cut/one' } }])
  })

  test('a picture made before is sent without asking again, until another rack is open', async () => {
    const key = `cut/${'a1'.repeat(16)}/small`
    const shelf = join(folder, 'rack/cuts/a1')
    mkdirSync(shelf, { recursive: true })
    writeFileSync(join(shelf, `${'a1'.repeat(16)}-small.webp`), 'small one')
    const get = () => ask(`/picture/${key}`, { headers: { cookie } })
    pictures.hear({ name: 'rack.opened', data: {} })
    await ask('/picture/cut/one', { headers: { cookie } })
    asked.length = 0
    const answered = await get()
    expect(answered.text).toBe('small one')
    expect(answered.headers['content-type']).toBe('image/webp')
    expect(answered.headers['cache-control']).toContain('immutable')
    expect(asked).toEqual([])
    pictures.hear({ name: 'rack.closed', data: {} })
    await get()
    expect(asked.map(({ name }) => name)).toEqual(['pictures.locate'])
  })

  test('an empty file, as a power cut leaves it, is asked for, and links are not followed out of the rack', async () => {
    const shelf = join(folder, 'rack/cuts/b2')
    mkdirSync(shelf, { recursive: true })
    writeFileSync(join(shelf, `${'b2'.repeat(16)}.webp`), '')
    symlinkSync(join(folder, 'secret.txt'), join(shelf, `${'b2'.repeat(16)}-large.webp`))
    await ask('/picture/cut/one', { headers: { cookie } })
    for (const size of ['', '/large']) {
      asked.length = 0
      const answered = await ask(`/picture/cut/${'b2'.repeat(16)}${size}`, { headers: { cookie } })
      expect(answered.text).not.toContain('not for pages')
      expect(asked.map(({ name }) => name)).toEqual(['pictures.locate'])
    }
  })

  test('a page that scrolls past a picture gives it up', async () => {
    const key = 'slow'
    await new Promise<void>((resolve, reject) => {
      const headers = { host: own(), cookie }
      const sent = request({ host: '127.0.0.1', port: server.port, path: `/picture/${key}`, headers })
      sent.on('error', () => resolve())
      sent.on('response', () => reject(new Error('It was answered.')))
      sent.end()
      const look = setInterval(() => {
        if (asked.length === 0) return
        clearInterval(look)
        sent.destroy()
      }, 5)
    })
    await vi.waitFor(() =>
      expect(asked).toEqual([
        { name: 'pictures.locate', input: { key } },
        { name: 'pictures.giveUp', input: { keys: [key] } },
      ]),
    )
  })

  test.each([
    '..%2fsecret.txt',
    '../secret.txt',
    'cut%2f..%2f..%2fsecret.txt',
    'linked',
    'cut',
    'drawing.svg',
    'absent',
    '',
  ])('the key "%s" shows nothing', async (key) => {
    const answered = await ask(`/picture/${key}`, { headers: { cookie } })
    expect(answered.status).toBe(404)
    expect(answered.text).not.toContain('not for pages')
  })

  test('a document opens in the browser under its own name', async () => {
    const answered = await ask('/document/1', { headers: { cookie, 'sec-fetch-site': 'none' } })
    expect(answered.text).toBe('%PDF-1.7')
    expect(answered.headers['content-type']).toBe('application/pdf')
    const name = /filename\*=UTF-8''(.+)$/.exec(String(answered.headers['content-disposition']))?.[1] ?? ''
    expect(decodeURIComponent(name)).toBe('P-0001 «Grün».pdf')
  })

  test.each([
    ['sheet.jpg', 'image/jpeg'],
    ['sheet.png', 'image/png'],
  ])('a picture of a data sheet (%s) opens as a picture and as nothing else', async (name, type) => {
    const answered = await ask(`/document/${name}`, { headers: { cookie, 'sec-fetch-site': 'none' } })
    expect(answered.headers['content-type']).toBe(type)
    expect(answered.headers['x-content-type-options']).toBe('nosniff')
    expect(answered.headers['content-disposition']).toMatch(/^inline; /)
  })

  test('any other document is saved, and never shown as a page', async () => {
    const answered = await ask('/document/readings', { headers: { cookie, 'sec-fetch-site': 'none' } })
    expect(answered.headers['content-type']).toBe('application/octet-stream')
    expect(answered.headers['content-disposition']).toMatch(/^attachment; /)
    expect(answered.headers['x-content-type-options']).toBe('nosniff')
    expect(answered.headers['content-security-policy']).toContain("default-src 'none'")
  })
})

describe('uploads', () => {
  test.each([
    ['IMG_1.jpg', 'IMG_1.jpg'],
    ['../../evil.jpg', 'evil.jpg'],
    ['C:\\photos\\a.png', 'a.png'],
    ['', 'file'],
    ['..', '_'],
    ['Grün 4:1?.tiff', 'Grün 4_1_.tiff'],
    [`${'x'.repeat(400)}.jpeg`, `${'x'.repeat(60)}.jpeg`],
  ])('a file sent as "%s" waits as "%s" in the staging folder', async (name, kept) => {
    const body = Buffer.from(Array.from({ length: 1000 }, (_, index) => index % 256))
    const answered = await upload(name, body)
    expect(answered.status).toBe(200)
    const { path } = JSON.parse(answered.text) as { path: string }
    expect(path.startsWith(join(folder, 'staging'))).toBe(true)
    expect(path.split(/[\\/]/).at(-1)).toBe(kept)
    expect(readFileSync(path).equals(body)).toBe(true)
  })

  test('nothing stays of a file that is too large', async () => {
    const before = readdirSync(join(folder, 'staging')).length
    const body = Buffer.alloc(limit.bytes + 1)
    const answered = await ask('/upload?name=a.jpg', {
      method: 'POST',
      body,
      headers: { 'transfer-encoding': 'chunked' },
    })
    expect(answered.status).toBe(413)
    expect(readdirSync(join(folder, 'staging'))).toHaveLength(before)
  })

  test('nothing stays of a file that breaks off', async () => {
    const before = readdirSync(join(folder, 'staging')).length
    const socket = connect(server.port, '127.0.0.1')
    const head = [`Host: ${own()}`, `Origin: http://${own()}`, `x-token: ${token}`, 'Content-Length: 1000']
    socket.write(`POST /upload?name=a.jpg HTTP/1.1\r\n${head.join('\r\n')}\r\n\r\nabc`)
    await vi.waitFor(() => expect(readdirSync(join(folder, 'staging'))).toHaveLength(before + 1))
    socket.destroy()
    await vi.waitFor(() => expect(readdirSync(join(folder, 'staging'))).toHaveLength(before))
  })
})

test('events reach every page that listens, and a page that left is forgotten', async () => {
  const pages = [listen(), listen()]
  await vi.waitFor(() => expect(pages.every((page) => page.text().includes('retry:'))).toBe(true))
  expect(pages.map((page) => page.type())).toEqual(Array(2).fill('text/event-stream; charset=utf-8'))
  events.send({ name: 'rack.changed', data: { revision: 7 } })
  for (const page of pages)
    await vi.waitFor(() => expect(page.text()).toContain('data: {"name":"rack.changed","data":{"revision":7}}\n\n'))
  pages[0]?.leave()
  await vi.waitFor(() => expect(events.count()).toBe(1))
  events.send({ name: 'rack.closed', data: {} })
  await vi.waitFor(() => expect(pages[1]?.text()).toContain('rack.closed'))
  expect(pages[0]?.text()).not.toContain('rack.closed')
  pages[1]?.leave()
})
