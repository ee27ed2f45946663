import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, sep } from 'node:path'
import { afterAll, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { callBytes } from '../../electron/service/link/allowed-calls.ts'
import type { Starter } from '../../electron/service/link/client.ts'
import { logFile } from '../../electron/service/link/trouble-log.ts'
import * as fake from './fake-electron.ts'

/** The shell's own code in front of a stand-in for Electron: what pages may send it, and what it does when they break. */
const pagesFolder = await vi.hoisted(async () => {
  const { mkdtempSync: make } = await import('node:fs')
  return make(`${(await import('node:os')).tmpdir()}/shell-doors-pages-`)
})
vi.mock('electron', () => fake)
vi.mock('../../electron/service/link/node-child.ts', () => ({ nodeService: () => answering }))
vi.mock('../../electron/shell/utility-child.ts', () => ({ utilityService: () => answering }))
vi.mock('../../electron/shell/places.ts', async (original) => ({ ...(await original<object>()), pagesFolder }))

const served: { name: string; input: unknown }[] = []
let rack: string
let end: (why: string) => void = () => undefined
const answering: Starter = (heard, ended) => {
  end = ended
  return {
    pid: 1,
    send: ({ id, name, input }) => {
      if (name === 'service.ping') return
      served.push({ name, input })
      const { key = '' } = input as { key?: string }
      const located = {
        path: join(rack, key),
        type: key.endsWith('.svg') ? 'image/svg+xml' : 'image/webp',
        inside: rack,
      }
      const value = name === 'pictures.locate' ? located : name === 'rack.describe' ? { rack: null } : {}
      queueMicrotask(() => heard({ answer: { id, ok: true, value } }))
    },
    end: () => ended('asked to'),
    kill: () => ended('killed'),
  }
}

let home: string
let main: fake.FakeWindow
const ask = async (channel: string, ...args: unknown[]) =>
  fake.channels.get(channel)!({ sender: main.webContents, senderFrame: main.webContents.mainFrame }, ...args)
const fetched = (url: string, init?: RequestInit) => {
  const request = new Request(url, init)
  // what a page writes is resolved by the browser before it is asked for: what comes is looked at all the same
  return fake.protocols.get(url.split(':')[0]!)!(request)
}

beforeAll(async () => {
  home = mkdtempSync(join(tmpdir(), 'shell-doors-'))
  rack = join(home, 'rack')
  mkdirSync(join(rack, 'cut'), { recursive: true })
  mkdirSync(join(pagesFolder, 'assets'))
  writeFileSync(join(home, 'secret.txt'), 'not for pages')
  writeFileSync(join(rack, 'cut/one'), 'picture bytes')
  writeFileSync(join(rack, 'drawing.svg'), '<svg/>')
  symlinkSync(join(home, 'secret.txt'), join(rack, 'linked'))
  symlinkSync(join(home, 'secret.txt'), join(pagesFolder, 'assets/linked.js'))
  writeFileSync(join(pagesFolder, 'index.html'), '<!doctype html><title>page</title>')
  writeFileSync(join(pagesFolder, 'assets/main.js'), 'export {}')
  vi.stubEnv('OVERGROUND_HOME', home)
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
  await import('../../electron/shell/main.ts')
  await vi.waitUntil(() => fake.FakeWindow.all.length === 1)
  main = fake.FakeWindow.all[0]!
})
afterAll(() => {
  vi.restoreAllMocks()
  vi.unstubAllEnvs()
  for (const folder of [home, pagesFolder]) rmSync(folder, { recursive: true, force: true })
})
beforeEach(() => {
  served.length = 0
})

describe('our protocols', () => {
  test('give the page, its files and pictures of the rack', async () => {
    expect(await (await fetched('app://local/panel/P-0001')).text()).toContain('<title>page</title>')
    expect((await fetched('app://local/assets/main.js')).headers.get('content-type')).toContain('text/javascript')
    const picture = await fetched('app://local/picture/cut/one')
    expect(await picture.text()).toBe('picture bytes')
    expect(picture.headers.get('x-content-type-options')).toBe('nosniff')
  })

  test.each([
    'app://local/..%2fsecret.txt',
    'app://local/%2e%2e%2fsecret.txt',
    'app://local/%252e%252e%252fsecret.txt',
    'app://local/assets/..%5c..%5csecret.txt',
    'app://local/assets/linked.js',
    'app://local/%00.js',
    'app://local/%ff.js',
    'app://local/absent.js',
    'app://other/index.html',
    'app://local.evil/index.html',
    'app://local:1/index.html',
    'app://local/picture/..%2f..%2fsecret.txt',
    'app://local/picture/%2e%2e/secret.txt',
    'app://local/picture/cut%5c..%5c..%5csecret.txt',
    'app://local/picture/linked',
    'app://local/picture/cut',
    'app://local/picture/drawing.svg',
    'app://local/picture/',
    'app://other/picture/cut/one',
    'app://local/picture/%00',
    `app://local/picture/${'a'.repeat(5000)}`,
  ])('%s gives nothing', async (url) => {
    const response = await fetched(url)
    expect(await response.text()).toBe('')
    expect(response.status).toBeGreaterThanOrEqual(400)
  })

  test.each(['POST', 'PUT', 'DELETE', 'HEAD'])('%s gives nothing', async (method) => {
    expect((await fetched('app://local/', { method })).status).toBe(404)
    expect((await fetched('app://local/picture/cut/one', { method })).status).toBe(404)
  })
})

describe('what a page hands over', () => {
  const staged = () => readdirSync(join(home, 'staging'), { recursive: true }).map(String)

  test('bytes wait under a plain name in the application’s own folder', async () => {
    for (const name of [
      'a.jpg',
      '../../evil.jpg',
      '..\\evil.jpg',
      '/etc/passwd',
      'C:\\x.jpg',
      '',
      '..',
      'nul\0.jpg',
      'x'.repeat(900),
    ]) {
      const { path } = (await ask('stage', name, new Uint8Array([1, 2]))) as { path: string }
      expect(path.startsWith(join(home, 'staging', sep))).toBe(true)
      expect([...readFileSync(path)]).toEqual([1, 2])
    }
  })

  test('what is no bytes, or too many, or has no name, is refused and leaves nothing', async () => {
    const before = staged().length
    const large = Object.defineProperty(new Uint8Array(1), 'length', { value: 301 * 1024 ** 2 })
    for (const bytes of ['text', [1, 2], { length: 2 }, null, new ArrayBuffer(2), large])
      await expect(ask('stage', 'a.jpg', bytes)).rejects.toThrow('not a file')
    for (const name of [null, 7, ['a'], { toString: () => '../x' }, 'x'.repeat(1001)])
      await expect(ask('stage', name, new Uint8Array(1))).rejects.toThrow('not a text')
    expect(staged()).toHaveLength(before)
  })

  test('calls that are for hosts, unknown, or no names, are not made', async () => {
    for (const name of [
      'pictures.locate',
      'documents.locate',
      'service.ping',
      'no.such',
      '__proto__',
      'toString',
      7,
      null,
      {},
    ])
      await expect(ask('call', name, {})).rejects.toThrow('no such call')
    expect(served).toEqual([])
  })

  test('an input as large as no browser may send is refused; one that refers to itself too', async () => {
    const round: Record<string, unknown> = {}
    round.itself = round
    const inputs = [
      'x'.repeat(callBytes + 1),
      Array.from({ length: 500_000 }, () => 1),
      { bytes: new Uint8Array(callBytes + 1) },
      round,
    ]
    for (const input of [...inputs, new Map([['a', 'x'.repeat(callBytes + 1)]])])
      await expect(ask('call', 'panels.save', input)).rejects.toThrow('too large')
    expect(served).toEqual([])
    // as many as any call takes
    const photoIds = Array.from({ length: 100_000 }, () => '0190aaaa-bbbb-7ccc-8ddd-eeeeffff0000')
    await ask('call', 'check.clearUnneeded', { photoIds })
    expect(served).toHaveLength(1)
  })

  test('titles, documents and print jobs that are none are refused', async () => {
    for (const [channel, ...args] of [
      ['pick-folder', {}],
      ['pick-folder', 'x'.repeat(201)],
      ['save-document', 7],
      ['view-document', 'x'.repeat(101)],
      ['open-link', ['https://a.example']],
      ['print-labels', { kind: 'anything' }],
      ['print-labels', null],
    ] as const)
      await expect(ask(channel, ...args)).rejects.toBeInstanceOf(Error)
    expect(fake.FakeWindow.all).toHaveLength(1)
  })

  test('the folder of logs is the only one that is opened, whatever is asked', async () => {
    await ask('open-logs', '/etc')
    expect(fake.opened.at(-1)).toBe(join(home, 'logs'))
    expect(await ask('details', 'x')).toMatch(/^Overground \d/)
  })
})

describe('when it breaks', () => {
  const log = () => readFileSync(logFile(home, 'window'), 'utf8')
  const crash = (reason = 'crashed') => main.webContents.emit('render-process-gone', {}, { reason, exitCode: 5 })

  test('a page that ended is loaded again where it was, and the log has why', async () => {
    main.webContents.url = 'app://local/panel/P-0042'
    crash('oom')
    expect(main.loaded.at(-1)).toBe('app://local/panel/P-0042')
    expect(log()).toContain('the page ended (oom, 5)')
    expect(log()).not.toContain('P-0042')
  })

  test('it is never loaded again at an address that is not ours', () => {
    main.webContents.url = 'https://a.example/'
    crash()
    expect(main.loaded.at(-1)).toBe('app://local/')
  })

  test('a page that hangs: the painter is asked, and waiting changes nothing', async () => {
    const loads = main.loaded.length
    main.webContents.emit('unresponsive')
    main.webContents.emit('unresponsive')
    expect(fake.asked).toHaveLength(1)
    expect(fake.asked[0]?.question.buttons).toEqual(['Wait', 'Load it again'])
    fake.asked[0]?.answer(0)
    await new Promise((resolve) => setImmediate(resolve))
    expect([main.loaded.length, main.webContents.crashes]).toEqual([loads, 0])
  })

  test('a page that hangs and comes back puts the question away', async () => {
    main.webContents.emit('unresponsive')
    const { signal } = fake.asked.at(-1)!.question
    main.webContents.emit('responsive')
    expect(signal?.aborted).toBe(true)
    await new Promise((resolve) => setImmediate(resolve))
    expect(main.webContents.crashes).toBe(0)
  })

  test('a page that hangs is loaded again where it was when the painter says so', async () => {
    main.webContents.url = 'app://local/jobs/J-0007'
    main.webContents.emit('unresponsive')
    fake.asked.at(-1)?.answer(1)
    await vi.waitFor(() => expect(main.webContents.crashes).toBe(1))
    expect(main.loaded.at(-1)).toBe('app://local/jobs/J-0007')
  })

  test('a service that ended stands in the log with what it was doing, and the page is told', async () => {
    end('signal SIGKILL')
    await vi.waitFor(() =>
      expect(main.webContents.sent.map(([, event]) => (event as { name: string }).name)).toContain('service.restarted'),
    )
    expect(log()).toMatch(/the service ended \(signal SIGKILL\), doing .*, no rack was open/)
  })

  test('a helper that ended, and a fault of the main process, are lived with', () => {
    fake.app.emit('child-process-gone', {}, { type: 'GPU', reason: 'crashed', exitCode: 9 })
    fake.app.emit('child-process-gone', {}, { type: 'GPU', reason: 'clean-exit', exitCode: 0 })
    expect(log().match(/a helper ended/g)).toHaveLength(1)
  })
})
