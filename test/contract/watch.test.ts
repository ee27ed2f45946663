import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { takesLong, watchOver } from '../../electron/service/link/watch.ts'
import { calls } from '../../shared-core/contract/calls.ts'
import type { Reply } from '../../shared-core/contract/host.ts'

/** Time is made here: how a watch counts is to be seen, not how fast this machine is. */
const limits = { askEveryMs: 5_000, hungMs: 60_000, patientMs: 900_000 }
let now = 0
beforeEach(() => {
  vi.useFakeTimers()
  now = 1_000_000
})
afterEach(() => vi.useRealTimers())

/** Time passes as a process that runs all along sees it. */
async function live(ms: number): Promise<void> {
  for (let passed = 0; passed < ms; passed += 1_000) {
    now += 1_000
    await vi.advanceTimersByTimeAsync(1_000)
  }
}

function watched(answers: () => Promise<Reply>, patient = () => false) {
  const hung = vi.fn<() => void>()
  const ask = vi.fn<() => Promise<Reply>>(answers)
  const watch = watchOver(ask, patient, hung, limits, () => now)
  return { hung, ask, watch }
}
const fine = async (): Promise<Reply> => ({ ok: true, value: { inspected: false } })
const never = () => new Promise<Reply>(() => undefined)
/** Answers as long as it starts, and never again. */
const thenNever = () => {
  let asked = 0
  return () => (asked++ === 0 ? fine() : never())
}

test('a service that answers is asked again and again', async () => {
  const { hung, ask } = watched(fine)
  await live(600_000)
  expect(ask.mock.calls.length).toBeGreaterThan(100)
  expect(hung).not.toHaveBeenCalled()
})

test('one that is silent for a minute hangs: told once', async () => {
  const { hung, ask } = watched(thenNever())
  await live(65_000)
  expect(hung).not.toHaveBeenCalled()
  await live(300_000)
  expect(hung).toHaveBeenCalledOnce()
  expect(ask).toHaveBeenCalledTimes(2)
})

test('one that is slow, and answers, never hangs', async () => {
  const { hung } = watched(() => new Promise((resolve) => setTimeout(() => resolve({ ok: true, value: {} }), 50_000)))
  await live(3_600_000)
  expect(hung).not.toHaveBeenCalled()
})

test.each([
  ['long work', thenNever(), true],
  ['starting', never, false],
])('%s has a quarter of an hour', async (_, answers, busy) => {
  const { hung } = watched(answers, () => busy)
  await live(890_000)
  expect(hung).not.toHaveBeenCalled()
  await live(20_000)
  expect(hung).toHaveBeenCalledOnce()
})

test('the end of long work is no beginning of silence: what was open meanwhile has its minute still', async () => {
  let busy = true
  const { hung } = watched(thenNever(), () => busy)
  await live(600_000)
  busy = false
  await live(55_000)
  expect(hung).not.toHaveBeenCalled()
  await live(10_000)
  expect(hung).toHaveBeenCalledOnce()
})

describe('a computer that sleeps', () => {
  test.each([3_600_000, 30 * 24 * 3_600_000, -7_200_000])(
    'for %s ms, while a question is open: nobody hung',
    async (slept) => {
      const { hung } = watched(thenNever())
      await live(5_000)
      for (let nights = 0; nights < 5; nights++) {
        await live(40_000)
        // the clock leaps, and no timer came meanwhile
        now += slept
        await live(10_000)
      }
      expect(hung).not.toHaveBeenCalled()
      // what is silent for a minute of waking does
      await live(70_000)
      expect(hung).toHaveBeenCalledOnce()
    },
  )
})

test('one that a debugger holds is not asked any more', async () => {
  const { hung, ask } = watched(async () => ({ ok: true, value: { inspected: true } }))
  await live(600_000)
  expect(ask).toHaveBeenCalledOnce()
  expect(hung).not.toHaveBeenCalled()
})

test('a watch that was ended is', async () => {
  const { hung, watch } = watched(never)
  await live(30_000)
  watch.end()
  await live(600_000)
  expect(hung).not.toHaveBeenCalled()
})

test('what takes long is named by calls that exist', () => {
  const long = Object.keys(calls).filter(takesLong)
  expect(long).toEqual(expect.arrayContaining(['rack.open', 'rack.create', 'panelsCsv.import', 'history.undo']))
  // changes that a painter makes by hand do not
  for (const name of ['panels.save', 'photos.takeIn', 'match.findNearest', 'history.list'])
    expect(takesLong(name)).toBe(false)
})
