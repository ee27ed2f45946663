/** What lies where on a photo sheet: nothing on anything else, white between, nothing where printers leave blank. The sizes are common practice. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { coveredPlaces, type PhotoSheetPlaces, photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import type { Rect } from '../../shared-core/label/photo-sheet/room.ts'
import { papers } from '../../shared-core/label/sheet/paper.ts'

/** White between two places; 0 or less where they touch. */
const between = (a: Rect, b: Rect): number =>
  Math.max(a.xMm - b.xMm - b.widthMm, b.xMm - a.xMm - a.widthMm, a.yMm - b.yMm - b.heightMm, b.yMm - a.yMm - a.heightMm)

/** Pairs that have less white between them than they want. */
const crowded = (some: readonly Rect[], others: readonly Rect[], leastMm: number): Rect[][] =>
  some.flatMap((one) =>
    others.filter((other) => other !== one && between(one, other) < leastMm - 0.01).map((other) => [one, other]),
  )

function check(places: PhotoSheetPlaces): void {
  const { paper, corners, window, card, chart, shared, steps, colours, symbol, head, words } = places
  const laid = shared ? [window, chart] : [window, chart, card]
  const printed: Rect[] = [...corners, ...steps, ...colours, symbol, head, ...(words.heightMm > 0 ? [words] : [])]
  expect(crowded(laid, [...laid, ...printed], 6)).toEqual([])
  expect(crowded(corners, printed, 6)).toEqual([])
  expect(crowded(printed, printed, 2)).toEqual([])
  for (const { xMm, yMm, widthMm, heightMm } of [...laid, ...printed]) {
    expect(Math.min(xMm, yMm)).toBeGreaterThanOrEqual(9.99)
    expect(xMm + widthMm).toBeLessThanOrEqual(paper.widthMm - 9.99)
    expect(yMm + heightMm).toBeLessThanOrEqual(paper.heightMm - 9.99)
  }
  const bottom = ({ yMm, heightMm }: Rect) => yMm + heightMm
  const inside = (rect: Rect, of: Rect) =>
    rect.xMm >= of.xMm &&
    rect.yMm >= of.yMm &&
    rect.xMm + rect.widthMm <= of.xMm + of.widthMm &&
    bottom(rect) <= bottom(of)
  expect(inside(card, chart)).toBe(shared)
  for (const patch of [...steps, ...colours]) {
    expect(patch.widthMm).toBeGreaterThanOrEqual(7)
    expect(patch.heightMm).toBeGreaterThanOrEqual(9)
  }
  expect(new Set(steps.map(({ hex }) => hex)).size).toBe(9)
  expect(steps[0]!.hex).toBe('#ffffff')
  expect(steps.at(-1)!.hex).toBe('#000000')
  expect(new Set(colours.map(({ hex }) => hex)).size).toBe(16)
  expect([card.widthMm, card.heightMm].toSorted((a, b) => a - b)).toEqual([50, 80])
  expect([chart.widthMm, chart.heightMm].toSorted((a, b) => a - b)).toEqual([72, 108])
  expect(coveredPlaces(places).length).toBeGreaterThan(30)
}

describe('the places of a photo sheet', () => {
  it.each(
    papers.flatMap(({ name, size }) => [
      { name, size, panel: { widthMm: 100, heightMm: 150 } },
      { name, size, panel: { widthMm: 101.6, heightMm: 152.4 } },
      { name, size, panel: { widthMm: 152.4, heightMm: 101.6 } },
    ]),
  )('have room for panel, card and chart on $name: $panel.widthMm × $panel.heightMm mm', ({ size, panel }) => {
    const places = photoSheetPlaces(size, panel)
    expect(places.shared).toBe(false)
    expect(Math.abs(places.window.widthMm - panel.widthMm)).toBeLessThanOrEqual(0.25)
    expect(places.words.heightMm * places.words.widthMm).toBeGreaterThan(2200)
    expect(places.steps).toHaveLength(14)
    check(places)
  })

  it('are apart whatever the sizes, or there is no sheet', () => {
    const laid: PhotoSheetPlaces[] = []
    const refusals = new Set<unknown>()
    const side = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true })
    fc.assert(
      fc.property(side(100, 450), side(100, 450), side(20, 300), side(12, 300), (wide, high, panelWide, panelHigh) => {
        try {
          const places = photoSheetPlaces(
            { widthMm: wide, heightMm: high },
            { widthMm: panelWide, heightMm: panelHigh },
          )
          laid.push(places)
        } catch (error) {
          refusals.add((error as { code?: string }).code)
        }
      }),
      { numRuns: 400 },
    )
    expect([...refusals]).toEqual(['sheet/does-not-fit'])
    expect(laid.length).toBeGreaterThan(50)
    for (const places of laid) {
      check(places)
      // what the marks say, halves of a millimetre, leads to the same places
      expect(photoSheetPlaces(places.paper, places.window)).toEqual(places)
    }
  })
})
