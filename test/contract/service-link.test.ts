import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import {
  type Limits,
  type ServiceClient,
  type ServiceEnd,
  sayEnd,
  serviceClient,
} from '../../electron/service/link/client.ts'
import { nodeService } from '../../electron/service/link/node-child.ts'
import type { Event } from '../../shared-core/contract/calls.ts'
import type { Reply } from '../../shared-core/contract/host.ts'

let folder: string
let client: ServiceClient | undefined
let heard: Event[]
let ends: ServiceEnd[]

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'service-link-'))
  heard = []
})
afterEach(async () => {
  await client?.stop()
  client = undefined
  vi.unstubAllEnvs()
  rmSync(folder, { recursive: true, force: true })
})

function begin(script = '', limits: Partial<Limits> = {}): ServiceClient {
  vi.stubEnv('SCRIPT', script)
  vi.stubEnv('SCRIPT_DIARY', join(folder, 'diary'))
  const entry = new URL('./scripted-service.ts', import.meta.url)
  ends = []
  const hear = (event: Event) => void heard.push(event)
  const note = (end: ServiceEnd) => void ends.push(end)
  client = serviceClient(nodeService(process.execPath, entry), hear, { backOffMs: 10, ...limits }, note)
  return client
}
const diary = () => readFileSync(join(folder, 'diary'), 'utf8').trim().split('\n')
/** What was asked of the service since it was last started. */
const askedSinceStart = () => {
  const lines = diary()
  return lines.slice(lines.findLastIndex((line) => line.startsWith('start')) + 1)
}
const valueOf = (reply: Reply): unknown => {
  if (!reply.ok) throw new Error(reply.error.code)
  return reply.value
}
const pidOf = async (one: ServiceClient) => (valueOf(await one.call('service.describe', {})) as { pid: number }).pid
const restarted = () => heard.filter((event) => event.name === 'service.restarted')

test('answers go to the calls that they belong to, in whatever order they come', async () => {
  const one = begin()
  const order: number[] = []
  const ask = async (wait: number) => {
    const reply = await one.call('settings.get', { wait })
    order.push(wait)
    return reply
  }
  const replies = await Promise.all([ask(300), ask(0)])
  expect(order).toEqual([0, 300])
  expect(replies).toEqual([
    { ok: true, value: { wait: 300 } },
    { ok: true, value: { wait: 0 } },
  ])
})

test('typed arrays, maps and dates cross as what they are', async () => {
  const sent = { numbers: new Float64Array([0.1, -2]), names: new Map([['a', 1]]), at: new Date(0) }
  expect(valueOf(await begin().call('settings.save', sent))).toEqual(sent)
})

test('options meant for the host do not reach the service', async () => {
  vi.stubEnv('NODE_OPTIONS', '--no-deprecation')
  expect(valueOf(await begin().call('service.describe', {}))).toMatchObject({ nodeOptions: null })
})

test('a killed service: the waiting call is answered, the service starts again with the rack that was open', async () => {
  const one = begin()
  await one.call('rack.open', { folder: '/racks/blue' })
  const before = await pidOf(one)
  const waiting = one.call('photos.takeIn', { files: [] })
  await vi.waitFor(() => expect(diary().at(-1)).toContain('photos.takeIn'))
  process.kill(before, 'SIGKILL')

  const reply = await waiting
  if (reply.ok) throw new Error('answered')
  expect(reply.error.code).toBe('service/stopped')
  expect(reply.error.message).toContain('memory may have run out')
  expect(reply.error.remedy).not.toBe('')

  // made while there is no service: it waits for the rack
  const after = await pidOf(one)
  expect(after).not.toBe(before)
  expect(askedSinceStart().slice(0, 2)).toEqual(['service.describe {}', 'rack.open {"folder":"/racks/blue"}'])
  expect(restarted()).toEqual([{ name: 'service.restarted', data: { why: 'signal SIGKILL', rackReopened: true } }])
})

test('a rack opened by a job is opened again as well', async () => {
  const one = begin()
  await one.call('rack.makeDemonstration', { folder: '/racks/demo' })
  await vi.waitFor(() => expect(diary().at(-1)).toContain('rack.describe'))
  process.kill(await pidOf(one), 'SIGKILL')
  await vi.waitFor(() => expect(restarted()).toHaveLength(1))
  expect(askedSinceStart()).toContain('rack.open {"folder":"/racks/demo"}')
})

test('a rack that was closed is not opened again', async () => {
  const one = begin()
  await one.call('rack.open', { folder: '/racks/blue' })
  await one.call('rack.close', {})
  process.kill(await pidOf(one), 'SIGKILL')
  await vi.waitFor(() => expect(restarted()).toHaveLength(1))
  expect(restarted()[0]).toMatchObject({ data: { rackReopened: false } })
  expect(askedSinceStart()).toEqual(['service.describe {}'])
})

test('a rack that ends the service whenever it is opened is left closed, and the service stays', async () => {
  const one = begin()
  await one.call('rack.open', { folder: '/racks/bad' })
  vi.stubEnv('SCRIPT', 'ends-when-opening')
  process.kill(await pidOf(one), 'SIGKILL')
  await vi.waitFor(() => expect(restarted()).toHaveLength(1), { timeout: 10_000 })
  expect(restarted()[0]).toMatchObject({ data: { rackReopened: false } })
  expect(valueOf(await one.call('rack.describe', {}))).toEqual({ rack: null })
  expect(diary().filter((line) => line.startsWith('rack.open'))).toHaveLength(3)
})

test('a service that ends at every start is given up, with a message', async () => {
  const one = begin('ends-at-once', { crashes: 3 })
  const first = await one.call('rack.describe', {})
  expect(first).toMatchObject({ ok: false, error: { code: 'service/stopped' } })
  await vi.waitFor(() => expect(diary()).toHaveLength(3), { timeout: 10_000 })
  const last = await one.call('rack.describe', {})
  if (last.ok) throw new Error('answered')
  expect(last.error).toMatchObject({ code: 'service/stopped', message: expect.stringContaining('several times') })
  expect(diary()).toHaveLength(3)
  expect(restarted()).toEqual([])
})

test('a service that cannot be started at all is given up too', async () => {
  const entry = new URL('./scripted-service.ts', import.meta.url)
  client = serviceClient(nodeService(join(folder, 'no-node-here'), entry), () => undefined, {
    crashes: 2,
    backOffMs: 1,
  })
  await client.call('rack.describe', {})
  expect(await client.call('rack.describe', {})).toMatchObject({ ok: false, error: { code: 'service/stopped' } })
})

test('stopping waits until the service has left by itself', async () => {
  const one = begin()
  await pidOf(one)
  await one.stop()
  expect(diary().at(-1)).toBe('left')
  expect(await one.call('rack.describe', {})).toMatchObject({ ok: false, error: { code: 'service/stopped' } })
  expect(restarted()).toEqual([])
})

test('a service that does not leave is killed', async () => {
  const one = begin('never-leaves', { leaveMs: 200 })
  const pid = await pidOf(one)
  await one.stop()
  expect(() => process.kill(pid, 0)).toThrow('ESRCH')
  expect(diary()).not.toContain('left')
})

test('how it ended is told for the log: what was being done, never with what', async () => {
  const one = begin()
  await one.call('rack.open', { folder: '/racks/blue' })
  const waiting = one.call('photos.takeIn', { files: ['/home/anna/secret.jpg'] })
  await vi.waitFor(() => expect(diary().at(-1)).toContain('photos.takeIn'))
  process.kill(one.pid()!, 'SIGKILL')
  await waiting
  expect(ends).toMatchObject([{ why: 'signal SIGKILL', during: ['photos.takeIn'], rackWasOpen: true }])
  expect(sayEnd(ends[0]!)).toBe('the service ended (signal SIGKILL), doing photos.takeIn, a rack was open')
  await client?.stop()
  // leaving when asked to is no end worth a word
  expect(ends).toHaveLength(1)
})

describe('a service that no longer answers', () => {
  const watching = { askEveryMs: 20, hungMs: 500, patientMs: 60_000 }

  /** The first question was answered: from now on it is known to have started. */
  const answered = async (one: ServiceClient) => {
    for (let asked = 0; asked < 5; asked++) {
      await one.call('service.describe', {})
      await new Promise((resolve) => setTimeout(resolve, 2 * watching.askEveryMs))
    }
  }

  test('is ended and started again with its rack; the call that held it is answered', async () => {
    const one = begin('hangs', watching)
    await one.call('rack.open', { folder: '/racks/blue' })
    await answered(one)
    const reply = await one.call('panels.save', { title: 'x' })
    expect(reply).toMatchObject({ ok: false, error: { message: expect.stringContaining('it no longer answered') } })
    await vi.waitFor(() => expect(restarted()).toHaveLength(1))
    expect(valueOf(await one.call('rack.describe', {}))).toEqual({ rack: { folder: '/racks/blue' } })
    expect(ends).toMatchObject([{ why: 'it no longer answered', during: expect.arrayContaining(['panels.save']) }])
  })

  test('is left alone while it is known to do long work', async () => {
    const one = begin('', watching)
    const before = await pidOf(one)
    // holds the process for longer than a service may be silent otherwise
    await one.call('check.start', {})
    expect(await pidOf(one)).toBe(before)
    expect(ends).toEqual([])
  })

  test('is left alone while a debugger holds it', async () => {
    const one = begin('hangs is-debugged', watching)
    const before = await pidOf(one)
    await new Promise((resolve) => setTimeout(resolve, 100))
    const held = one.call('panels.save', {})
    await new Promise((resolve) => setTimeout(resolve, 600))
    expect(one.pid()).toBe(before)
    process.kill(before, 'SIGKILL')
    await held
  })
})

describe('after it was given up', () => {
  test('it is started again when somebody asks, without the rack that ended it', async () => {
    const one = begin('ends-when-opening', { crashes: 2 })
    await one.call('rack.open', { folder: '/racks/blue' })
    await vi.waitFor(() => expect(heard.map(({ name }) => name)).toContain('service.restarted'))
    // a rack that is opened and ends it again and again
    await one.call('rack.open', { folder: '/racks/blue' })
    await vi.waitFor(() => expect(heard.at(-1)?.name).toBe('service.gaveUp'))
    expect(await one.call('panels.get', {})).toMatchObject({ ok: false })
    const reply = await one.call('service.startAgain', { withRack: false })
    expect(reply).toEqual({ ok: true, value: { rackReopened: false } })
    expect((await one.call('service.describe', {})).ok).toBe(true)
    expect(heard.at(-1)?.name).toBe('service.restarted')
  })

  test('it may be tried with the rack as well', async () => {
    const one = begin('', { crashes: 1 })
    await one.call('rack.open', { folder: '/racks/blue' })
    process.kill(one.pid()!, 'SIGKILL')
    await vi.waitFor(() =>
      expect(heard.at(-1)).toMatchObject({
        name: 'service.gaveUp',
        data: { why: expect.stringContaining('memory'), withRack: true },
      }),
    )
    expect(await one.call('service.startAgain', { withRack: true })).toEqual({
      ok: true,
      value: { rackReopened: true },
    })
    expect(valueOf(await one.call('rack.describe', {}))).toEqual({ rack: { folder: '/racks/blue' } })
  })

  test('asking a service that runs changes nothing', async () => {
    const one = begin()
    await one.call('rack.open', { folder: '/racks/blue' })
    const before = await pidOf(one)
    expect(await one.call('service.startAgain', { withRack: false })).toEqual({
      ok: true,
      value: { rackReopened: true },
    })
    expect(await pidOf(one)).toBe(before)
  })
})
