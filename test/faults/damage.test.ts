import { expect, test } from 'vitest'
import { damage } from './damage/damage.ts'
import { harms } from './damage/harms.ts'

/** The short form of `npm run faults -- damage`: each harm once. */
test('a rack whose files were harmed is opened whole, or what is wrong is told, or it is refused and restored', async () => {
  const options = { seed: 20261126, count: harms.length, minutes: 4, say: () => undefined }
  const { figures, broken } = await damage.run(options)
  expect(broken).toEqual([])
  expect(figures['damaged racks']).toBe(harms.length)
  expect(Number(figures['refused, and restored from a backup'])).toBeGreaterThan(5)
  expect(Number(figures['opened, and what is wrong was told'])).toBeGreaterThan(2)
}, 300_000)
