/**
 * A customer's job on paper, measured on its pixels at 200 dpi (0.13 mm a dot) and read back by a scanner's code. Paper: ISO 216
 * A4, ANSI/ASME Y14.1 letter.
 */
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { measureText } from '../../electron/print/fonts.ts'
import { layOutJobSheet } from '../../electron/print/job-sheet.ts'
import { ascent, descent } from '../../shared-core/label/measures.ts'
import { placementOf } from '../../shared-core/label/sheet/placement.ts'
import type { PaperSize, SheetPage } from '../../shared-core/records/sheet.ts'
import { workFolder } from './fresh.ts'
import { darkExtent, levelAt, type Raster, rasterise, readQr } from './raster.ts'
import { facts, job, longJob, part } from './sheet-jobs.ts'

const folder = workFolder()
const papers: { name: string; paper: PaperSize }[] = [
  { name: 'A4', paper: { widthMm: 210, heightMm: 297 } },
  { name: 'letter', paper: { widthMm: 215.9, heightMm: 279.4 } },
]
const a4 = papers[0]!.paper
const marginMm = 14
/** A capital J hangs out of its box to the left, by 5 % of 8 mm in this face. */
const toleranceMm = 0.5

async function drawn(pages: readonly SheetPage[], name: string, dpi = 200): Promise<Raster[]> {
  const file = join(folder, `${name}.pdf`)
  await drawPagesPdf(pages, file, { title: name })
  return rasterise(file, dpi)
}
const saidOn = (rasters: readonly Raster[]): string =>
  rasters.map(({ text }) => text.replaceAll(/\s+/gu, ' ')).join(' ')

type Rect = { text: string; left: number; top: number; right: number; bottom: number }
/** Where letters may stand, by the face's own measures. */
const rectsOf = ({ marks }: SheetPage): Rect[] =>
  marks.flatMap((mark) =>
    mark.kind === 'text'
      ? [
          {
            text: mark.text,
            left: mark.xMm,
            right: mark.xMm + measureText(mark.text, mark.face, mark.sizeMm),
            // capitals and descenders; the room above accents may be shared with the line before
            top: mark.baselineMm - 0.75 * ascent * mark.sizeMm,
            bottom: mark.baselineMm + 0.8 * descent * mark.sizeMm,
          },
        ]
      : [],
  )
const overlaps = (page: SheetPage): string[] => {
  const rects = rectsOf(page)
  return rects.flatMap((a, i) =>
    rects
      .slice(i + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
      .map((b) => `${a.text} / ${b.text}`),
  )
}

describe.each(papers)('eight parts with long names on $name', ({ name, paper }) => {
  it('are on pages of that paper, nothing clipped, nothing on top of something else', async () => {
    const long = longJob()
    const pages = await layOutJobSheet(long.job, long.facts, paper)
    expect(pages.length).toBeGreaterThan(2)
    const rasters = await drawn(pages, `long ${name}`)
    expect(rasters).toHaveLength(pages.length)
    for (const raster of rasters) {
      expect(raster.widthMm).toBeCloseTo(paper.widthMm, 1)
      expect(raster.heightMm).toBeCloseTo(paper.heightMm, 1)
      const ink = darkExtent(raster, 0, 0, paper.widthMm, paper.heightMm)
      expect(ink.left).toBeGreaterThan(marginMm - toleranceMm)
      expect(ink.top).toBeGreaterThan(marginMm - toleranceMm)
      expect(ink.left + ink.width).toBeLessThan(paper.widthMm - marginMm + toleranceMm)
      expect(ink.top + ink.height).toBeLessThan(paper.heightMm - marginMm + toleranceMm)
      expect(await readQr(raster)).toEqual(['J-0042'])
    }
    for (const page of pages) expect(overlaps(page)).toEqual([])
    const said = saidOn(rasters)
    for (const each of long.job.parts) expect(said).toContain(`${each.name.slice(0, 2)}left-hand side panel`)
    // each part either was sprayed, or has room to write it down
    expect(said.split('As sprayed:').length - 1).toBe(4)
    expect(said.split('To be written down:').length - 1).toBe(4)
    for (const code of long.facts.cups.map((cup) => cup.code)) expect(said).toContain(code)
    expect(said).toContain('welded shut')
    expect(said).toContain(`page ${pages.length} of ${pages.length}`)
  })
})

describe('a job sheet', () => {
  it('says what was agreed, mixed, checked, decided and sprayed', async () => {
    const said = saidOn(await drawn(await layOutJobSheet(job(), facts(), a4), 'usual'))
    for (const words of [
      'J-0042',
      'Tank and mudguards in copper',
      'A. Lindqvist',
      'due 2026-05-02',
      'Tank of the old machine',
      '4 copper : 1 crimson',
      'bright silver',
      'P-0031',
      '0.62 m²',
      // 0.62 + 0.21 m²
      '0.83 m²',
      'C-0007',
      '24-118',
      'P-0107',
      'ΔE00 0.9 ± 0.5',
      'within the tolerance',
      'in one photo with the reference',
      'A little darker',
      'Accepted',
      '2026-04-16',
      'Seen at the door.',
      'As sprayed: Tank',
      '4 coats',
      'Bench gun, 1.3',
      'slow',
      '12.5 %',
      '23 °C',
      '48 % humidity',
      '9 min flash-off',
      'carrier 25-301',
      '2026-04-17',
      'A run near the tap',
      'To be written down: Front mudguard',
      'spray a check panel',
    ])
      expect(said).toContain(words)
  })

  it('says areas and temperatures in the painter’s units, and figures with his comma', async () => {
    const us = saidOn(
      await drawn(await layOutJobSheet(job(), facts({ wording: { decimal: 'comma', units: 'us' } }), a4), 'us'),
    )
    // 23 °C × 9/5 + 32 (NIST SP 811, B.9); 0.62 m² / 0.09290304 m² per ft²
    expect(us).toMatch(/73(,4)? °F/u)
    expect(us).toMatch(/6,67 ft²|6,7 ft²/u)
    expect(us).toContain('ΔE00 0,9 ± 0,5')
    expect(us).not.toContain('°C')
  })

  it('has a square for each coat that is to be sprayed and two beyond, large enough for a pen', async () => {
    const wanted = job({ parts: [part('Tank', 0.5)] })
    const pages = await layOutJobSheet(wanted, facts({ cups: [] }), a4)
    const [page] = pages.filter(({ marks }) => marks.some((mark) => mark.kind === 'text' && mark.text === 'Candy'))
    const at = page!.marks.find((mark) => mark.kind === 'text' && mark.text === 'Candy') as { baselineMm: number }
    const raster = (await drawn(pages, 'squares', 300))[pages.indexOf(page!)]!
    // along the middle of the squares' upper half, their left and right sides are what is dark
    const y = Math.round((at.baselineMm - 2) * raster.dotsPerMm)
    const says = page!.marks.find((mark) => mark.kind === 'text' && mark.text.startsWith('strike each')) as {
      xMm: number
      text: string
    }
    const from = says.xMm + measureText(says.text, 'regular', 3.4) + 1
    const strokes: number[] = []
    for (let x = Math.round(from * raster.dotsPerMm); x < raster.width; x++)
      if (levelAt(raster, x, y) < 128 && levelAt(raster, x - 1, y) >= 128) strokes.push(x / raster.dotsPerMm)
    // 4 coats and two more, two sides each
    expect(strokes).toHaveLength(2 * 6)
    // a pencil's stroke is about half a millimetre (common practice, no source): five are enough to aim at
    for (let i = 0; i < strokes.length; i += 2) expect(strokes[i + 1]! - strokes[i]!).toBeGreaterThan(5)
  })

  it('warns of what is in the mixture, and not of what is not', async () => {
    const withHardener = job()
    const hardener = { id: 'm hardener', name: 'Tern hardener', kind: 'hardener' as const }
    const formula = withHardener.formula!
    withHardener.formula = {
      ...formula,
      mixture: {
        ...formula.mixture,
        parts: [...formula.mixture.parts, { amount: 1, unit: 'parts', material: hardener, mixture: null }],
      },
    }
    const said = async (of: typeof withHardener, known: boolean | null, name: string) =>
      saidOn(
        await drawn(await layOutJobSheet(of, facts({ isocyanates: new Map([[hardener.id, known]]) }), a4), name, 72),
      )
    expect(await said(withHardener, null, 'hardener')).toContain('Hardeners contain isocyanates')
    expect(await said(withHardener, false, 'free')).toContain('free of isocyanates')
    const without = await said(job(), null, 'without')
    expect(without).not.toContain('Hardeners contain isocyanates')
    // clear goes over every candy: whether it is catalysed, the formula does not say
    expect(without).toContain('If this clear or primer takes a hardener')
    expect(without).toContain('Solvent vapour')
    expect(await said(job({ formula: null }), null, 'no formula')).not.toContain('Solvent vapour')
  })

  it('shows reference and check panel touching, in their colours', async () => {
    const pages = await layOutJobSheet(job(), facts(), a4)
    const swatches = pages[0]!.marks.filter((mark) => mark.kind === 'paint')
    expect(swatches).toHaveLength(2)
    const [left, right] = swatches as [(typeof swatches)[0], (typeof swatches)[0]]
    expect(left.xMm + left.widthMm).toBeCloseTo(right.xMm, 9)
    const [raster] = await drawn(pages, 'swatches')
    const middle = ({ xMm, yMm, widthMm, heightMm }: typeof left) => {
      const { data, width, dotsPerMm } = raster!
      const at =
        4 * (Math.round((yMm + heightMm / 2) * dotsPerMm) * width + Math.round((xMm + widthMm / 2) * dotsPerMm))
      // whichever order the channels are in
      return data.slice(at, at + 3).toSorted((a, b) => a - b)
    }
    expect(middle(left)).toEqual(new Uint8Array([0x2f, 0x4a, 0x8a]))
    expect(middle(right)).toEqual(new Uint8Array([0x2e, 0x47, 0x86]))
  })

  it('is put right for a printer that is off, and still within the paper', async () => {
    const placement = placementOf({ scaleXPercent: 98.8, scaleYPercent: 100.9, offsetXMm: 1.2, offsetYMm: -0.7 })
    const file = join(folder, 'placed.pdf')
    await drawPagesPdf(await layOutJobSheet(job(), facts(), a4), file, { title: 'placed', placement })
    const [raster] = await rasterise(file, 200)
    // what is drawn at x comes out at 0.988 x + 1.2: the margins on that printer's paper are those laid out
    const ink = darkExtent(raster!, 0, 0, 210, 297)
    expect(0.988 * ink.left + 1.2).toBeGreaterThan(marginMm - toleranceMm)
    expect(0.988 * (ink.left + ink.width) + 1.2).toBeCloseTo(210 - marginMm, 0)
    expect(await readQr(raster!)).toEqual(['J-0042'])
  })

  it('of a job that has just begun leaves room for what nobody knows yet', async () => {
    const begun = job({
      customer: '',
      dueOn: null,
      referenceId: null,
      formula: null,
      parts: [],
      checks: [],
      decisions: [],
      notes: '',
    })
    const pages = await layOutJobSheet(begun, facts({ referenceName: null, swatches: [], outcomes: [], cups: [] }), a4)
    expect(pages).toHaveLength(1)
    const said = saidOn(await drawn(pages, 'begun', 100))
    expect(said).toContain('not chosen yet')
    expect(said).toContain('No parts yet.')
    expect(said).not.toContain('Customer')
  })
})
