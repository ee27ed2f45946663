import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { drawnSize, sharedScale } from '../../renderer/screens/side/scale.ts'
import { seenOrder } from '../../renderer/screens/side/seen-order.ts'
import { pathOf, readRoute } from '../../renderer/state/router.ts'
import { type SideHow, usualHow } from '../../renderer/state/side-address.ts'
import type { SideItem } from '../../shared-core/records/side.ts'

const id = fc.string({ minLength: 1, maxLength: 20, unit: 'grapheme' })
const item: fc.Arbitrary<SideItem> = fc.oneof(
  fc.record({ kind: fc.constantFrom('panel', 'step', 'reading', 'reference'), id }) as fc.Arbitrary<SideItem>,
  fc
    .record({ photoId: id, x: fc.integer({ min: 0, max: 1e5 }), y: fc.integer({ min: 0, max: 1e5 }) })
    .map(({ photoId, x, y }) => ({ kind: 'point' as const, photoId, x: x / 1e5, y: y / 1e5 })),
)
const how: fc.Arbitrary<SideHow> = fc.record({
  shows: fc.constantFrom('photos', 'colours'),
  turned: fc.constantFrom(0, 1, 2, 3),
  names: fc.boolean(),
  against: fc.constantFrom('neighbour', 'first'),
})

describe('the address of Side by side', () => {
  it('holds what lies there in order and how it is shown: reading it gives the same', () => {
    fc.assert(
      fc.property(fc.array(item, { maxLength: 6 }), how, (items, shown) => {
        const path = pathOf({ at: 'side', items, how: shown })
        // a full stop would look like a file's extension to whoever serves the page
        expect(path).not.toContain('.')
        expect(new URL(path, 'http://127.0.0.1').pathname).toBe(path)
        expect(readRoute(path)).toEqual({ at: 'side', items, how: shown })
      }),
    )
  })

  it('leaves out what nobody wrote, and more than six', () => {
    expect(readRoute('/side/what*ever/reading*/point*a*2*0/%ZZ')).toEqual({ at: 'rack' })
    expect(readRoute('/side/what*ever/reading*/point*a*2*0/reading*ok/turned*7')).toEqual({
      at: 'side',
      items: [{ kind: 'reading', id: 'ok' }],
      how: usualHow,
    })
    const many = readRoute(`/side/${Array.from({ length: 9 }, (_, i) => `panel*${i}`).join('/')}`)
    expect(many.at === 'side' && many.items).toHaveLength(6)
  })
})

describe('pictures of one physical scale', () => {
  const fine = { widthPx: 800, heightPx: 600, mmPerPixel: 0.1 }
  const coarse = { widthPx: 400, heightPx: 300, mmPerPixel: 0.2 }
  const bay = { width: 400, height: 600 }

  it('show a millimetre alike, and cover their places where the photos have detail enough', () => {
    const scale = sharedScale([fine, coarse], bay)
    // both show 80 × 60 mm: 600 pixels high are 10 for a millimetre, twice the coarser photo's own five
    expect(scale).toBeCloseTo(10, 9)
    for (const picture of [fine, coarse]) expect(drawnSize(picture, bay, scale)).toEqual({ width: 800, height: 600 })
  })

  it('are not made more than three times larger than the coarsest of them', () => {
    const poor = { widthPx: 50, heightPx: 50, mmPerPixel: 1 }
    const scale = sharedScale([fine, poor], bay)
    expect(scale).toBeCloseTo(3, 9)
    expect(drawnSize(poor, bay, scale)).toEqual({ width: 150, height: 150 })
  })

  it('are each fitted to their place where fewer than two say their scale', () => {
    const unknown = { ...coarse, mmPerPixel: null }
    expect(sharedScale([fine, unknown, null], bay)).toBeNull()
    expect(drawnSize(unknown, bay, null)).toEqual({ width: 800, height: 600 })
    expect(drawnSize(unknown, bay, 10)).toEqual({ width: 800, height: 600 })
  })
})

it('two quarter turns put the last first', () => {
  expect([0, 1, 2, 3].map((turned) => seenOrder(3, turned as SideHow['turned']))).toEqual([
    [0, 1, 2],
    [0, 1, 2],
    [2, 1, 0],
    [2, 1, 0],
  ])
})
