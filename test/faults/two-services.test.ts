import { expect, test } from 'vitest'
import { twoServices } from './two-services/two-services.ts'

/** The short form of `npm run faults -- two-services`. */
test('of two services the second is refused by name, a stale lock is taken over by one of many, others’ locks stay', async () => {
  const { figures, broken } = await twoServices.run({ seed: 1, count: 5, minutes: 4, say: () => undefined })
  expect(broken).toEqual([])
  expect(figures['kinds of locks']).toBe(7)
}, 300_000)
