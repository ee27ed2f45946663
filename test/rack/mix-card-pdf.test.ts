/**
 * Mix cards as pixels at 300 dpi (0.085 mm a dot) and as text. Where things lie is reckoned here from the paper: margins of
 * 14 mm, a symbol of 18 mm, columns of 56, 38, 32, 4, 25 and 27 mm with 2 mm between them. Amounts are reckoned by hand.
 */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { layOutMixCards } from '../../electron/print/mix-card.ts'
import { papers } from '../../shared-core/label/sheet/paper.ts'
import { placementOf, unplaced } from '../../shared-core/label/sheet/placement.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import type { Calibration, PaperSize, Placement, SheetPage } from '../../shared-core/records/sheet.ts'
import { byScale, cupOf, dyes, facts, flake, fourToOne, hardener, reducer, slow, twelve } from '../unit/bench-cups.ts'
import { faultsOf, textOf } from '../unit/page-ink.ts'
import { darkExtent, type Raster, rasterise, readQr } from './raster.ts'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'mix-card-'))
})
afterAll(() => rm(folder, { recursive: true }))

const toleranceMm = 0.2
const marginMm = 14
const symbolMm = 18
const [a4, letter] = papers.map(({ size }) => size)

async function drawn(
  cups: readonly Cup[],
  paper: PaperSize,
  more: Parameters<typeof facts>[0] = {},
  placement: Placement = unplaced,
): Promise<{ pages: SheetPage[]; rasters: Raster[]; text: string }> {
  const pages = await layOutMixCards(
    cups.map((cup) => ({ cup, facts: facts(more) })),
    paper,
  )
  const file = join(folder, `${crypto.randomUUID()}.pdf`)
  await drawPagesPdf(pages, file, { title: 'Mix card', placement })
  const rasters = await rasterise(file, 300)
  return { pages, rasters, text: rasters.map((each) => spaced(each.text)).join(' ') }
}
const spaced = (text: string): string => text.replaceAll(/\s+/gu, ' ')
const numbersIn = (text: string): string[] => (text.match(/\d+(?:[.,]\d+)?/gu) ?? []).toSorted()

/** A printer that is off: what is drawn at x comes out at scale · x + offset. */
const off: Calibration = { scaleXPercent: 99.1, scaleYPercent: 100.7, offsetXMm: 1.3, offsetYMm: -0.8 }
const printers = [
  { what: 'as drawn', placement: unplaced, onPaper: { x: (v: number) => v, y: (v: number) => v } },
  {
    what: 'put right for a printer that is off',
    placement: placementOf(off),
    onPaper: {
      x: (v: number) => (off.scaleXPercent / 100) * v + off.offsetXMm,
      y: (v: number) => (off.scaleYPercent / 100) * v + off.offsetYMm,
    },
  },
]
const isNear = (is: number, should: number): void => expect(Math.abs(is - should)).toBeLessThanOrEqual(toleranceMm)

describe.each(papers.flatMap((paper) => printers.map((printer) => ({ ...paper, ...printer }))))(
  'a mix card on $name, $what',
  ({ size, placement, onPaper }) => {
    it('has its symbol and the fields to write in where the paper has them, within 0.2 mm', async () => {
      const { pages, rasters } = await drawn([cupOf(fourToOne, 210)], size, {}, placement)
      expect(rasters).toHaveLength(1)
      const [raster] = rasters
      isNear(raster!.widthMm, size.widthMm)
      isNear(raster!.heightMm, size.heightMm)
      expect(await readQr(raster!)).toEqual(['C-0012'])
      const left = size.widthMm - marginMm - symbolMm
      const symbol = darkExtent(raster!, left - 3, marginMm - 3, size.widthMm, marginMm + symbolMm + 3)
      isNear(onPaper.x(symbol.left), left)
      isNear(onPaper.y(symbol.top), marginMm)
      isNear(onPaper.x(symbol.left + symbol.width), left + symbolMm)
      isNear(onPaper.y(symbol.top + symbol.height), marginMm + symbolMm)

      // one of each for three ingredients; how far down they are the words above decide
      const fields = [
        { from: marginMm + 130, widthMm: 23 },
        { from: marginMm + 155, widthMm: 25 },
      ]
      for (const { from, widthMm } of fields) {
        const lines = pages[0]!.marks.flatMap((mark) =>
          mark.kind === 'box' && Math.abs(mark.xMm - from) < 0.01 && mark.heightMm < 1 ? [mark] : [],
        )
        expect(lines).toHaveLength(3)
        for (const { yMm, heightMm } of lines) {
          const [x, y] = [placedX(placement, from), placedY(placement, yMm)]
          const line = darkExtent(raster!, x - 0.9, y - 0.9, x + widthMm + 0.9, y + 1.1)
          isNear(onPaper.x(line.left), from)
          isNear(onPaper.x(line.left + line.width), from + widthMm)
          isNear(onPaper.y(line.top), yMm)
          isNear(onPaper.y(line.top + line.height), yMm + heightMm)
        }
      }
    })
  },
)
/** Where the file has what is to come out there. */
const placedX = ({ scaleX, moveXMm }: Placement, mm: number): number => scaleX * mm + moveXMm
const placedY = ({ scaleY, moveYMm }: Placement, mm: number): number => scaleY * mm + moveYMm

describe('the amounts on a mix card', () => {
  it('of 210 mL of 4 : 1 in 6 : 1 are 24 + 6 + 180 mL (common practice, no source)', async () => {
    const { text } = await drawn([cupOf(fourToOne, 210)], a4!)
    expect(text).toContain('copper 24 mL 24 mL')
    expect(text).toContain('crimson 6 mL 30 mL')
    expect(text).toContain('clear carrier 180 mL 210 mL')
    expect(text).toContain('Ready to spray 210 mL')
  })

  /** 1219 mL: 106 parts of 10 mL, and 15 % of these 1060 mL on top. 30 g of flake to the litre: 36.57 g. */
  const amountsMl = [10, 20, 30, 40, 50, 60, 70, 80, 600, 100, 159]
  const readingsMl = [10, 30, 60, 100, 150, 210, 280, 360, 960, 1060, 1219]
  const names = [...dyes, slow, hardener, reducer].map(({ name }) => name)

  it('are all there for twelve ingredients with long names, flake after the strainer, and nothing is clipped', async () => {
    const cup = cupOf(twelve, 1219, { tipMm: 1.2, cupMl: 1000 })
    const about = 'J-0007 Tank, mudguards and side covers for Heron; panel P-0012 Teal over coarse bright silver'
    const { pages, rasters, text } = await drawn([cup], a4!, { about })
    for (const [at, name] of names.entries()) {
      expect(text).toContain(`${name} ${amountsMl[at]} mL ${readingsMl[at]} mL`)
    }
    expect(text).toContain(`${flake.name} 36.6 g weighed apart`)
    const order = [...names, 'Strain through 125 µm', `${flake.name} 36.6 g`, 'Let it stand 10 to 15 minutes', '90 min']
    const places = order.map((words) => text.lastIndexOf(words))
    expect(places).toEqual(places.toSorted((a, b) => a - b))
    expect(places[0]).toBeGreaterThan(0)
    for (const words of [
      about,
      'more than a cup of 1000 mL takes',
      '15 % reducer: 10 % is the usual limit with a 1.2 mm tip',
      'A 1.2 mm tip is small for 200 µm flake',
      'isocyanates',
      'Ordinary electronics are ignition sources',
      'Rags with solvent',
      'Fine powder hangs in the air',
      'under pressure',
      'until the booth has purged',
      'local air and fire rules',
    ])
      expect(text).toContain(words)
    clipped(pages, rasters)
    expect(await Promise.all(rasters.map(readQr))).toEqual(rasters.map(() => ['C-0012']))
    expect(text).toContain(`page ${rasters.length} of ${rasters.length}`)
  })

  it('weighed for who works in ounces are grams with ounces beside them, on Letter', async () => {
    const cup = cupOf(twelve, 1219, { measure: byScale })
    const { pages, rasters, text } = await drawn([cup], letter!, { wording: { units: 'us', decimal: 'point' } })
    // 0.9 kg/L throughout, 28.349523125 g to the ounce (NIST Handbook 44)
    let grams = 0
    for (const [at, name] of names.entries()) {
      const mass = 0.9 * amountsMl[at]!
      grams += mass
      const ounces = Number((mass / 28.349523125).toFixed(2))
      expect(text).toContain(`${name} ${mass.toFixed(1)} g (${ounces} oz) ${grams.toFixed(1)} g`)
    }
    // 0.9 × 1219 g of the rest
    expect(text).toContain(`${flake.name} 36.6 g (1.29 oz) 1133.7 g`)
    expect(text).toContain('= 1219 mL')
    expect(text).toContain('Densities are given for 68 °F')
    clipped(pages, rasters)
  })

  it('have a decimal comma where the painter writes one, and what was poured already', async () => {
    const cup = cupOf(fourToOne, 210, { measure: { by: 'volume', step: 0.5, dropMl: null } })
    const [first, ...others] = cup.lines
    const poured = { ...cup, lines: [{ ...first!, poured: 24, batch: 'B-7' }, ...others] }
    const { text } = await drawn([poured], a4!, { wording: { units: 'metric', decimal: 'comma' } })
    expect(text).toContain('copper 24,0 mL it is in 24,0 mL B-7')
    expect(text).toContain('crimson 6,0 mL 30,0 mL')
    expect(text).not.toMatch(/\d\.\d/u)
  })

  it('after an over-pour are those that bring the ratios back', async () => {
    const cup = cupOf(fourToOne, 210)
    const [first, ...others] = cup.lines
    const { text } = await drawn([{ ...cup, lines: [{ ...first!, poured: 32 }, ...others] }], a4!)
    // 32 : 8 : 240, a third more of everything
    expect(text).toContain('crimson 8 mL 40 mL')
    expect(text).toContain('clear carrier 240 mL 280 mL')
    expect(text).toContain('the cup grows by 33.3 % to 280 mL')
  })
})

it('several cups have a card each, beginning on its own page', async () => {
  const cups = ['C-0003', 'C-0004', 'C-0005'].map((id, at) => cupOf(at === 1 ? twelve : fourToOne, 700, { id }))
  const { rasters } = await drawn(cups, a4!)
  const codes = (await Promise.all(rasters.map(readQr))).flat()
  expect([...new Set(codes)]).toEqual(['C-0003', 'C-0004', 'C-0005'])
  expect(codes).toHaveLength(rasters.length)
})

/** Every glyph lies on its page and on nothing else, all ink lies within the margins, and every number is there as text. */
function clipped(pages: readonly SheetPage[], rasters: readonly Raster[]): void {
  for (const [at, { marks, size }] of pages.entries()) {
    expect(faultsOf(marks, size)).toEqual([])
    const ink = darkExtent(rasters[at]!, 0, 0, size.widthMm, size.heightMm)
    expect(ink.left).toBeGreaterThanOrEqual(marginMm - toleranceMm)
    expect(ink.left + ink.width).toBeLessThanOrEqual(size.widthMm - marginMm + toleranceMm)
    expect(ink.top).toBeGreaterThanOrEqual(marginMm - toleranceMm)
    expect(ink.top + ink.height).toBeLessThanOrEqual(size.heightMm - marginMm + toleranceMm)
    expect(numbersIn(spaced(rasters[at]!.text))).toEqual(numbersIn(textOf(marks)))
  }
}
