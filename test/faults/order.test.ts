import { expect, test } from 'vitest'
import { order } from './order/order.ts'
import { type Step, undurable } from './order/recorder.ts'

test('bytes are on the drive before a file gets its name, and its name before a row counts on it', async () => {
  const { figures, broken } = await order.run({ seed: 1, count: 20, minutes: 1, say: () => undefined })
  expect(broken).toEqual([])
  expect(figures['originals that were durable before their rows']).toBe(20)
})

test('what a power cut could undo is noticed', () => {
  const whole: Step[] = [
    { what: 'write', path: '/rack/a.part' },
    { what: 'sync', path: '/rack/a.part' },
    { what: 'rename', path: '/rack/a.part', to: '/rack/a' },
    { what: 'sync', path: '/rack' },
    { what: 'begin', path: '' },
  ]
  expect(undurable(whole, '/rack/a', 4)).toEqual([])
  const without = (left: number) => whole.filter((_, i) => i !== left)
  expect(undurable(without(1), '/rack/a', 3)).toEqual([expect.stringContaining('before its bytes')])
  expect(undurable(without(2), '/rack/a', 3)).toEqual([expect.stringContaining('by a rename')])
  expect(undurable(without(3), '/rack/a', 3)).toEqual([expect.stringContaining('the name of')])
  // written to once more after it was made durable
  const late = [...whole.slice(0, 2), { what: 'write', path: '/rack/a.part' } as const, ...whole.slice(2)]
  expect(undurable(late, '/rack/a', 5)).toEqual([expect.stringContaining('before its bytes')])
})
