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

test('nothing was complained of so far', () => {
  expect(host.complaints).toEqual([])
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
