import fc from 'fast-check'
import { expect, test } from 'vitest'
import { hueGroup, hueOrder, lightnessGroup } from '../../shared-core/colour/hue-order.ts'
import { hueName } from '../../shared-core/colour/words.ts'
import { sortKey } from '../../shared-core/words/sort-key.ts'

const at = (degrees: number, chroma = 40, l = 50) => {
  const angle = (degrees * Math.PI) / 180
  return hueOrder(l, chroma * Math.cos(angle), chroma * Math.sin(angle))
}

test('once round the circle every hue name comes once, in the order of their places, and neutrals come after', () => {
  const colours = Array.from({ length: 3600 }, (_, i) => ({ degrees: i / 10, order: at(i / 10) }))
  for (const { degrees, order } of colours) expect(hueGroup(order).name).toBe(hueName(degrees))
  const names = colours.toSorted((a, b) => a.order - b.order).map(({ order }) => hueGroup(order))
  const runs = names.filter(({ name }, i) => name !== names[i - 1]?.name)
  expect(runs).toEqual(
    ['red', 'orange', 'yellow', 'yellow-green', 'green', 'turquoise', 'blue', 'purple'].map((name, place) => ({
      place,
      name,
    })),
  )
  const [dark, light] = [at(10, 4.9, 20), at(200, 0, 80)]
  expect([hueGroup(dark).name, hueGroup(light).name]).toEqual(['neutral', 'neutral'])
  expect(Math.max(...colours.map(({ order }) => order))).toBeLessThan(dark)
  expect(dark).toBeLessThan(light)
})

test('lightness goes in bands of twenty, and what lies beyond the scale is in the last ones', () => {
  expect([-1, 0, 19.99, 20, 59, 60, 100, 104].map((l) => lightnessGroup(l).place)).toEqual([0, 0, 0, 1, 2, 3, 4, 4])
})

test('names stand as a reader orders them: figures by value, capitals and accents aside', () => {
  // reference: the platform's collation (ECMA-402, Unicode Technical Standard 10)
  const { compare } = new Intl.Collator('en', { numeric: true, sensitivity: 'base' })
  const word = fc.string({ unit: fc.constantFrom('a', 'B', 'é', 'Z', '0', '1', '9', '-', ' '), maxLength: 9 })
  fc.assert(
    fc.property(word, word, (a, b) => {
      const [one, other] = [a.trim(), b.trim()]
      // where signs between the words alone differ, standards order them otherwise than their numbers do
      fc.pre(one.replaceAll(/[^- ]/g, 'x') === other.replaceAll(/[^- ]/g, 'x') || !/[- ]/.test(one + other))
      const [left, right] = [sortKey(one), sortKey(other)]
      expect(left < right ? -1 : left > right ? 1 : 0).toBe(Math.sign(compare(one, other)))
    }),
  )
  const codes = ['P-10', 'p-9', 'P-0010b', 'P-0009', 'Q-1', 'P-100']
  expect(codes.toSorted((a, b) => (sortKey(a) < sortKey(b) ? -1 : 1))[0]).toMatch(/9$/)
  expect(codes.map(sortKey).toSorted().at(-1)).toBe(sortKey('Q-1'))
})
