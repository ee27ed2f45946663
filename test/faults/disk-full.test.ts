import { expect, test } from 'vitest'
import { diskFull } from './disk-full/disk-full.ts'

/** The short form of `npm run faults -- disk-full`: each way to fill a drive once. */
test('a full drive is told, nothing is left half done, and with room again the same service goes on', async (context) => {
  const { figures, broken, notShown } = await diskFull.run({ seed: 7, count: 14, minutes: 4, say: () => undefined })
  // only who may mount a drive of its own can fill one
  if (notShown !== undefined) return context.skip(notShown)
  expect(broken).toEqual([])
  expect(figures['cases']).toBe(14)
  expect(Number(figures['refused in words'])).toBeGreaterThan(4)
}, 300_000)
