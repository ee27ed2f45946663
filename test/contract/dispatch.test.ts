import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, expect, test, vi } from 'vitest'
import { takenOver } from '../../electron/rack/refusals.ts'
import { dispatch, type Handlers } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import { mayCall } from '../../electron/service/link/allowed-calls.ts'
import { hostOnly } from '../../shared-core/contract/app-calls.ts'
import { calls, commonErrors } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { draft } from '../rack/fresh.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'
import { benchService } from './bench-service.ts'

afterEach(() => void vi.restoreAllMocks())

const someId = '0198c0de-0000-7000-8000-000000000000'

test('every call has a handler, and there is no handler without a call', () => {
  expect(Object.keys(handlers).toSorted()).toEqual(Object.keys(calls).toSorted())
})

test.each(Object.keys(calls))('%s refuses what is not its input, in words', async (name) => {
  const service = await benchService()
  const error = await service.refusal(name, 'nonsense')
  expect(error.code).toBe('service/bad-input')
  expect(error.remedy).not.toBe('')
})

test('a call that does not exist is refused, also one that every object has', async () => {
  const service = await benchService()
  for (const name of ['rack.explode', 'toString', '__proto__'])
    expect(await service.refusal(name, {})).toMatchObject({ code: 'service/bad-input' })
})

test('bad input says where', async () => {
  const service = await benchService()
  const { message } = await service.refusal('rack.create', { folder: '/x', name: 7 })
  expect(message).toContain('name')
})

test('words that are too long are told of in words', async () => {
  const service = await benchService()
  const { message } = await service.refusal('rack.create', { folder: '/x', name: 'x'.repeat(5000) })
  expect(message).toMatch(/name: longer than the \d+ characters/)
  expect(message).not.toContain('expected')
})

test('what is nested as deeply as no formula is refused, and the service lives', async () => {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Deep' })
  const nested = (depth: number): Mixture => {
    let { parts } = candyMixture('copper', 'crimson')
    for (let i = 0; i < depth; i++)
      parts = [{ amount: 1, unit: 'parts', material: null, mixture: { name: '', basis: 'volume', parts } }]
    return { name: '', basis: 'volume', parts }
  }
  const save = (depth: number) => ({ draft: draft({ layers: [layer('candy', '', { mixture: nested(depth) })] }) })
  // whatever is let in can be given out again, and all else is refused in words
  const answers: string[] = []
  for (const depth of [10, 50, 80, 90, 94, 96, 98, 100, 300, 1000, 20_000]) {
    const reply = await dispatch('panels.save', save(depth), service.context, handlers)
    answers.push(reply.ok ? 'saved' : reply.error.code)
  }
  expect(answers.slice(0, 3)).toEqual(['saved', 'saved', 'saved'])
  expect(new Set(answers)).toEqual(new Set(['saved', 'service/bad-input']))
  const { total } = await service.call('panels.list', { filter: noFilter, sort: 'code' })
  expect(total).toBe(answers.filter((answer) => answer === 'saved').length)
  const round: Record<string, unknown> = {}
  round.itself = round
  expect(await service.refusal('panels.save', round)).toMatchObject({ code: 'service/bad-input' })
})

test('what goes out is looked at too: a wrong answer is a bug, logged once under the reference that is shown', async () => {
  const said = vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const { context, folder } = await benchService()
  const wrong: Handlers = { ...handlers, 'panels.nextCode': async () => ({ code: 7 }) as unknown as { code: string } }
  const reply = await dispatch('panels.nextCode', {}, context, wrong)
  const reference = !reply.ok && /reference ([0-9a-f]{8})/.exec(reply.error.message)?.[1]
  expect(reply).toMatchObject({ ok: false, error: { code: 'unexpected' } })
  await context.log.settled()
  const log = readFileSync(join(folder, 'app', 'logs', 'service.log'), 'utf8')
  expect(log.match(new RegExp(String(reference), 'g'))).toHaveLength(1)
  expect(said).toHaveBeenCalledTimes(1)
})

test('a refusal passes only where the call declares it, and what can meet any call everywhere', async () => {
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const { context } = await benchService()
  const throwing = (error: Error): Handlers => ({
    ...handlers,
    'panels.remove': async () => {
      throw error
    },
  })
  const codeOf = async (error: Error) => {
    const reply = await dispatch('panels.remove', { panelId: someId }, context, throwing(error))
    return reply.ok ? 'ok' : reply.error.code
  }
  expect(await codeOf(new Refusal('panel/absent', 'x', 'y'))).toBe('panel/absent')
  expect(await codeOf(new Refusal('photo/absent', 'x', 'y'))).toBe('unexpected')
  expect(await codeOf(new TypeError('x'))).toBe('unexpected')
  expect(await codeOf(takenOver())).toBe('rack/taken-over')
  expect(await codeOf(Object.assign(new Error('x'), { code: 'ENOSPC' }))).toBe('rack/disk-full')
  expect(await codeOf(Object.assign(new Error('x'), { code: 'SQLITE_FULL' }))).toBe('rack/disk-full')
})

test('without a rack every call that needs one says so', async () => {
  const service = await benchService()
  const needsRack = { 'panels.nextCode': {}, 'photos.listTray': {}, 'history.undo': {}, 'materials.list': {} }
  for (const [name, input] of Object.entries(needsRack))
    expect(await service.refusal(name, input)).toMatchObject({ code: 'rack/none-open' })
  expect(await service.call('rack.describe', {})).toEqual({ rack: null })
})

test('a call is made while the rack is being closed: it is carried out or refused in words', async () => {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Closed' })
  const ask = async () => {
    const reply = await dispatch('panels.list', { filter: noFilter, sort: 'code' }, service.context, handlers)
    return reply.ok ? 'carried out' : reply.error.code
  }
  const asked = [ask(), ask()]
  const closing = service.call('rack.close', {})
  for (let turns = 0; turns < 40; turns++) {
    asked.push(ask())
    await Promise.resolve()
  }
  await closing
  expect(await ask()).toBe('rack/none-open')
  // nothing in between: no bug in the log, no half an answer
  expect(new Set(await Promise.all(asked))).toEqual(new Set(['carried out', 'rack/none-open']))
})

test('a host keeps for itself what pages may not call', () => {
  for (const name of hostOnly) {
    expect(Object.keys(calls)).toContain(name)
    expect(mayCall(name)).toBe(false)
  }
  expect(Object.keys(calls).filter(mayCall)).toHaveLength(Object.keys(calls).length - hostOnly.size)
})

test('every error that a call declares is written area/what, and none is one of the common ones', () => {
  for (const call of Object.values(calls))
    for (const code of call.errors) {
      expect(code).toMatch(/^[a-z]+(?:-[a-z]+)*\/[a-z0-9-]+$/)
      expect(commonErrors).not.toContain(code)
    }
})
