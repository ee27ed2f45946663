/** Mix cards through the service: on the paper of the settings, put right for its printer, read back from their pixels. */
import { expect, test } from 'vitest'
import { papers } from '../../shared-core/label/sheet/paper.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { type Calibration, usualPrinting } from '../../shared-core/records/sheet.ts'
import { darkExtent, rasterise, readQr } from '../rack/raster.ts'
import type { BenchService } from './bench-service.ts'
import { cupOf, emptyShop, fourToOne, jobDraft, shelfOf } from './bench-shop.ts'

const off: Calibration = { scaleXPercent: 98.8, scaleYPercent: 101.2, offsetXMm: -1.4, offsetYMm: 0.9 }

async function cardsOf(service: BenchService, cupIds: string[]) {
  const { documentId, ...said } = await service.call('cups.drawCard', { cupIds })
  const { path } = await service.call('documents.locate', { documentId })
  const rasters = await rasterise(path, 300)
  return { ...said, rasters, texts: rasters.map(({ text }) => text.replaceAll(/\s+/gu, ' ')) }
}

test('cups of a job have a card each, in the settings’ words, paper and correction', async () => {
  const service = await emptyShop()
  await shelfOf(service)
  const { size } = papers.find(({ name }) => name === 'Letter')!
  const calibration = { paper: off, labels: usualPrinting.calibration.labels }
  await service.call('settings.save', {
    settings: {
      ...defaultSettings,
      units: 'metric',
      decimal: 'comma',
      printing: { ...usualPrinting, paper: size, calibration },
    },
  })
  const { job } = await service.call('customerJobs.save', { draft: jobDraft() })
  const { cups } = await service.call('cups.start', {
    ...cupOf(fourToOne, 210, 'mass'),
    count: 2,
    customerJobId: job.id,
  })
  const { pageCount, fileName, rasters, texts } = await cardsOf(
    service,
    cups.map(({ id }) => id),
  )
  expect([pageCount, rasters.length, fileName]).toEqual([2, 2, 'mix cards.pdf'])
  expect(await Promise.all(rasters.map(readQr))).toEqual([['C-0001'], ['C-0002']])
  for (const text of texts) {
    expect(text).toContain(job.code)
    // by hand: 24 mL × 0.95, 6 mL × 0.9, 180 mL × 0.96
    for (const row of ['clear carrier 172,8 g 172,8 g', 'copper 22,8 g 195,6 g', 'crimson 5,4 g 201,0 g'])
      expect(text).toContain(row)
  }
  // the printer puts what lies at x to scale · x + offset: there is the symbol, 14 mm from the edges and 18 mm a side
  const left = size.widthMm - 14 - 18
  const symbol = darkExtent(rasters[0]!, left + 1, 8, size.widthMm, 36)
  const onPaper = (mm: number, scale: number, offset: number) => (scale / 100) * mm + offset
  expect(Math.abs(onPaper(symbol.left, off.scaleXPercent, off.offsetXMm) - left)).toBeLessThanOrEqual(0.2)
  expect(Math.abs(onPaper(symbol.top, off.scaleYPercent, off.offsetYMm) - 14)).toBeLessThanOrEqual(0.2)
})

test('a card can be drawn again when the shelf has forgotten a density, and names what data sheets name', async () => {
  const service = await emptyShop()
  await service.call('settings.save', { settings: { ...defaultSettings, units: 'metric', decimal: 'point' } })
  const { copper, carrier } = await shelfOf(service)
  const { cups } = await service.call('cups.start', cupOf(fourToOne, 210, 'mass'))
  const ids = cups.map(({ id }) => id)
  const before = await cardsOf(service, ids)
  expect(before.fileName).toBe('mix card C-0001.pdf')
  expect(before.texts[0]).not.toContain('isocyanates')
  for (const [material, more] of [
    [copper, { densityKgPerL: null }],
    [carrier, { isocyanate: true }],
  ] as const) {
    const { onHand: _hand, dataSheetFile: _file, replacedById: _by, ...said } = material
    await service.call('shelf.save', { material: { ...said, ...more } })
  }
  const after = await cardsOf(service, ids)
  for (const text of [before.texts[0], after.texts[0]]) expect(text).toContain('copper 22.8 g 195.6 g')
  expect(after.texts[0]).toContain('names isocyanates')
  expect(await service.refusal('cups.drawCard', { cupIds: ['nowhere'] })).toMatchObject({ code: 'cup/absent' })
})
