import { afterEach, expect, test, vi } from 'vitest'
import { askHeifWorker } from '../../electron/photos/heif/ask-worker.ts'
import { startFilmWorker, WorkerLost } from '../../electron/service/film/worker/ask-worker.ts'

/**
 * Real threads that end in the ways in which a thread ends. In place of the decoder and of the film model they run a few
 * lines that do it: what is looked at is what becomes of whoever waits, and of the process around them.
 */
const ending = vi.hoisted(() => ({ script: '' }))
vi.mock('node:worker_threads', async (original) => {
  const real = await original<typeof import('node:worker_threads')>()
  return {
    ...real,
    Worker: class extends real.Worker {
      constructor(_address: URL, options: object = {}) {
        super(ending.script, { ...options, eval: true })
      }
    },
  }
})
afterEach(() => {
  ending.script = ''
})

const ways: Record<string, string> = {
  'ends by itself': 'process.exit(7)',
  'throws before it begins': 'throw new Error("broken")',
  'throws what is no error': 'throw null',
  'rejects, and nobody listens': 'Promise.reject(new Error("lost"))',
  'runs out of memory': 'const all = []; for (;;) all.push(new Array(1e6).fill(all.length))',
  'runs out of stack': 'const f = () => f() + 1; f()',
  'ends in the middle of its answer': `require("node:worker_threads").parentPort.postMessage; process.exit(0)`,
}

test.each(Object.entries(ways))('a decoder that %s refuses its photo, and nothing else ends', async (_, script) => {
  ending.script = script
  const task = { what: 'describe', path: '/x.heic', mostPixels: 1e6 } as const
  await expect(askHeifWorker(task, { limitMs: 20_000 })).resolves.toMatchObject({ ok: false, fault: 'damaged' })
})

test('a decoder that works for ever is ended', async () => {
  ending.script = 'for (;;);'
  const task = { what: 'describe', path: '/x.heic', mostPixels: 1e6 } as const
  await expect(askHeifWorker(task, { limitMs: 200 })).resolves.toMatchObject({ ok: false, text: 'took too long' })
})

test('decoders that ended make room for the next: many in a row', async () => {
  ending.script = 'process.exit(1)'
  const task = { what: 'describe', path: '/x.heic', mostPixels: 1e6 } as const
  const answers = await Promise.all(Array.from({ length: 12 }, () => askHeifWorker(task, { limitMs: 20_000 })))
  expect(answers.every(({ ok }) => !ok)).toBe(true)
})

const filmWays = Object.entries(ways).filter(([name]) => name !== 'runs out of memory')
test.each(filmWays)('a film model that %s is told to whoever asked', async (_, script) => {
  ending.script = script
  const worker = startFilmWorker()
  const library = { observations: [], groundKinds: new Map(), scatterPerCoat: undefined }
  await expect(worker.ask({ what: 'fit', library } as never)).rejects.toThrow(WorkerLost)
  await worker.end()
})
