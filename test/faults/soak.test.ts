import { expect, test } from 'vitest'
import { slope } from './soak/measure.ts'
import { soak } from './soak/soak.ts'

/** The short form of `npm run faults -- soak`: too short to judge memory by, long enough to see that all of it works. */
test('a few days of a shop: everything is there at the end, and nothing is left half done', async () => {
  const { figures, broken } = await soak.run({ seed: 1, count: 4, minutes: 1, say: () => undefined })
  expect(broken).toEqual([])
  expect(figures['changes']).toBe(48)
}, 240_000)

test('a slope is that of a line', () => {
  const line = Array.from({ length: 20 }, (_, i) => [i * 3, 7 + i * 6] as const)
  expect(slope(line)).toBeCloseTo(2, 10)
})
