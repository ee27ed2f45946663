import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, expect, test, vi } from 'vitest'
import { dispatch, type Handlers } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import { calls, commonErrors } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
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

test('what goes out is looked at too: a wrong answer is a bug, logged once under the reference that is shown', async () => {
  const said = vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const { context, folder } = await benchService()
  const wrong: Handlers = { ...handlers, 'panels.nextCode': async () => ({ code: 7 }) as unknown as { code: string } }
  const reply = await dispatch('panels.nextCode', {}, context, wrong)
  const reference = !reply.ok && /reference ([0-9a-f]{8})/.exec(reply.error.message)?.[1]
  expect(reply).toMatchObject({ ok: false, error: { code: 'unexpected' } })
  const log = readFileSync(join(folder, 'app', 'logs', 'service.log'), 'utf8')
  expect(log.match(new RegExp(String(reference), 'g'))).toHaveLength(1)
  expect(said).toHaveBeenCalledTimes(1)
})

test('a refusal passes only where the call declares it, and a full drive everywhere', async () => {
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

test('every error that a call declares is written area/what, and none is one of the common ones', () => {
  for (const call of Object.values(calls))
    for (const code of call.errors) {
      expect(code).toMatch(/^[a-z]+\/[a-z-]+$/)
      expect(commonErrors).not.toContain(code)
    }
})
