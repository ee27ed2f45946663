import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Event } from '../../shared-core/contract/calls.ts'
import type { WindowBridge } from '../../shared-core/contract/host.ts'
import { type Host, startHost } from './hosts.ts'

/** What the host around the page allows and does, whatever the page shows. */
let host: Host
beforeAll(async () => {
  host = await startHost()
})
afterAll(async () => host?.stop())

const details = () =>
  host.page.evaluate(async () => {
    const bridge = (window as unknown as { overground?: WindowBridge }).overground
    if (bridge) return bridge.details()
    const headers = { 'x-token': sessionStorage.getItem('overground-token') ?? '' }
    return ((await (await fetch('/details', { method: 'POST', headers })).json()) as { details: string }).details
  })

test('the page is shown and reaches the service', async () => {
  expect(await host.page.title()).toBe('Overground')
  const described = await host.call('service.describe', {})
  expect(described.node).toMatch(/^v?(2[4-9]|[3-9]\d)\./)
})

test('the bridge is there in a window only, and says what the host can do', async () => {
  const kind = await host.page.evaluate(`window.overground?.capabilities.kind ?? 'browser'`)
  expect(kind).toBe(host.kind)
})

test('the page has nothing of Node or Electron', async () => {
  expect(await host.page.evaluate(`[typeof require, typeof process, typeof module, typeof global]`)).toEqual(
    Array(4).fill('undefined'),
  )
})

test('every place has an address: a reload shows the page again', async () => {
  await host.page.evaluate(() => history.replaceState(null, '', '/panel/P-0001'))
  await host.page.reload()
  expect(new URL(host.page.url()).pathname).toBe('/panel/P-0001')
  expect(await host.page.title()).toBe('Overground')
})

test('nothing was complained of so far, and nothing stands in the log', async () => {
  expect(host.complaints).toEqual([])
  expect(await details()).toContain('Nothing was written to the logs.')
})

describe('refused', () => {
  test('scripts and styles that stand in the page', async () => {
    const done = await host.page.evaluate(() => {
      const script = document.createElement('script')
      script.textContent = 'window.wasRun = true'
      document.head.append(script)
      const style = document.createElement('style')
      style.textContent = 'title { color: rgb(1, 2, 3) }'
      document.head.append(style)
      const title = document.querySelector('title')
      return { run: 'wasRun' in window, styled: title && getComputedStyle(title).color === 'rgb(1, 2, 3)' }
    })
    expect(done).toEqual({ run: false, styled: false })
  })

  test('words that are run as a script, links that are scripts, workers and events written into the page', async () => {
    const done = await host.page.evaluate(async () => {
      const found: string[] = []
      const tried = async (name: string, attempt: () => unknown) => {
        try {
          await attempt()
          if ('wasRun' in window) found.push(name)
        } catch {
          // refused, as it should be
        }
        delete (window as { wasRun?: unknown }).wasRun
      }
      const rest = () => new Promise((resolve) => setTimeout(resolve, 50))
      const add = async (html: string) => {
        const box = document.createElement('div')
        box.innerHTML = html
        document.body.append(box)
        for (const one of box.querySelectorAll('a')) one.click()
        await rest()
        box.remove()
      }
      // what is asked by the tools of development may run anything until it first rests
      await rest()
      // oxlint-disable-next-line no-eval -- that it is refused is what is looked at
      await tried('eval', () => (0, eval)('window.wasRun = 1'))
      // oxlint-disable-next-line typescript/no-implied-eval -- as above
      await tried('Function', () => new Function('window.wasRun = 1')())
      await tried('timer', async () => {
        setTimeout('window.wasRun = 1' as unknown as () => void, 0)
        await rest()
      })
      await tried('onerror', () => add('<img src="/absent.png" onerror="window.wasRun = 1">'))
      await tried('svg', () => add('<svg onload="window.wasRun = 1"></svg>'))
      await tried('frame', () => add('<iframe srcdoc="<script>parent.wasRun = 1</script>"></iframe>'))
      await tried('data frame', () => add('<iframe src="data:text/html,<script>parent.wasRun = 1</script>"></iframe>'))
      await tried('script link', () => add('<a href="javascript:window.wasRun = 1">x</a>'))
      await tried('data script', async () => {
        const script = document.createElement('script')
        script.src = 'data:text/javascript,window.wasRun = 1'
        document.head.append(script)
        await rest()
      })
      await tried('worker', async () => {
        const worker = new Worker(URL.createObjectURL(new Blob(['postMessage(1)'])))
        await new Promise<void>((resolve, reject) => {
          worker.addEventListener('message', () => {
            Object.assign(window, { wasRun: 1 })
            resolve()
          })
          worker.addEventListener('error', () => reject(new Error('refused')))
        })
      })
      return found
    })
    expect(done).toEqual([])
  })

  test('a picture, a form and a base address that lead elsewhere', async () => {
    const left: (string | undefined)[] = []
    const listen = (request: { url(): string; failure(): { errorText: string } | null }) => {
      if (request.url().includes('a.example')) left.push(request.failure()?.errorText)
    }
    host.page.context().on('requestfinished', listen)
    host.page.context().on('requestfailed', listen)
    const before = host.page.url()
    const told = await host.page.evaluate(async () => {
      const rules: string[] = []
      document.addEventListener('securitypolicyviolation', (event) => rules.push(event.effectiveDirective))
      const image = new Image()
      image.src = 'https://a.example/x.png'
      const base = document.createElement('base')
      base.href = 'https://a.example/'
      document.head.append(base)
      const resolved = new URL('x', document.baseURI).origin === location.origin
      const form = document.createElement('form')
      form.action = 'https://a.example/take'
      form.method = 'post'
      document.body.append(form)
      form.submit()
      const frame = document.createElement('iframe')
      frame.src = 'https://a.example/'
      document.body.append(frame)
      navigator.sendBeacon('https://a.example/', 'x')
      // each is told of when the browser comes to it
      const late = performance.now() + 10_000
      while (new Set(rules).size < 5 && performance.now() < late)
        await new Promise((resolve) => setTimeout(resolve, 20))
      for (const one of [base, form, frame]) one.remove()
      return { told: [...new Set(rules)].toSorted(), resolved }
    })
    host.page.context().off('requestfinished', listen)
    host.page.context().off('requestfailed', listen)
    expect(told.resolved).toBe(true)
    expect(told.told).toEqual(['base-uri', 'connect-src', 'form-action', 'frame-src', 'img-src'])
    expect(host.page.url()).toBe(before)
    expect(left.filter((why) => !/csp/i.test(why ?? 'answered'))).toEqual([])
  })

  test('other addresses: to fetch, to open and to go to', async () => {
    const before = host.page.url()
    const pages = host.page.context().pages().length
    const fetched = await host.page.evaluate(async () => {
      const tried = await fetch('http://127.0.0.1:9/').then(
        () => 'fetched',
        () => 'refused',
      )
      return tried
    })
    expect(fetched).toBe('refused')
    if (host.kind === 'browser') return
    await host.page.evaluate(() => {
      window.open('https://example.org/')
      location.href = 'https://example.org/'
    })
    expect(await host.page.evaluate('1 + 1')).toBe(2)
    expect(host.page.url()).toBe(before)
    expect(host.page.context().pages()).toHaveLength(pages)
  })

  test('calls that are for hosts', async () => {
    await expect(host.call('pictures.locate', { key: 'x' })).rejects.toThrow(/no.such.call/)
    await expect(host.call('documents.locate', { documentId: 'x' })).rejects.toThrow(/no.such.call/)
  })

  test('permissions', async () => {
    const answered = await host.page.evaluate(() =>
      navigator.mediaDevices.getUserMedia({ video: true }).then(
        () => 'given',
        () => 'denied',
      ),
    )
    expect(answered).toBe('denied')
  })
})

test('what the policy refused stands in the log, and no address of it', async () => {
  const said = await details()
  expect(said).toMatch(/page, policy, [a-z-]+\nPolicy: [a-z-]+ refused /)
  expect(said).not.toContain('a.example')
})

test('a service that is killed is started again with the rack that was open, and the page is told', async () => {
  const { folder } = await host.call('rack.create', { folder: join(host.folder, 'rack'), name: 'Rack' })
  const { pid } = await host.call('service.describe', {})
  await host.page.evaluate(() => {
    const heard: Event[] = []
    Object.assign(window, { heard })
    const bridge = (window as unknown as { overground?: WindowBridge }).overground
    if (bridge) bridge.onEvent((event) => heard.push(event))
    else {
      const stream = new EventSource('/events')
      stream.addEventListener('message', (message) => heard.push(JSON.parse(message.data as string) as Event))
      return new Promise((resolve) => stream.addEventListener('open', resolve))
    }
  })
  process.kill(pid, 'SIGKILL')
  await host.page.waitForFunction(() =>
    (window as unknown as { heard: Event[] }).heard.some((event) => event.name === 'service.restarted'),
  )
  const described = await host.call('service.describe', {})
  expect(described.pid).not.toBe(pid)
  expect((await host.call('rack.describe', {})).rack?.folder).toBe(folder)
})
