/**
 * Sheets of labels: grids that cannot be are refused with the reason, the others have every label inside the page. Sources:
 * ISO 216 (A4 is 210 × 297 mm); sheets of labels are symmetrical on their page (common practice, no source).
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { layOutPrintable } from '../../electron/print/sheets.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { rulersOf } from '../../shared-core/label/sheet/calibration-page.ts'
import { commonGrids } from '../../shared-core/label/sheet/grids.ts'
import { cellAt, gridFault, labelsOnSheet, layOutOnGrid } from '../../shared-core/label/sheet/on-grid.ts'
import { calibrationFrom, placed, placementOf, wouldMeasure } from '../../shared-core/label/sheet/placement.ts'
import type { LabelMark } from '../../shared-core/records/label.ts'
import { LabelGrid, usualPrinting } from '../../shared-core/records/sheet.ts'
import { panelWith } from './label-panels.ts'

const a4 = { widthMm: 210, heightMm: 297 }
const grid = (more: Partial<LabelGrid> = {}): LabelGrid => ({ ...usualPrinting.grid, ...more })
const wording = { decimal: 'point', units: 'metric' } as const

describe('a grid of labels', () => {
  it.each(commonGrids)('$name fits, and lies in the middle of its page', ({ grid: common }) => {
    expect(LabelGrid.safeParse(common).success).toBe(true)
    expect(gridFault(common)).toBeNull()
    const last = cellAt(common, labelsOnSheet(common) - 1)
    const rightMm = common.paper.widthMm - last.xMm - common.label.widthMm
    const bottomMm = common.paper.heightMm - last.yMm - common.label.heightMm
    expect(Math.abs(rightMm - common.leftMm)).toBeLessThan(0.15)
    expect(Math.abs(bottomMm - common.topMm)).toBeLessThan(0.15)
  })

  it('is refused with the reason when it cannot fit', () => {
    expect(gridFault(grid({ columns: 4 }))).toBe(
      '4 columns of 63.5 mm with their gaps and the left margin take 268.7 mm across, and the page is 210 mm wide.',
    )
    expect(gridFault(grid({ rows: 8 }))).toContain('take 319.9 mm down, and the page is 297 mm high')
    const tried = () => layOutOnGrid([[]], grid({ topMm: 40 }), 1)
    expect(tried).toThrow(Refusal)
    expect(tried).toThrow(/40|306\.7 mm down/u)
    expect(() => layOutOnGrid([[]], grid(), 22)).toThrow(/21 labels, so none is number 22/u)
  })

  it('comes before what stands on a label: a small label on a bad grid is refused for the grid', async () => {
    const bad = grid({ label: { widthMm: 20, heightMm: 12 }, columns: 30 })
    const wanted = {
      kind: 'labels' as const,
      panelIds: ['panel-1'],
      stock: { on: 'grid' as const, grid: bad, start: 1 },
      copies: 1,
      shows: usualPrinting.shows.label,
      wording,
    }
    await expect(layOutPrintable(wanted, [panelWith()])).rejects.toMatchObject({ code: 'sheet/does-not-fit' })
  })

  const measure = (min: number, max: number) => fc.double({ min, max, noNaN: true })
  const anyGrid = fc.record({
    paper: fc.record({ widthMm: measure(60, 450), heightMm: measure(60, 450) }),
    leftMm: measure(0, 30),
    topMm: measure(0, 30),
    columns: fc.integer({ min: 1, max: 6 }),
    rows: fc.integer({ min: 1, max: 10 }),
    label: fc.record({ widthMm: measure(20, 120), heightMm: measure(12, 80) }),
    gapXMm: measure(0, 10),
    gapYMm: measure(0, 10),
  })

  it('that is not refused has every label inside its page, and none over another', () => {
    let fitted = 0
    fc.assert(
      fc.property(anyGrid, (any) => {
        const last = cellAt(any, labelsOnSheet(any) - 1)
        const beyondMm = Math.max(
          last.xMm + any.label.widthMm - any.paper.widthMm,
          last.yMm + any.label.heightMm - any.paper.heightMm,
        )
        // refused with reason: the last label would leave the page by more than the rounding of typed measures
        expect(gridFault(any) !== null).toBe(beyondMm > 0.005)
        if (beyondMm > 0.005) return
        fitted += 1
        const cells = Array.from({ length: labelsOnSheet(any) }, (_, place) => cellAt(any, place))
        for (const [i, a] of cells.entries()) {
          expect(a.xMm).toBeGreaterThanOrEqual(0)
          expect(a.yMm).toBeGreaterThanOrEqual(0)
          expect(a.xMm + any.label.widthMm).toBeLessThanOrEqual(any.paper.widthMm + 0.01)
          expect(a.yMm + any.label.heightMm).toBeLessThanOrEqual(any.paper.heightMm + 0.01)
          for (const b of cells.slice(i + 1)) {
            const isApart =
              Math.abs(a.xMm - b.xMm) >= any.label.widthMm - 1e-9 ||
              Math.abs(a.yMm - b.yMm) >= any.label.heightMm - 1e-9
            expect(isApart).toBe(true)
          }
        }
      }),
      { numRuns: 400 },
    )
    expect(fitted).toBeGreaterThan(40)
  })

  it('takes every label once, in order, from the start on', () => {
    fc.assert(
      fc.property(anyGrid, fc.integer({ min: 1, max: 70 }), fc.nat(80), (any, wish, count) => {
        fc.pre(gridFault(any) === null)
        const onSheet = labelsOnSheet(any)
        const start = Math.min(wish, onSheet)
        const labels = Array.from({ length: count }, (_, i): LabelMark[] => [
          { kind: 'text', xMm: 0, baselineMm: 0, sizeMm: 2, face: 'regular', text: String(i) },
        ])
        const pages = layOutOnGrid(labels, any, start)
        expect(pages).toHaveLength(count === 0 ? 0 : Math.ceil((count + start - 1) / onSheet))
        const said = pages.flatMap(({ marks }, sheet) =>
          marks.map((mark) => {
            if (mark.kind !== 'text') throw new Error('not a text')
            const place = Array.from({ length: onSheet }, (_, p) => cellAt(any, p)).findIndex(
              ({ xMm, yMm }) => xMm === mark.xMm && yMm === mark.baselineMm,
            )
            return [Number(mark.text), sheet * onSheet + place]
          }),
        )
        expect(said).toEqual(labels.map((_, i) => [i, i + start - 1]))
      }),
      { numRuns: 60 },
    )
  })
})

describe('a printer put right', () => {
  const percent = fc.double({ min: 81, max: 124, noNaN: true })
  const mm = fc.double({ min: -20, max: 20, noNaN: true })
  const calibrations = fc.record({ scaleXPercent: percent, scaleYPercent: percent, offsetXMm: mm, offsetYMm: mm })

  it('prints every point where it was laid out', () => {
    fc.assert(
      fc.property(calibrations, fc.double({ min: 0, max: 300, noNaN: true }), mm, (calibration, x, y) => {
        const [drawnX, drawnY] = placed(placementOf(calibration), x, y)
        // what this printer does to what is drawn
        expect((calibration.scaleXPercent / 100) * drawnX + calibration.offsetXMm).toBeCloseTo(x, 9)
        expect((calibration.scaleYPercent / 100) * drawnY + calibration.offsetYMm).toBeCloseTo(y, 9)
      }),
    )
  })

  it('is known again from what is measured on the page', () => {
    fc.assert(
      fc.property(calibrations, fc.constantFrom(a4, { widthMm: 62, heightMm: 29 }), (calibration, size) => {
        const asked = rulersOf(size)
        const found = calibrationFrom(wouldMeasure(calibration, asked), asked)
        for (const key of Object.keys(calibration) as (keyof typeof calibration)[])
          expect(found[key]).toBeCloseTo(calibration[key], 9)
      }),
    )
  })

  it('from a page measured by hand', () => {
    // 99 mm for 100, and the upright line 16 mm from the edge instead of 15: 16 − 0.99 · 15 = 1.15
    const found = calibrationFrom({ acrossMm: 99, downMm: 100, leftMm: 16, topMm: 15 }, rulersOf(a4))
    expect(found.scaleXPercent).toBeCloseTo(99, 9)
    expect(found.offsetXMm).toBeCloseTo(1.15, 9)
    expect(found.offsetYMm).toBeCloseTo(0, 9)
  })
})
