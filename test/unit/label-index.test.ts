/** The rack's index: every panel once, in the order of the wall, nothing cut or overlapping. A4 is 210 × 297 mm (ISO 216). */
import { describe, expect, it } from 'vitest'
import { layOutRackIndex } from '../../electron/print/sheets.ts'
import { noFilter, type PanelSummary } from '../../shared-core/records/panel.ts'
import { type IndexWanted, Shown, usualPrinting } from '../../shared-core/records/sheet.ts'
import { faultsOf, textOf } from './page-ink.ts'

const a4 = { widthMm: 210, heightMm: 297 }
const wording = { decimal: 'point', units: 'metric' } as const

describe('the index', () => {
  const summary = (i: number, more: Partial<PanelSummary> = {}): PanelSummary => ({
    id: `p${i}`,
    code: `P-${String(i).padStart(4, '0')}`,
    title: i % 7 === 0 ? 'A title that goes on for longer than one column of the index is wide' : `Panel ${i}`,
    status: 'sprayed',
    sprayedOn: '2031-03-14',
    ground: ['bright silver', 'charcoal', null][i % 3] ?? null,
    candies: ['teal', 'smoke'],
    coatsFrom: 1,
    coatsTo: 4,
    cleared: true,
    tags: [],
    bands: [1, 2, 3].map((coats) => ({
      stepId: `${i}-${coats}`,
      coats,
      lab: { l: 40, a: 10, b: 20 },
      bound90: 3,
      cut: coats === 2 ? 'ab'.repeat(16) : null,
    })),
    ...more,
  })
  const wanted = (more: Partial<IndexWanted> = {}): IndexWanted => ({
    kind: 'index',
    panelIds: null,
    filter: noFilter,
    sort: 'code',
    groupByGround: true,
    paper: a4,
    columns: 6,
    shows: [...usualPrinting.shows.index],
    wording,
    ...more,
  })

  it.each([2, 4, 6, 10])('in %i columns has every panel once, nothing leaves the page or overlaps', (columns) => {
    const panels = Array.from({ length: 70 }, (_, i) => summary(i, i === 5 ? { bands: [] } : {}))
    const pages = layOutRackIndex(panels, 'North wall', wanted({ columns, shows: [...Shown.options] }))
    for (const { marks, size } of pages) expect(faultsOf(marks, size)).toEqual([])
    const codes = pages.flatMap(({ marks }) =>
      marks.flatMap((m) => (m.kind === 'text' && /^P-\d/u.test(m.text) ? [m.text] : [])),
    )
    expect(codes.toSorted()).toEqual(panels.map(({ code }) => code))
    expect(textOf(pages[0]!.marks)).toContain('70 panels, sorted by code')
    expect(textOf(pages.at(-1)!.marks)).toContain(`page ${pages.length} of ${pages.length}`)
  })

  it('keeps the order of the wall, in groups by ground and without', () => {
    const panels = Array.from({ length: 9 }, (_, i) => summary(i))
    const codes = (groupByGround: boolean) =>
      layOutRackIndex(panels, 'Wall', wanted({ groupByGround }))
        .flatMap(({ marks }) => marks)
        .flatMap((m) => (m.kind === 'text' && /^P-\d/u.test(m.text) ? [Number(m.text.slice(2))] : []))
    expect(codes(false)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8])
    expect(codes(true)).toEqual([0, 3, 6, 1, 4, 7, 2, 5, 8])
  })

  it('is refused when so many columns cannot stand on the page', () => {
    expect(() => layOutRackIndex([], 'Wall', wanted({ columns: 10, paper: { widthMm: 148, heightMm: 210 } }))).toThrow(
      expect.objectContaining({ code: 'sheet/does-not-fit' }),
    )
  })
})
