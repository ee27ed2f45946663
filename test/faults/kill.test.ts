import { expect, test } from 'vitest'
import { kill } from './kill/kill.ts'

/** The short form of `npm run faults -- kill`: most kinds of work are cut short once. */
test('a service killed in the middle of whatever it does has lost nothing that it had acknowledged', async () => {
  const { figures, broken } = await kill.run({ seed: 20261126, count: 9, minutes: 4, say: () => undefined })
  expect(broken).toEqual([])
  expect(figures['kills']).toBe(9)
}, 300_000)
