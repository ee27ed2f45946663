import { readFile } from 'node:fs/promises'
import { PDFiumLibrary } from '@hyzyla/pdfium'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { sharesOf } from '../../shared-core/mix/quantities.ts'
import type { PlannedPanel } from '../../shared-core/records/film.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import { asDrawn, type Calibration } from '../../shared-core/records/sheet.ts'
import { draft } from '../rack/fresh.ts'
import { layer } from '../rack/layers-typed.ts'
import { darkExtent, rasterise } from '../rack/raster.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { candies, candyId, formulaOf, grounds, hangShop } from './film-rack.ts'

async function shopWith(more: (ids: string[]) => Partial<PlannedPanel> = () => ({})) {
  const service = await benchService()
  await hangShop(service)
  const ids = await Promise.all(candies.map((name) => candyId(service, name)))
  const [first = '', second = ''] = ids
  const plan: PlannedPanel = {
    ground: grounds[0]!,
    formula: formulaOf([
      [first, 4],
      [second, 1],
    ]),
    coats: [4, 0, 2],
    title: 'Between the two',
    ...more(ids),
  }
  return { service, plan }
}
const planned = async (service: BenchService, panels: PlannedPanel[]): Promise<Panel[]> => {
  const { panelIds } = await service.call('plan.addPanels', { panels })
  return Promise.all(panelIds.map(async (key) => (await service.call('panels.get', { key })).panel))
}
const kinds = (panel: Panel | undefined) =>
  panel?.layers.map(({ kind, name, coats }) => `${kind} ${name} ${coats}`.trim())

describe('plan.addPanels', () => {
  test('lays the ground as it was laid last, the formula of the plan, and a clear; one undo takes all back', async () => {
    const { service, plan } = await shopWith()
    const before = (await service.call('rack.describe', {})).rack!
    const [panel, other] = await planned(service, [plan, { ...plan, ground: grounds[1]!, coats: [1, 1] }])
    expect(panel).toMatchObject({ status: 'planned', title: 'Between the two', code: 'P-0005', sprayedOn: null })
    expect(kinds(panel)).toEqual(['undercoat light grey 1', `ground ${grounds[0]} 2`, 'candy  4', 'clear gloss 2'])
    expect(panel?.steps.map(({ coats }) => coats)).toEqual([0, 2, 4])
    expect(other?.steps.map(({ coats }) => coats)).toEqual([1])
    const mixture = panel?.layers[2]?.mixture
    if (!mixture) throw new Error('no formula')
    // common practice, no source: 4 : 1 in 6 : 1 is 4/35, 1/35 and 30/35
    expect(sharesOf(mixture).map(({ material, share }) => [material.name, share])).toEqual([
      [candies[0], expect.closeTo(4 / 35, 12)],
      [candies[1], expect.closeTo(1 / 35, 12)],
      ['thin carrier', expect.closeTo(30 / 35, 12)],
    ])
    const { rack } = await service.call('rack.describe', {})
    expect(rack).toMatchObject({ panelCount: before.panelCount + 2, undo: 'plan 2 panels' })
    await service.call('history.undo', {})
    expect((await service.call('rack.describe', {})).rack?.panelCount).toBe(before.panelCount)
    await service.call('history.redo', {})
    expect((await service.call('rack.describe', {})).rack?.panelCount).toBe(before.panelCount + 2)
    // a planned panel teaches nothing
    expect((await service.call('film.describe', {})).knows.stepCount).toBe(12)
  })

  test('reducer and hardener on top, straight, uncleared and bare: what is read back is what was predicted', async () => {
    const { service, plan } = await shopWith()
    const [first = ''] = plan.formula.candies.map(({ id }) => id)
    const on = (formula: PlannedPanel['formula'], coats: number[]) => ({ ...plan, formula, coats })
    const wishes = [
      on(formulaOf([[first, 1]], { reducerPercent: 5, hardenerPercent: 20 }), [1]),
      on(formulaOf([[first, 3]], { carrierParts: 0 }), [2]),
      on({ ...plan.formula, finish: 'uncleared' }, [1, 3]),
      on(plan.formula, [0]),
    ]
    const panels = await planned(service, wishes)
    expect(panels.map((panel) => panel.layers.map(({ kind }) => kind).join(' '))).toEqual([
      'undercoat ground candy clear',
      'undercoat ground candy clear',
      'undercoat ground candy',
      'undercoat ground clear',
    ])
    // sprayed as planned, each is found beside its own prediction
    for (const [i, panel] of panels.entries()) {
      await service.call('panels.save', { draft: { ...panel, status: 'sprayed' } })
      const { formula, coats, ground } = wishes[i]!
      for (const count of coats) {
        const { cells } = await service.call('film.predictTable', { formula, grounds: [ground], coats: [count] })
        expect(cells[0]?.sprayed.map(({ code }) => code)).toContain(panel.code)
      }
    }
  })

  test('mid coats and the gun come from the rack', async () => {
    const { service, plan } = await shopWith()
    const pearl = layer('mid-coat', 'Rime pearl', {
      coats: 1,
      mixture: {
        name: '',
        basis: 'volume',
        parts: [{ amount: 1, unit: 'parts', material: { id: null, name: 'Rime pearl', kind: 'pearl' }, mixture: null }],
      },
    })
    const gun = {
      id: null,
      name: 'Bench',
      gun: '',
      tipMm: 1.3,
      inletKpa: 110,
      capKpa: null,
      distanceMm: 150,
      overlapPercent: 75,
    }
    const { panel } = await service.call('panels.get', { key: 'P-0001' })
    const [undercoat, ground, candy, clear] = panel.layers
    const layers = [undercoat!, ground!, { ...candy!, gunSetup: gun }, pearl, clear!]
    await service.call('panels.save', { draft: draft({ layers, steps: [{ id: null, coats: 2, notes: '' }] }) })
    const over = { id: 'rime pearl', coats: 2 }
    const [made] = await planned(service, [{ ...plan, formula: { ...plan.formula, over } }])
    expect(kinds(made)?.slice(2)).toEqual(['candy  4', 'mid-coat Rime pearl 2', 'clear gloss 2'])
    expect(made?.layers[3]?.mixture?.parts).toHaveLength(1)
    expect(made?.layers[2]?.gunSetup).toMatchObject({ name: 'Bench', tipMm: 1.3 })
    const [beneath] = await planned(service, [{ ...plan, formula: { ...plan.formula, under: over } }])
    expect(kinds(beneath)?.slice(1, 4)).toEqual([`ground ${grounds[0]} 2`, 'mid-coat Rime pearl 2', 'candy  4'])
  })

  test('what the rack does not have is refused, and nothing is made', async () => {
    const { service, plan } = await shopWith()
    const count = async () => (await service.call('rack.describe', {})).rack?.panelCount
    const code = async (panel: PlannedPanel) =>
      (await service.refusal('plan.addPanels', { panels: [plan, panel] })).code
    expect(await code({ ...plan, ground: 'nowhere' })).toBe('film/unknown-ground')
    expect(await code({ ...plan, formula: formulaOf([['nobody', 1]]) })).toBe('film/unknown-candy')
    expect(await code({ ...plan, formula: { ...plan.formula, under: { id: 'no', coats: 1 } } })).toBe(
      'film/unknown-mid-coat',
    )
    expect(await code({ ...plan, formula: { ...plan.formula, gunSetupId: 'no' } })).toBe('film/unknown-gun')
    expect(await count()).toBe(4)
  })
})

describe('plan.drawSprayList', () => {
  let library: PDFiumLibrary
  beforeAll(async () => {
    library = await PDFiumLibrary.init()
  })
  afterAll(() => library.destroy())

  async function pagesOf(service: BenchService, panelIds: string[], more = {}) {
    const drawn = await service.call('plan.drawSprayList', { panelIds, cupMl: 210, ...more })
    const document = await library.loadDocument(await readFile(service.context.documents.locate(drawn.documentId).path))
    const pages = [...document.pages()].map((page) => ({
      size: page.getOriginalSize(),
      text: page.getText().replaceAll(/\s+/gu, ' '),
    }))
    document.destroy()
    expect(pages).toHaveLength(drawn.pageCount)
    return pages
  }
  const metric = { wording: { units: 'metric', decimal: 'point' } } as const

  test('says what to mix, to the millilitre, and what to lay: 210 mL are 24 + 6 + 180 (common practice, no source)', async () => {
    const { service, plan } = await shopWith()
    const [panel] = await planned(service, [plan])
    const [page] = await pagesOf(service, [panel!.id], metric)
    expect(page?.text).toContain(panel?.code)
    expect(page?.text).toContain('Between the two')
    expect(page?.text).toContain(`4 ${candies[0]} : 1 ${candies[1]}`)
    for (const amount of ['24 mL', '6 mL', '180 mL', '30 mL', '210 mL']) expect(page?.text).toContain(amount)
    for (const words of ['light grey', grounds[0]!, 'bare', '2 coats', '4 coats', 'gloss'])
      expect(page?.text).toContain(words)
    // ISO 216: 210 × 297 mm
    expect(((page?.size.originalWidth ?? 0) / 72) * 25.4).toBeCloseTo(210, 1)
    expect(((page?.size.originalHeight ?? 0) / 72) * 25.4).toBeCloseTo(297, 1)
  })

  test('every sheet carries the cautions once, and none is overfull', async () => {
    const { service, plan } = await shopWith()
    const title = 'One step further than the helmet that was brought in, and a good deal darker than the tank. '.repeat(
      2,
    )
    const coats = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 40]
    const panels = await planned(service, [plan, { ...plan, coats, title }, { ...plan, ground: grounds[1]! }])
    const ids = panels.map(({ id }) => id)
    const pages = await pagesOf(service, ids, metric)
    expect(pages.length).toBeGreaterThan(1)
    for (const { text } of pages)
      for (const words of [
        'A prediction is not a panel: spray a check panel',
        'safety data sheet',
        'Ventilate',
        'Computer and phone stay out',
        '125 µm',
        '10–15 min',
        'local rules',
      ])
        expect(text.split(words)).toHaveLength(2)
    for (const { code } of panels) expect(pages.filter(({ text }) => text.includes(code))).toHaveLength(1)
  })

  test('is put right for the printer that takes paper, as every page is', async () => {
    const { service, plan } = await shopWith()
    const [panel] = await planned(service, [plan])
    const extentOf = async (paper: Calibration) => {
      const { settings } = await service.call('settings.get', {})
      const printing = { ...settings.printing, calibration: { ...settings.printing.calibration, paper } }
      await service.call('settings.save', { settings: { ...settings, printing } })
      const drawn = await service.call('plan.drawSprayList', { panelIds: [panel!.id], cupMl: 210, ...metric })
      const [raster] = await rasterise(service.context.documents.locate(drawn.documentId).path, 150)
      const { left, top, width, height } = darkExtent(raster!, 0, 0, 210, 297)
      return { left, top, right: left + width, bottom: top + height }
    }
    const asLaidOut = await extentOf(asDrawn)
    const off: Calibration = { scaleXPercent: 98.8, scaleYPercent: 101.2, offsetXMm: -1.4, offsetYMm: 0.9 }
    const drawn = await extentOf(off)
    // what such a printer makes of it lies where it was laid out, to a dot of 0.17 mm and its half
    for (const edge of ['left', 'right'] as const)
      expect(Math.abs(drawn[edge] * 0.988 - 1.4 - asLaidOut[edge])).toBeLessThanOrEqual(0.26)
    for (const edge of ['top', 'bottom'] as const)
      expect(Math.abs(drawn[edge] * 1.012 + 0.9 - asLaidOut[edge])).toBeLessThanOrEqual(0.26)
    expect(Math.abs(drawn.left - asLaidOut.left)).toBeGreaterThan(1)
  })

  test('Letter, ounces and psi where the painter works with them; a panel that is gone is refused', async () => {
    const { service, plan } = await shopWith()
    const { settings } = await service.call('settings.get', {})
    await service.call('settings.save', { settings: { ...settings, units: 'us', decimal: 'point' } })
    const [panel] = await planned(service, [plan])
    const [page] = await pagesOf(service, [panel!.id])
    // 210 mL are 7.1 US fluid ounces of 29.5735 mL (NIST Handbook 44, appendix C)
    expect(page?.text).toContain('7.1 fl oz')
    expect((page?.size.originalWidth ?? 0) / 72).toBeCloseTo(8.5, 3)
    expect((page?.size.originalHeight ?? 0) / 72).toBeCloseTo(11, 3)
    const gone = await service.refusal('plan.drawSprayList', { panelIds: ['nobody'], cupMl: 100 })
    expect(gone.code).toBe('panel/absent')
  })
})

test('materials leave the shelf and come back, and one that is not there is refused', async () => {
  const { service } = await shopWith()
  const id = await candyId(service, candies[0]!)
  await service.call('materials.setOnShelf', { materialIds: [id], onShelf: false })
  const shelf = async () => (await service.call('materials.list', {})).materials.filter(({ onShelf }) => !onShelf)
  expect((await shelf()).map(({ name }) => name)).toEqual([candies[0]])
  expect((await service.call('rack.describe', {})).rack?.undo).toBe(`put ${candies[0]} off the shelf`)
  await service.call('history.undo', {})
  expect(await shelf()).toEqual([])
  const absent = await service.refusal('materials.setOnShelf', { materialIds: [id, 'nobody'], onShelf: false })
  expect(absent.code).toBe('material/absent')
  expect(await shelf()).toEqual([])
})
