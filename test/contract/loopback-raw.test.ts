import { mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { connect, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { eventStreams } from '../../electron/loopback/events.ts'
import { loopbackServer } from '../../electron/loopback/server.ts'
import { pictureLocator } from '../../electron/service/link/located.ts'
import type { Reply } from '../../shared-core/contract/host.ts'

/** The real server, spoken to byte by byte: what no well-behaved client would send. */
const token = 'the-token-of-a-test'
const limit = { bytes: 20_000, idleMs: 200, totalMs: 800 }
const connections = { atOnce: 60, headersMs: 300, lookEveryMs: 50, headBytes: 8_192 }
const events = eventStreams()
const asked: { name: string; input: unknown }[] = []
const noted: string[] = []
let folder: string
let server: Awaited<ReturnType<typeof loopbackServer>>
let cookie: string
const sockets = new Set<Socket>()

async function call(name: string, input: unknown): Promise<Reply> {
  asked.push({ name, input })
  if (name === 'pictures.locate')
    return { ok: true, value: { path: join(folder, 'rack/one'), type: 'image/webp', inside: join(folder, 'rack') } }
  return { ok: true, value: {} }
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'loopback-raw-'))
  for (const name of ['pages/assets', 'rack', 'staging']) mkdirSync(join(folder, name), { recursive: true })
  writeFileSync(join(folder, 'pages/index.html'), '<!doctype html><title>page</title>')
  writeFileSync(join(folder, 'pages/assets/a.js'), 'export {}')
  writeFileSync(join(folder, 'secret.txt'), 'not for pages')
  writeFileSync(join(folder, 'rack/one'), 'picture bytes')
  symlinkSync(folder, join(folder, 'pages/up'))
  symlinkSync(join(folder, 'secret.txt'), join(folder, 'pages/assets/linked.js'))
  server = await loopbackServer({
    call,
    pictures: pictureLocator(call),
    events,
    pages: join(folder, 'pages'),
    staging: join(folder, 'staging'),
    token,
    port: 0,
    details: () => 'versions',
    note: (during, error) => void noted.push(`${during}: ${String(error)}`),
    callLimit: limit,
    // so that each limit is seen by itself: Node's own for a whole request comes last
    uploadLimit: { ...limit, totalMs: 60_000 },
    connectionLimits: connections,
  })
  cookie = /set-cookie: ([^;]+)/i.exec(await say(post('/session')))?.[1] ?? ''
})
afterAll(async () => {
  await server.close()
  rmSync(folder, { recursive: true, force: true })
})
beforeEach(() => {
  asked.length = 0
})
afterEach(() => {
  for (const socket of sockets) socket.destroy()
  sockets.clear()
})

const host = () => `127.0.0.1:${server.port}`
const lines = (...all: (string | null)[]) => `${all.filter((one) => one !== null).join('\r\n')}\r\n\r\n`
const get = (path: string, ...more: string[]) =>
  lines(`GET ${path} HTTP/1.1`, `Host: ${host()}`, 'Connection: close', ...more)
const own = () => [`Host: ${host()}`, `Origin: http://${host()}`, `X-Token: ${token}`, 'Content-Type: application/json']
/** A call of our own page; `change` replaces or (null) leaves out a line of its head by its name. */
function post(path: string, body = '{}', change: Record<string, string | null> = {}): string {
  const head = [...own(), `Content-Length: ${Buffer.byteLength(body)}`, 'Connection: close']
  const kept = head.filter(
    (line) => !Object.keys(change).some((name) => line.toLowerCase().startsWith(`${name.toLowerCase()}:`)),
  )
  const added = Object.entries(change).flatMap(([name, value]) => (value === null ? [] : [`${name}: ${value}`]))
  return lines(`POST ${path} HTTP/1.1`, ...kept, ...added) + body
}

function open(): Socket {
  const socket = connect(server.port, '127.0.0.1')
  sockets.add(socket)
  socket.on('error', () => undefined)
  return socket
}
/** Sends these bytes, piece by piece. @returns all that came until the connection ended */
function say(...pieces: (string | Buffer)[]): Promise<string> {
  return new Promise((resolve) => {
    const socket = open()
    let heard = ''
    socket.on('data', (data) => {
      heard += data.toString('latin1')
    })
    socket.once('close', () => resolve(heard))
    for (const piece of pieces) socket.write(piece)
  })
}
const statuses = (heard: string) => [...heard.matchAll(/HTTP\/1\.1 (\d{3})/g)].map(([, status]) => Number(status))
const statusOf = async (...pieces: (string | Buffer)[]) => statuses(await say(...pieces))[0]

test('what these tests send is taken when it is as it should be', async () => {
  expect(await statusOf(post('/call/panels.get', '{"key":"P-0001"}'))).toBe(200)
  expect(asked).toEqual([{ name: 'panels.get', input: { key: 'P-0001' } }])
  expect(await say(get('/panel/P-0001'))).toContain('<title>page</title>')
  expect(await say(get('/picture/one', `Cookie: ${cookie}`))).toContain('picture bytes')
  expect(await say(post('/details'))).toContain('{"details":"versions"}')
})

describe('names that were made to lead here', () => {
  const names = (port: number) => [
    `localhost:${port}`,
    `127.0.0.1.:${port}`,
    '127.0.0.1',
    `127.0.0.1:${port}.`,
    `127.0.0.1:0${port}`,
    `[::1]:${port}`,
    `[::ffff:127.0.0.1]:${port}`,
    `0.0.0.0:${port}`,
    `127.1:${port}`,
    `2130706433:${port}`,
    `0x7f.0.0.1:${port}`,
    `rebound.example:${port}`,
    `127.0.0.1:${port}@rebound.example`,
    `rebound.example@127.0.0.1:${port}`,
    `127.0.0.1:${port},rebound.example`,
    '',
  ]
  test('any Host but the one is refused: page, picture, call, session', async () => {
    for (const name of names(server.port)) {
      const others = [
        lines('GET / HTTP/1.1', `Host: ${name}`, 'Connection: close'),
        lines('GET /picture/one HTTP/1.1', `Host: ${name}`, `Cookie: ${cookie}`, 'Connection: close'),
        post('/call/panels.get', '{}', { Host: name }),
        post('/session', '', { Host: name }),
      ]
      for (const one of others) {
        const heard = await say(one)
        expect([400, 403]).toContain(statuses(heard)[0])
        expect(heard).not.toMatch(/<title>page|picture bytes|set-cookie/i)
      }
    }
    expect(asked).toEqual([])
  })
  test('two Hosts, or an address with another in it, are refused', async () => {
    expect(
      await statusOf(lines('GET / HTTP/1.1', `Host: ${host()}`, 'Host: rebound.example', 'Connection: close')),
    ).not.toBe(200)
    expect(
      await statusOf(lines('GET / HTTP/1.1', 'Host: rebound.example', `Host: ${host()}`, 'Connection: close')),
    ).not.toBe(200)
    expect(
      await statusOf(lines(`GET http://rebound.example/ HTTP/1.1`, `Host: ${host()}`, 'Connection: close')),
    ).not.toBe(200)
    expect(await statusOf(lines('GET / HTTP/1.0', 'Connection: close'))).not.toBe(200)
  })
})

describe('what a page of another address can make a browser send', () => {
  test.each([
    ['a form', { 'Content-Type': 'application/x-www-form-urlencoded', 'X-Token': null, Origin: 'http://a.example' }],
    ['a form with a file', { 'Content-Type': 'multipart/form-data; boundary=x', 'X-Token': null, Origin: 'null' }],
    ['JSON said to be text', { 'Content-Type': 'text/plain', 'X-Token': null, Origin: 'http://a.example' }],
    ['a beacon', { 'Content-Type': 'text/plain;charset=UTF-8', 'X-Token': null, Origin: 'http://a.example' }],
    ['a page in a frame without an origin', { Origin: 'null' }],
    ['no origin at all', { Origin: null }],
    ['two origins', { Origin: 'http://a.example http://127.0.0.1' }],
    ['one that knows the token', { 'Sec-Fetch-Site': 'cross-site' }],
    ['a page of another port', { 'Sec-Fetch-Site': 'same-site' }],
  ])('%s does nothing', async (_, change: Record<string, string | null>) => {
    for (const path of ['/call/panels.save', '/upload?name=a.jpg', '/session', '/details']) {
      const heard = await say(post(path, 'draft={}', change))
      expect(statuses(heard)[0]).toBe(403)
      expect(heard).not.toMatch(/set-cookie|access-control/i)
    }
    expect(asked).toEqual([])
    expect(readdirSync(join(folder, 'staging'))).toEqual([])
  })
  test.each([
    'text/plain',
    'application/x-www-form-urlencoded',
    'multipart/form-data; boundary=x',
    'application/jsonp',
  ])('a call said to be %s is refused, whoever sends it', async (type) => {
    expect(await statusOf(post('/call/panels.get', '{}', { 'Content-Type': type }))).toBe(400)
    expect(await statusOf(post('/call/panels.get', '{}', { 'Content-Type': null }))).toBe(400)
    expect(asked).toEqual([])
  })
  test('asking first whether it may gets no leave', async () => {
    const heard = await say(
      lines(
        'OPTIONS /call/panels.get HTTP/1.1',
        `Host: ${host()}`,
        'Origin: http://a.example',
        'Access-Control-Request-Method: POST',
        'Access-Control-Request-Headers: x-token',
        'Access-Control-Request-Private-Network: true',
        'Connection: close',
      ),
    )
    expect(statuses(heard)).toEqual([405])
    expect(heard).not.toMatch(/access-control/i)
  })
  test('scripts, pictures and frames of ours are not given into its page; a link to ours is followed', async () => {
    for (const path of ['/assets/a.js', '/', '/capabilities', '/picture/one', '/events'])
      for (const mode of ['no-cors', 'cors', 'same-origin', 'websocket'])
        expect(
          await statusOf(get(path, `Cookie: ${cookie}`, 'Sec-Fetch-Site: cross-site', `Sec-Fetch-Mode: ${mode}`)),
        ).toBe(403)
    const navigated = ['Sec-Fetch-Site: cross-site', 'Sec-Fetch-Mode: navigate', 'Sec-Fetch-Dest: document']
    expect(await statusOf(get('/', ...navigated))).toBe(200)
    // a kept cookie is not enough for it
    for (const path of ['/picture/one', '/document/x', '/events'])
      expect(await statusOf(get(path, `Cookie: ${cookie}`, ...navigated))).toBe(403)
  })
  test('tokens that begin alike, are longer, empty or repeated are refused', async () => {
    for (const given of [token.slice(0, -1), `${token} x`, '', token.toUpperCase(), `${token}, ${token}`])
      expect(await statusOf(post('/call/panels.get', '{}', { 'X-Token': given }))).toBe(403)
    expect(
      await statusOf(
        post('/call/panels.get', '{}', { 'X-Token': token, Cookie: `overground-${server.port}=${token}` }),
      ),
    ).toBe(200)
    expect(await statusOf(get('/picture/one', `Cookie: overground-${server.port}=${token}`))).toBe(403)
  })
  test('every answer forbids to be guessed at, framed, read by others, or to use the computer’s devices', async () => {
    const heads = [get('/'), get('/absent.js'), get('/../x'), post('/call/no.such'), post('/call/panels.get', '{', {})]
    for (const one of heads) {
      const head = (await say(one)).split('\r\n\r\n')[0]!.toLowerCase()
      expect(head).toContain('x-content-type-options: nosniff')
      expect(head).toContain('cross-origin-opener-policy: same-origin')
      expect(head).toContain('cross-origin-resource-policy: same-origin')
      expect(head).toContain('referrer-policy: no-referrer')
      expect(head).toMatch(/permissions-policy: .*camera=\(\).*geolocation=\(\)/)
      expect(head).toContain("frame-ancestors 'none'")
      expect(head).not.toContain('access-control')
      expect(head).not.toMatch(/\r\nserver:|x-powered-by/)
    }
  })
  test('what is answered to one is kept by nobody; what is named by its content is', async () => {
    expect(await say(post('/call/panels.get'))).toMatch(/cache-control: no-store/i)
    expect(await say(post('/session'))).toMatch(/cache-control: no-store/i)
    expect(await say(get('/'))).toMatch(/cache-control: no-cache/i)
    expect(await say(get('/picture/one', `Cookie: ${cookie}`))).toMatch(
      /cache-control: private, max-age=31536000, immutable/i,
    )
  })
})

describe('paths that lead out', () => {
  const ways = [
    '/../secret.txt',
    '/%2e%2e/secret.txt',
    '/%252e%252e/secret.txt',
    '/..%252fsecret.txt',
    '/.%2e/secret.txt',
    '/assets/%2e%2e/%2e%2e/secret.txt',
    '/assets/..%5c..%5csecret.txt',
    '/assets\\..\\..\\secret.txt',
    '/..%c0%afsecret.txt',
    '/%00/secret.txt',
    '/secret.txt%00.js',
    '/up/secret.txt',
    '/up/rack/one',
    '/assets/linked.js',
    '//secret.txt',
    '/./../secret.txt',
    '/%2Fetc/passwd.txt',
    '/%',
    '/%zz',
    '/assets/a.js/../../../secret.txt',
    '*',
    'secret.txt',
    '?/../secret.txt',
    '/C:/secret.txt',
    '/file:///etc/passwd.txt',
  ]
  test.each(ways)('%s shows nothing', async (path) => {
    for (const before of ['', '/picture', '/document']) {
      const heard = await say(get(before + path, `Cookie: ${cookie}`))
      expect(heard).not.toMatch(/not for pages|root:/)
      expect(heard.includes('picture bytes') && before === '').toBe(false)
    }
  })
})

test.each(['/assets/../assets/a.js', '/assets/%2e%2e/assets/a.js', '/assets\\a.js', '/assets/a.js%00'])(
  '%s is no way of writing an address, wherever it leads',
  async (path) => {
    expect(await statusOf(get('/assets/a.js'))).toBe(200)
    expect(await statusOf(get(path))).toBe(404)
  },
)

describe('bodies', () => {
  test('larger than allowed: declared, in pieces, or larger than declared', async () => {
    const large = 'x'.repeat(limit.bytes + 1)
    expect(await statusOf(post('/call/panels.get', large))).toBe(413)
    // declared, and nothing sent yet: nobody waits for it
    for (const path of ['/call/panels.get', '/upload?name=a.jpg'])
      expect(await statusOf(post(path, '', { 'Content-Length': String(limit.bytes + 1) }))).toBe(413)
    const chunked = lines('POST /call/panels.get HTTP/1.1', ...own(), 'Transfer-Encoding: chunked')
    const piece = `${(5_000).toString(16)}\r\n${'x'.repeat(5_000)}\r\n`
    expect(await statusOf(chunked, piece, piece, piece, piece, piece)).toBe(413)
    // what comes after a body is the next request, and this is none
    const lying = post('/call/panels.get', '{}', { Connection: null }) + large
    expect(statuses(await say(lying)).at(-1)).toBe(400)
    expect(asked.filter(({ name }) => name !== 'panels.get')).toEqual([])
  })
  test('a length that is none is refused', async () => {
    for (const length of ['-1', '1e3', '0x10', '+2', '2, 2', ' ', '99999999999999999999', 'two'])
      expect(await statusOf(post('/call/panels.get', '{}', { 'Content-Length': length }))).not.toBe(200)
    expect(asked).toEqual([])
  })
  test('slow to come: between pieces, or in all', async () => {
    const head = lines('POST /call/panels.get HTTP/1.1', ...own(), 'Content-Length: 1000')
    expect(await statusOf(head, '{')).toBe(408)
    const drop = await new Promise<string>((resolve) => {
      const socket = open()
      let heard = ''
      socket.on('data', (data) => {
        heard += String(data)
      })
      socket.write(head)
      const drip = setInterval(() => socket.write(' '), 50)
      socket.once('close', () => {
        clearInterval(drip)
        resolve(heard)
      })
    })
    expect(statuses(drop)[0]).toBe(408)
    expect(asked).toEqual([])
  })
  test('who waits for leave to send is given it only with token, origin and a fair length', async () => {
    const wait = { Expect: '100-continue' }
    expect(statuses(await say(post('/call/panels.get', '{}', wait)))).toEqual([100, 200])
    expect(statuses(await say(post('/call/panels.get', '{}', { ...wait, 'X-Token': 'x' })))).toEqual([403])
    expect(statuses(await say(post('/call/panels.get', '{}', { ...wait, Origin: 'null' })))).toEqual([403])
    expect(statuses(await say(post('/upload?name=a', '', { ...wait, 'Content-Length': '999999999' })))).toEqual([413])
    expect(statuses(await say(post('/call/panels.get', '{}', { Expect: 'the-moon' })))).toEqual([417])
  })
})

describe('heads', () => {
  test('one that never ends is cut off', async () => {
    expect(await statusOf(`GET / HTTP/1.1\r\nHost: ${host()}\r\n`)).toBe(408)
  })
  test('one that is too long, or has too many lines, is refused', async () => {
    expect(await statusOf(get('/', `X-Long: ${'x'.repeat(connections.headBytes)}`))).toBe(431)
    expect(await statusOf(get(`/${'x'.repeat(connections.headBytes)}`))).toBe(431)
  })
  test.each([
    ['two lengths', ['Content-Length: 2', 'Content-Length: 30']],
    ['a length and pieces', ['Content-Length: 5', 'Transfer-Encoding: chunked']],
    ['pieces under another name', ['Transfer-Encoding: xchunked']],
    ['pieces with a blank before the colon', ['Transfer-Encoding : chunked']],
    ['pieces twice', ['Transfer-Encoding: chunked', 'Transfer-Encoding: identity']],
    ['a line that goes on in the next', ['Content-Length: 2', 'X-A: b', ' c: d', ' Content-Length: 30']],
    ['a line without a colon', ['Content-Length: 2', 'no colon']],
    ['a line broken by a carriage return', ['Content-Length: 2', 'X-A: b\rX-Token: x']],
    ['a NUL in a line', ['Content-Length: 2', 'X-A: \0']],
  ])('%s cannot be read in two ways: it is refused, and nothing behind it is looked at', async (_, head) => {
    const smuggled = post('/call/panels.remove', '{"panelId":"x"}')
    const heard = await say(lines('POST /call/panels.get HTTP/1.1', ...own(), ...head) + `0\r\n\r\n${smuggled}`)
    expect(statuses(heard)).toEqual([400])
    expect(asked.map(({ name }) => name)).not.toContain('panels.remove')
  })
  test('pieces with a wrong size are refused', async () => {
    const chunked = lines('POST /call/panels.get HTTP/1.1', ...own(), 'Transfer-Encoding: chunked')
    for (const piece of [
      'zz\r\n{}\r\n0\r\n\r\n',
      'fffffffffffffffff\r\n',
      '2\r\n{}x\r\n0\r\n\r\n',
      '-2\r\n{}\r\n0\r\n\r\n',
    ])
      expect(statuses(await say(chunked, piece))[0]).not.toBe(200)
    expect(asked).toEqual([])
  })
})

describe('methods', () => {
  test.each(['PUT', 'DELETE', 'PATCH', 'TRACE', 'OPTIONS', 'PROPFIND', 'MKCOL'])('%s is refused', async (method) => {
    const heard = await say(lines(`${method} / HTTP/1.1`, ...own(), 'Connection: close'))
    expect(statuses(heard)).toEqual([405])
  })
  test('a tunnel, another protocol, and no protocol at all get nowhere', async () => {
    expect(await say(lines('CONNECT 127.0.0.1:22 HTTP/1.1', `Host: ${host()}`))).not.toContain(' 200 ')
    const socket = [
      'Upgrade: websocket',
      'Connection: Upgrade',
      'Sec-WebSocket-Version: 13',
      'Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==',
    ]
    const heard = await say(lines('GET /events HTTP/1.1', `Host: ${host()}`, `Cookie: ${cookie}`, ...socket))
    expect(heard).not.toMatch(/ 101 | 200 /)
    expect(await say('PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n')).not.toContain(' 200 ')
    expect(await statusOf(Buffer.from([0x16, 3, 1, 0, 0xa5, 1, 0, 0, 0xa1, 3, 3]))).toBe(400)
    expect(await statusOf('\r\n\r\n\r\nhello\r\n\r\n')).toBe(400)
  })
  test('HEAD has the head alone', async () => {
    const heard = await say(lines('HEAD / HTTP/1.1', `Host: ${host()}`, 'Connection: close'))
    expect(statuses(heard)).toEqual([200])
    expect(heard).not.toContain('<title>')
  })
})

describe('many at once', () => {
  test('more listeners than any painter has tabs are refused; those that left make room', async () => {
    const listening: Socket[] = []
    const listen = () =>
      new Promise<string>((resolve) => {
        const socket = open()
        listening.push(socket)
        socket.once('data', (data) => resolve(String(data)))
        socket.write(lines('GET /events HTTP/1.1', `Host: ${host()}`, `Cookie: ${cookie}`))
      })
    for (let count = 0; count < 40; count++) expect(statuses(await listen())).toEqual([200])
    expect(statuses(await listen())).toEqual([503])
    listening[0]?.destroy()
    await vi.waitFor(() => expect(events.count()).toBe(39))
    expect(statuses(await listen())).toEqual([200])
  })
  test('more connections than allowed are dropped, and those that stand go on', async () => {
    const first = open()
    await new Promise<void>((resolve) => first.once('connect', resolve))
    const others = Array.from({ length: connections.atOnce + 20 }, open)
    const closed = new Set<Socket>()
    for (const one of others) one.once('close', () => closed.add(one))
    await vi.waitFor(() => expect(closed.size).toBeGreaterThanOrEqual(20))
    const heard = new Promise<string>((resolve) => first.once('data', (data) => resolve(String(data))))
    first.write(get('/capabilities'))
    expect(statuses(await heard)).toEqual([200])
  })
})

describe('somebody who opens an address by hand', () => {
  const opened = ['Sec-Fetch-Dest: document', 'Sec-Fetch-Mode: navigate', 'Sec-Fetch-Site: none']
  test('reads what happened, what is safe and what to do', async () => {
    const heard = await say(get('/picture/one', ...opened))
    expect(statuses(heard)).toEqual([403])
    for (const words of ['What happened', 'What is safe', 'What to do', '<html lang="en">'])
      expect(heard).toContain(words)
    expect(heard).toMatch(/content-security-policy: default-src 'none'/i)
  })
  test('nothing that was asked for comes back as part of the page', async () => {
    for (const path of ['/<script>alert(1)</script>.js', '/%3Cscript%3E.js', '/picture/%3Cimg%20src=x%3E'])
      expect(await say(get(path, `Cookie: ${cookie}`, ...opened))).not.toMatch(/<script|<img/i)
  })
})

test('nothing of all this was taken for a fault of ours', () => {
  expect(noted).toEqual([])
})
