/** Texts and figures that no painter types, through the real service: kept harmlessly or refused, never `unexpected`. */
import { join } from 'node:path'
import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Quad } from '../../shared-core/records/area.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { type Printable, usualPrinting } from '../../shared-core/records/sheet.ts'
import { draft, photoFile } from '../rack/fresh.ts'
import { layer } from '../rack/layers-typed.ts'
import { benchService } from './bench-service.ts'

const opened = async () => {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Texts' })
  return service
}

/** Zero signs, halves of a pair, signs that turn the order of letters, endless accents: Unicode 15, chapters 2, 3.8 and 23. */
const odd = fc.constantFrom(
  'a\0b',
  '\0',
  'x\ud800',
  '\udc00y',
  '\u202egnp.exe',
  '\u2066\u2067\u2068\u2069',
  '\u200b\u200d\ufeff',
  `e${'\u0301'.repeat(300)}`,
  '\u0007\u001b[31m',
  '\r\n\t',
  '👩‍👩‍👧‍👦'.repeat(20),
  'ﷺ'.repeat(60),
  'שלום עולם',
  '"; drop table panel; --',
  '"a" OR NEAR(',
  '* ^ : { }',
)
const texts = fc
  .array(fc.oneof(odd, fc.string({ unit: 'binary', maxLength: 40 })), { minLength: 1, maxLength: 4 })
  .map((parts) => parts.join(' '))

const { grid, labelSize, cardSize, paper, photoPanel, shows } = usualPrinting
const wording = { units: 'metric', decimal: 'point' } as const
const printables = (panelIds: string[]): Printable[] => [
  { kind: 'labels', panelIds, stock: { on: 'roll', size: labelSize }, copies: 1, shows: shows.label, wording },
  { kind: 'labels', panelIds, stock: { on: 'grid', grid, start: 1 }, copies: 2, shows: shows.card, wording },
  { kind: 'cards', panelIds, size: cardSize, shows: shows.card, wording },
  { kind: 'photo-sheets', panelIds, paper, panel: photoPanel, series: 7 },
]

describe('typed texts', () => {
  test('are looked for without harm, whatever they hold', { timeout: 60_000 }, async () => {
    const service = await opened()
    await service.call('panels.save', { draft: draft() })
    await fc.assert(
      fc.asyncProperty(texts, async (words) => {
        const { total } = await service.call('panels.order', {
          filter: { ...noFilter, words: words.slice(0, 200) },
          sort: 'code',
          group: 'none',
        })
        expect(total).toBeGreaterThanOrEqual(0)
      }),
      { numRuns: 60 },
    )
  })

  test('are kept as they come back, without zero signs and halves of a pair', { timeout: 60_000 }, async () => {
    const service = await opened()
    await fc.assert(
      fc.asyncProperty(texts, async (said) => {
        const title = `t ${said.slice(0, 100)}`
        const wanted = draft({ title, notes: said, tags: [], substrate: said.slice(0, 60) })
        const { panel } = await service.call('panels.save', { draft: wanted })
        const again = (await service.call('panels.get', { key: panel.id })).panel
        expect(again).toEqual(panel)
        expect(again.title).toBe(title.replaceAll('\0', '\ufffd').toWellFormed().trim())
        expect(again.notes).toBe(said.replaceAll('\0', '\ufffd').toWellFormed())
      }),
      { numRuns: 40 },
    )
  })

  test('are printed on labels, cards and sheets', { timeout: 60_000 }, async () => {
    const service = await opened()
    await fc.assert(
      fc.asyncProperty(texts, texts, async (first, second) => {
        const said = (text: string, most: number) => `x${text}`.slice(0, most)
        const { panel } = await service.call('panels.save', {
          draft: draft({
            title: said(first, 200),
            notes: said(second, 2000),
            substrate: said(second, 100),
            sprayedBy: said(first, 60),
            layers: [layer('ground', said(second, 100)), layer('clear', said(first, 100))],
          }),
        })
        for (const wanted of printables([panel.id])) {
          const came = await service.call('sheets.drawPdf', { wanted }).then(
            ({ pageCount }) => `pages ${pageCount}`,
            (error: { code: string }) => error.code,
          )
          expect(came).toMatch(/^(pages [1-9]|label\/too-small|sheet\/does-not-fit)/)
        }
      }),
      { numRuns: 5 },
    )
  })
})

test('a folder or file by a name that no drive takes is refused', async () => {
  const service = await benchService()
  for (const folder of [
    join(service.folder, 'a\0b'),
    join(service.folder, 'n'.repeat(300)),
    join(service.folder, 'x\ud800'),
  ]) {
    const { code } = await service.refusal('rack.open', { folder })
    expect(code).toMatch(/^rack\//)
  }
})

test('a formula without a candy is no mixture', async () => {
  const service = await opened()
  const recipe = {
    formula: {
      candies: [],
      carrierParts: 6,
      reducerPercent: 0,
      hardenerPercent: 0,
      under: null,
      over: null,
      gunSetupId: null,
      finish: 'uncleared' as const,
    },
    ground: 'bright gold',
    coats: 0,
  }
  expect((await service.refusal('cups.mixtureOf', { recipe })).code).toBe('film/unknown-candy')
})

test('marks that no photo can have are no colour, and no fault', async () => {
  const service = await opened()
  const path = await photoFile(join(service.folder, 'a.jpg'), 7)
  const { jobId } = await service.call('photos.takeIn', { files: [{ path, name: 'a.jpg' }] })
  const photoId = (await service.ended(jobId)).items[0]?.photoId ?? ''
  const quad: Quad = [
    [-1e9, 16],
    [2, 5e-324],
    [10, 0],
    [100, 0],
  ]
  const card = { quad, lab: { l: 50, a: 10, b: 10 } }
  const areas = [{ stepId: null, shape: { kind: 'quad' as const, quad } }]
  const read = await service.call('photos.read', { photoId, layout: { areas, card }, setupId: null, flatPhotoId: null })
  expect(read.results[0]?.colour).toBeNull()
  expect(read.results[0]?.refused?.code).toMatch(/^(photo|area)\//)
})
