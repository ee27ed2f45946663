import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { blankDraft, keepIdentities, missingInDraft, stepsFromText } from '../../renderer/screens/panel-form/draft.ts'
import { pathOf, type Route, readRoute } from '../../renderer/state/router.ts'
import { parseNumber } from '../../shared-core/mix/units.ts'

const coats = (text: string) => stepsFromText(text, [], parseNumber)?.map((step) => step.coats) ?? null

describe('coats of steps as typed', () => {
  test.each([
    ['4', [4]],
    ['0 1 2 3 4', [0, 1, 2, 3, 4]],
    ['0, 1, 2, 4', [0, 1, 2, 4]],
    ['0,1,2', [0, 1, 2]],
    ['0/2/4', [0, 2, 4]],
    ['0-4', [0, 1, 2, 3, 4]],
    ['4 to 0', [4, 3, 2, 1, 0]],
    ['1.5 3', [1.5, 3]],
    ['1½ 3', [1.5, 3]],
  ])('%s', (text, expected) => expect(coats(text)).toEqual(expected))

  test.each(['', 'four', '1 2 x', '-1 2', '61'])('"%s" is not understood', (text) => expect(coats(text)).toBeNull())

  test('a step keeps its identity by its coats, and a corrected one by its place', () => {
    const before = [
      { id: 'a', coats: 0, notes: '' },
      { id: 'b', coats: 2, notes: 'thin' },
      { id: 'c', coats: 4, notes: '' },
    ]
    const typed = stepsFromText('0 3 4', before, parseNumber)!
    expect(keepIdentities(typed, before).map((step) => step.id)).toEqual(['a', 'b', 'c'])
    expect(stepsFromText('4 2 0', before, parseNumber)!.map((step) => step.id)).toEqual(['c', 'b', 'a'])
  })

  test('no identity is ever given twice', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 6 }), { minLength: 1, maxLength: 8 }),
        fc.array(fc.integer({ min: 0, max: 6 }), { minLength: 1, maxLength: 8 }),
        (old, next) => {
          const before = old.map((value, i) => ({ id: `s${i}`, coats: value, notes: '' }))
          const steps = keepIdentities(stepsFromText(next.join(' '), before, parseNumber)!, before)
          const ids = steps.flatMap((step) => (step.id === null ? [] : [step.id]))
          expect(new Set(ids).size).toBe(ids.length)
          expect(ids.length).toBe(Math.min(old.length, next.length))
        },
      ),
    )
  })
})

test('a new form can be saved as it stands, and says what is missing otherwise', () => {
  const draft = blankDraft('Wren', '2031-05-14')
  expect(missingInDraft(draft)).toBeNull()
  const gunless = {
    ...draft.layers[0]!,
    gunSetup: {
      id: null,
      name: '',
      gun: '',
      tipMm: 1.3,
      inletKpa: null,
      capKpa: null,
      distanceMm: null,
      overlapPercent: null,
    },
  }
  expect(missingInDraft({ ...draft, layers: [gunless] })).toContain('gun set-up')
})

test('an address that cannot be read leads to the rack', () => {
  expect(readRoute('/panel/%E0%A4%A')).toEqual({ at: 'rack' })
  expect(readRoute('/nowhere/at/all')).toEqual({ at: 'rack' })
})

test('every route has an address that leads back to it', () => {
  const key = fc
    .string({ minLength: 1, maxLength: 12 })
    .filter((s) => s !== 'new' && !s.includes('/') && s.trim() !== '' && s !== '.' && s !== '..' && s.isWellFormed())
  const routes: fc.Arbitrary<Route> = fc.oneof(
    fc.constant<Route>({ at: 'rack' }),
    fc.constant<Route>({ at: 'settings' }),
    key.map((k): Route => ({ at: 'panel', key: k })),
    fc.option(key).map((k): Route => ({ at: 'panel-form', key: k })),
    fc.option(key).map((k): Route => ({ at: 'tray', photoId: k })),
    fc.option(key).map((k): Route => ({ at: 'match', referenceId: k })),
  )
  fc.assert(
    fc.property(routes, (route) => {
      expect(readRoute(pathOf(route))).toEqual(route)
    }),
  )
})
