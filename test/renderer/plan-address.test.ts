import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { formulaToText, planAddress, textToFormula } from '../../renderer/state/plan-address.ts'
import { pathOf, readRoute } from '../../renderer/state/router.ts'
import { PlanFormula } from '../../shared-core/records/film.ts'
import { blend } from './plan-rack.ts'

const mid = fc.option(fc.record({ id: fc.string({ minLength: 1 }), coats: fc.integer({ min: 1, max: 12 }) }))
/** Names as painters write them, with every sign. */
const formulas: fc.Arbitrary<PlanFormula> = fc.record({
  candies: fc.array(
    fc.record({ id: fc.string({ minLength: 1 }), parts: fc.double({ min: 0.01, max: 1000, noNaN: true }) }),
    {
      maxLength: 6,
    },
  ),
  carrierParts: fc.double({ min: 0, max: 100, noNaN: true }).map(Math.abs),
  reducerPercent: fc.integer({ min: 0, max: 100 }),
  hardenerPercent: fc.integer({ min: 0, max: 100 }),
  under: mid,
  over: mid,
  gunSetupId: fc.option(fc.string({ minLength: 1 })),
  finish: fc.constantFrom('cleared' as const, 'uncleared' as const),
})

describe('the address of a plan', () => {
  it('says the formula in a way that can be read', () => {
    expect(formulaToText(blend)).toBe('4*tidewater~1*juniper!in6')
    expect(pathOf(planAddress({ ...blend, reducerPercent: 5 }, 'ref'))).toBe('/plan/4*tidewater~1*juniper!in6!r5/ref')
    expect(pathOf(planAddress(null, 'ref'))).toBe('/plan/-/ref')
  })

  it('leads back to the same formula, whatever candies and pearls are called', () => {
    fc.assert(
      fc.property(formulas, (formula) => {
        const route = planAddress(PlanFormula.parse(formula), 'reading-1')
        const path = pathOf(route)
        expect(readRoute(path)).toEqual(route)
        // whoever serves the page takes a full stop for a file’s extension
        expect(decodeURIComponent(path)).not.toContain('.')
      }),
    )
  })

  it('an address that was cut off or typed sets nothing', () => {
    for (const text of [
      '',
      'in',
      '4*',
      'x*tidewater!in6',
      '4*tidewater',
      '0*tidewater!in6',
      '4*tide%!in6',
      '4*a!in6!under2*%',
    ])
      expect(textToFormula(text)).toBeNull()
    expect(readRoute('/plan/nonsense')).toEqual({ at: 'plan', formula: null, referenceId: null })
    expect(readRoute('/plan')).toEqual({ at: 'plan', formula: null, referenceId: null })
  })
})
