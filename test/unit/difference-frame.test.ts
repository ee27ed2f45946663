/**
 * The linear frame of CIEDE2000 against the formula itself, which stands against its 34 published pairs in
 * test/published/ciede2000.test.ts.
 */
import * as fc from 'fast-check'
import { expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { differenceFrame } from '../../shared-core/colour/difference-frame.ts'

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })

it('gives the formula’s difference for small steps in any direction', () => {
  fc.assert(
    fc.property(
      fc.record({ l: number(2, 100), a: number(-100, 100), b: number(-100, 100) }),
      fc.tuple(number(-1, 1), number(-1, 1), number(-1, 1)).filter((step) => Math.hypot(...step) > 0.2),
      (at, step) => {
        fc.pre(Math.hypot(at.a, at.b) > 1)
        const small = 0.005 / Math.hypot(...step)
        const [dl, da, db] = step.map((value) => value * small) as [number, number, number]
        const frame = differenceFrame(at)
        const length = Math.hypot(
          ...[0, 1, 2].map((c) => frame[3 * c]! * dl + frame[3 * c + 1]! * da + frame[3 * c + 2]! * db),
        )
        const exact = differenceCiede2000(at, { l: at.l + dl, a: at.a + da, b: at.b + db })
        expect(Math.abs(length - exact)).toBeLessThan(0.01 * exact)
      },
    ),
    { numRuns: 1000 },
  )
})

it('measures neutrals with the stretched a* of the formula', () => {
  const neutral = { l: 50, a: 0, b: 0 }
  const frame = differenceFrame(neutral)
  expect(Math.hypot(frame[4]!, frame[7]!) * 0.01).toBeCloseTo(differenceCiede2000(neutral, { ...neutral, a: 0.01 }), 4)
  expect(Math.hypot(frame[5]!, frame[8]!) * 0.01).toBeCloseTo(differenceCiede2000(neutral, { ...neutral, b: 0.01 }), 4)
})
