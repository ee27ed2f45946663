import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { type Limits, type ServiceClient, serviceClient } from '../../electron/service/link/client.ts'
import { nodeService } from '../../electron/service/link/node-child.ts'
import type { Event } from '../../shared-core/contract/calls.ts'
import type { Reply } from '../../shared-core/contract/host.ts'

let folder: string
let client: ServiceClient | undefined
let heard: Event[]

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
  client = serviceClient(nodeService(process.execPath, entry), (event) => heard.push(event), {
    backOffMs: 10,
    ...limits,
  })
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
  expect(reply.error.message).toContain('SIGKILL')
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
