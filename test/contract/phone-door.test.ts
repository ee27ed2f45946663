import { request } from 'node:http'
import { describe, expect, test, vi } from 'vitest'
import { isPrivate, phoneAddresses } from '../../electron/service/phone/addresses.ts'
import { ask, doorBench, lines, newId, say, statusOf } from './phone-bench.ts'

/** The door for phones, spoken to byte by byte: who may come in, and that nobody comes to see anything. */

describe('where it listens', () => {
  test('networks of phones come first, those of programs last, and this computer alone is not offered', () => {
    const of = (address: string, internal = false) => ({
      address,
      internal,
      family: address.includes(':') ? ('IPv6' as const) : ('IPv4' as const),
      netmask: '',
      mac: '',
      cidr: null,
      scopeid: 0,
    })
    const all = {
      lo: [of('127.0.0.1', true), of('::1', true)],
      docker0: [of('172.17.0.1')],
      eth0: [of('203.0.113.5'), of('2001:db8::5'), of('fe80::5')],
      wlan0: [of('fd12::7'), of('192.168.1.7'), of('169.254.3.3')],
    }
    const offered = (withLoopback: boolean) => phoneAddresses(withLoopback, all).map(({ address }) => address)
    expect(offered(false)).toEqual(['192.168.1.7', 'fd12::7', '203.0.113.5', '2001:db8::5', '172.17.0.1'])
    expect(offered(true)).toContain('127.0.0.1')
  })
  test('private ranges are those of RFC 1918 and RFC 4193, to their last address', () => {
    const own = '10.0.0.0 10.255.255.255 172.16.0.0 172.31.255.255 192.168.0.0 192.168.255.255 fc00:: fdff::1'.split(
      ' ',
    )
    const others =
      '9.255.255.255 11.0.0.0 172.15.255.255 172.32.0.0 192.167.255.255 192.169.0.0 100.64.0.1 fb00:: fe00::1 2001:db8::'
    expect(own.filter((address) => !isPrivate(address))).toEqual([])
    expect(others.split(' ').filter(isPrivate)).toEqual([])
  })
})

describe('codes', () => {
  const pair = async (port: number, token: unknown) => (await ask(port, '/pair', { token })).status
  test('one is taken once, by the first that has it; a wrong one never', async () => {
    const door = await doorBench({ slowMs: 0 })
    const code = door.state().code?.token ?? ''
    expect(Buffer.from(code, 'base64url')).toHaveLength(32)
    const wrong = ['', code.slice(0, -1), `${code}A`, code.toUpperCase(), 'x'.repeat(43), null, 7, { code }, [code]]
    for (const one of wrong) expect([400, 403]).toContain(await pair(door.port, one))
    const both = await Promise.all([pair(door.port, code), pair(door.port, code)])
    expect(both.toSorted((a, b) => a - b)).toEqual([200, 403])
    expect((await ask(door.port, '/pair', { token: code })).body.error?.code).toBe('phone/wrong-code')
    // the one before is of no use once another is shown
    const [second, third] = [door.newCode(), door.newCode()]
    expect(new Set([code, second, third]).size).toBe(3)
    expect([await pair(door.port, second), await pair(door.port, third)]).toEqual([403, 200])
  })
  test('one that is too old is none', async () => {
    const door = await doorBench({ codeMs: 20, slowMs: 0 })
    const code = door.state().code?.token
    await new Promise((resolve) => setTimeout(resolve, 30))
    expect(await pair(door.port, code)).toBe(403)
    door.hear({ ask: 'keep-on', nr: 1 })
    expect(door.state().code).toBeNull()
  })
  test('after many wrong ones none is taken, and the desk is told; until somebody there wants a new one', async () => {
    const door = await doorBench({ wrongCodes: 5, slowMs: 0 })
    const code = door.state().code?.token
    for (let i = 0; i < 5; i++) expect(await pair(door.port, newId())).toBe(403)
    expect((await ask(door.port, '/pair', { token: code })).body.error?.code).toBe('phone/pairing-closed')
    await vi.waitUntil(() => door.state().isPairingClosed)
    expect(door.state().code).toBeNull()
    expect(await pair(door.port, door.newCode())).toBe(200)
    expect(door.state().isPairingClosed).toBe(false)
  })
  test('no more phones than there may be', async () => {
    const door = await doorBench({ phones: 2 })
    await door.phone()
    await door.phone()
    expect(door.newCode()).toBe('')
    expect(door.state().phones.map(({ name }) => name)).toEqual(['Browser 1', 'Browser 2'])
  })
})

describe('who is let go', () => {
  test('a phone that was disconnected, or left by itself, is a stranger', async () => {
    const door = await doorBench()
    const [phone, other] = [await door.phone(), await door.phone()]
    const asks = async ({ ask: of }: typeof phone) => (await of('/fates', { ids: [] })).status
    door.hear({ ask: 'disconnect', phoneId: door.state().phones[0]!.id, nr: 1 })
    expect([await asks(phone), await asks(other)]).toEqual([401, 200])
    expect((await other.ask('/leave', {})).status).toBe(200)
    expect(await asks(other)).toBe(401)
  })
  test.each([
    ['quiet', { quietMs: 40 }],
    ['long', { mostMs: 40 }],
    ['slept', { sleptMs: -100 }],
  ] as const)('it closes by itself: %s', async (why, limits) => {
    const door = await doorBench({ ...limits, watchEveryMs: 10 })
    await door.phone()
    await vi.waitUntil(() => door.ended() !== null)
    expect(door.ended()).toBe(why)
    await expect(ask(door.port, '/pair', { token: '' })).rejects.toThrow('fetch failed')
  })
  test('a sign of a phone, or “Keep on”, begins its time anew; a stranger’s knock does not', async () => {
    const door = await doorBench({ slowMs: 0 })
    const closes = () => {
      door.hear({ ask: 'new-code', nr: 1 })
      return Date.parse(door.state().closesAt)
    }
    const first = closes()
    const rest = () => new Promise((resolve) => setTimeout(resolve, 5))
    await rest()
    await ask(door.port, '/pair', { token: 'x' })
    expect(closes()).toBe(first)
    const phone = await door.phone()
    await rest()
    const second = closes()
    expect(second).toBeGreaterThan(first)
    await rest()
    await phone.ask('/fates', { ids: [] })
    const third = closes()
    expect(third).toBeGreaterThan(second)
    await rest()
    door.hear({ ask: 'keep-on', nr: 1 })
    expect(closes()).toBeGreaterThan(third)
  })
})

describe('what a page of another address can make a browser send', () => {
  test('another name for it, another origin, another site: nothing is done, and no code is used up', async () => {
    const door = await doorBench()
    const { port, host } = door
    const body = JSON.stringify({ token: door.newCode() })
    const post = (...head: string[]) =>
      lines('POST /pair HTTP/1.1', ...head, `Content-Length: ${body.length}`, 'Connection: close') + body
    const json = 'Content-Type: application/json'
    const own = [`Host: ${host}`, `Origin: http://${host}`]
    const wrong = [
      post(`Host: rebound.example:${port}`, `Origin: http://rebound.example:${port}`, json),
      post(`Host: localhost:${port}`, `Origin: http://localhost:${port}`, json),
      post('Host: 127.0.0.1', `Origin: http://${host}`, json),
      post(`Host: ${host}`, 'Host: rebound.example', `Origin: http://${host}`, json),
      post(`Host: ${host}`, json),
      post(`Host: ${host}`, 'Origin: null', json),
      post(`Host: ${host}`, 'Origin: http://a.example', json),
      post(...own, json, 'Sec-Fetch-Site: cross-site'),
      post(...own, json, 'Sec-Fetch-Site: same-site'),
      post(...own, 'Content-Type: text/plain'),
      post(...own, 'Content-Type: application/x-www-form-urlencoded'),
      post(...own),
      post(...own, json, 'Expect: 100-continue'),
      post(...own, json, 'Connection: upgrade', 'Upgrade: websocket'),
    ]
    for (const one of wrong) {
      const heard = await say(port, one)
      expect([400, 403, 405]).toContain(statusOf(heard))
      expect(heard).not.toMatch(/secret|access-control|set-cookie/i)
    }
    expect(statusOf(await say(port, post(...own, json)))).toBe(200)
  })
  test('asking first whether it may gets no leave, and its frames and scripts get nothing of ours', async () => {
    const { port, host } = await doorBench()
    const head = (method: string, path: string, ...more: string[]) =>
      lines(`${method} ${path} HTTP/1.1`, `Host: ${host}`, ...more, 'Connection: close')
    const heard = await say(
      port,
      head('OPTIONS', '/pair', 'Origin: http://a.example', 'Access-Control-Request-Method: POST'),
    )
    expect(statusOf(heard)).toBe(405)
    expect(heard).not.toMatch(/access-control/i)
    for (const path of ['/', '/phone-page.js', '/phone.css'])
      expect(
        statusOf(await say(port, head('GET', path, 'Sec-Fetch-Site: cross-site', 'Sec-Fetch-Mode: no-cors'))),
      ).toBe(403)
    const page = await say(port, head('GET', '/'))
    for (const rule of ['default', 'script', 'style', 'connect'])
      expect(page).toMatch(new RegExp(`${rule}-src '(none|self)'[;\r]`))
    expect(page).toContain("frame-ancestors 'none'")
    expect(page).toMatch(/x-content-type-options: nosniff/i)
    expect(page).toMatch(/cache-control: no-store/i)
    // nothing stands in the page that a policy would have to allow
    expect(page.split('\r\n\r\n')[1]).not.toMatch(/<script(?![^>]*src=)|<style|style=|onclick=|https?:\/\//)
  })
})

describe('nothing can be read', () => {
  const paths = [
    '/ /phone.css /phone-page.js /favicon.ico /pair /announce /piece /finish /fates /drop /leave',
    '/call/rack.describe /call/panels.list /picture/one /document/x /events /session /details /capabilities /upload',
    '/index.html /phone.html /service.js /phone-worker.ts /server.ts /main.ts /rack.sqlite /photos/ /staging/ /app',
    '/../x /%2e%2e/x /..%2fx /%00 //etc/passwd /etc/passwd /.claimed /phone-port.json /page/main.ts /tsconfig.json',
  ].flatMap((all) => all.split(' '))
  test('whatever is asked, however, by a stranger or by a phone: there are the files of one page, and nothing else', async () => {
    const pace = { burst: 100_000, perSecond: 100_000 }
    const door = await doorBench({
      strangersPace: pace,
      phonePace: pace,
      connectionPace: pace,
      slowMs: 0,
      wrongCodes: 1000,
    })
    const phone = await door.phone()
    const id = await phone.send(Buffer.concat([Buffer.from('\xff\xd8\xff', 'latin1'), Buffer.alloc(3000, 'velvet')]))
    const other = await door.phone()
    const readable = new Set<string>()
    const told = new Set<string>()
    for (const path of paths)
      for (const secret of [undefined, other.secret, 'x'.repeat(43)])
        await Promise.all(
          ['GET', 'HEAD', 'POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS', 'PROPFIND'].map(async (method) => {
            const sent = { id, ids: [id], name: 'a', size: 3003, sha256: 'a'.repeat(64), panel: '', light: '' }
            const { status, text } = await plainly(door.port, method, path, secret, JSON.stringify(sent))
            expect(text).not.toMatch(/velvet|root:|Error:/)
            if (status === 200) (method === 'GET' || method === 'HEAD' ? readable : told).add(path)
          }),
        )
    // from its source, a browser gets the page's own modules, and none of the server's
    expect([...readable]).toEqual(['/', '/phone.css', '/phone-page.js', '/favicon.ico', '/main.ts'])
    // `announce` by whoever knows the id of a picture takes it over: its standing, and no byte of it
    expect([...told].toSorted()).toEqual(['/announce', '/drop', '/fates', '/finish', '/leave'])
  })
  test('one phone is told nothing of another’s pictures', async () => {
    const door = await doorBench()
    const [phone, other] = [await door.phone(), await door.phone()]
    const id = newId()
    await phone.ask('/announce', { id, name: 'a.png', size: 5000 })
    expect((await other.ask('/fates', { ids: [id] })).body).toEqual({ fates: {} })
    expect((await other.piece(id, 0, new Uint8Array(10))).body.error?.code).toBe('phone/unknown-picture')
    expect((await other.ask('/drop', { id })).status).toBe(404)
    expect((await other.ask('/finish', { id, sha256: 'a'.repeat(64), panel: '', light: '' })).status).toBe(404)
  })
})

/** Asked without any of the care that `fetch` takes. */
function plainly(port: number, method: string, path: string, secret: string | undefined, body: string) {
  return new Promise<{ status: number; text: string }>((resolve, reject) => {
    const host = `127.0.0.1:${port}`
    const headers: Record<string, string> = { origin: `http://${host}`, 'content-type': 'application/json' }
    if (secret !== undefined) headers['x-phone'] = secret
    const asked = request({ host: '127.0.0.1', port, method, path, headers }, (response) => {
      let text = JSON.stringify(response.headers)
      response.on('data', (data: Buffer) => {
        text += data.toString('latin1')
      })
      response.on('end', () => resolve({ status: response.statusCode ?? 0, text }))
    })
    asked.on('error', reject)
    asked.end(method === 'POST' ? body : '')
  })
}
