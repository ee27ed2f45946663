import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type NearOne, nearAll } from '../../renderer/screens/match/table/near-all.ts'
import {
  idOfPhoto,
  idOfPoint,
  idOfReading,
  keptReference,
  type Target,
  targetOf,
} from '../../renderer/state/match-address.ts'
import type { Match } from '../../shared-core/records/match.ts'

const match = (step: number, de00: number) =>
  ({ stepId: `step-${step}`, de00, bound90: 1, panel: { code: `P-${String(step).padStart(4, '0')}` } }) as Match

/** What a call answers of all differences: the nearest few. */
const asked = (all: readonly number[], limit: number): NearOne => {
  const matches = all.map((de00, step) => match(step, de00)).toSorted((a, b) => a.de00 - b.de00)
  return { matches: matches.slice(0, limit), complete: matches.length <= limit }
}

test('short lists give the beginning of what whole lists give, and say how far it reaches', () => {
  const differences = fc.uniqueArray(fc.integer({ min: 0, max: 500 }), { minLength: 12, maxLength: 12 })
  fc.assert(
    fc.property(
      fc.array(differences, { minLength: 1, maxLength: 4 }),
      fc.integer({ min: 1, max: 12 }),
      (all, limit) => {
        // by hand: the largest of each step's differences
        const worst = all[0]!
          .map((_, step) => ({ step, worst: Math.max(...all.map((one) => one[step]!)) }))
          .toSorted((a, b) => a.worst - b.worst || a.step - b.step)
        const { found, certainTo } = nearAll(all.map((one) => asked(one, limit)))
        expect(found.map((one) => [one.match.stepId, one.worst])).toEqual(
          worst.filter((one) => one.worst <= certainTo).map((one) => [`step-${one.step}`, one.worst]),
        )
        expect(certainTo === Number.POSITIVE_INFINITY).toBe(limit === 12)
      },
    ),
  )
})

test('it names the one that is farthest', () => {
  const { found } = nearAll([asked([1, 4], 9), asked([3, 2], 9)])
  expect(found.map(({ match: { stepId }, worst, worstOf }) => [stepId, worst, worstOf])).toEqual([
    ['step-0', 3, 1],
    ['step-1', 4, 0],
  ])
})

test('a piece of an address leads back to what it names', () => {
  const id = fc.uuid()
  const share = fc.integer({ min: 0, max: 10_000 }).map((n) => n / 10_000)
  fc.assert(
    fc.property(id, share, share, (photoId, x, y) => {
      expect(targetOf(photoId)).toEqual<Target>({ kind: 'reference', id: photoId })
      expect(targetOf(idOfReading(photoId))).toEqual<Target>({ kind: 'reading', id: photoId })
      expect(targetOf(idOfPhoto(photoId))).toEqual<Target>({ kind: 'photo', photoId })
      expect(targetOf(idOfPoint({ photoId, x, y }))).toEqual<Target>({ kind: 'point', photoId, x, y })
      expect(keptReference(idOfPoint({ photoId, x, y }))).toBeNull()
    }),
  )
})

test('a point outside the photo, or half a point, is no point', () => {
  for (const broken of ['point*photo*1,2*0,5', 'point*photo*0,5', 'point*%E0%A4*0*0', 'photo*a*b'])
    expect(targetOf(broken).kind).toBe('reference')
})
