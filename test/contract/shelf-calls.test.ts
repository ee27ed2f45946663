import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { JobCandidate } from '../../shared-core/records/customer-job.ts'
import { draft } from '../rack/fresh.ts'
import { candyMixture } from '../rack/layers-typed.ts'
import type { BenchService } from './bench-service.ts'
import { cupOf, emptyShop, fourToOne, jobDraft, shelfOf, shelve } from './bench-shop.ts'
import { formulaOf } from './film-rack.ts'

const materials = async (service: BenchService) => (await service.call('materials.list', {})).materials
const named = async (service: BenchService, name: string) => {
  const found = (await materials(service)).find((material) => material.name === name)
  if (!found) throw new Error(`No ${name} on the shelf`)
  return found
}
const count = (
  service: BenchService,
  materialId: string,
  how: 'counted' | 'bought' | 'thrown-away',
  amount: number | null,
  basis: 'volume' | 'mass' = 'volume',
) => service.call('shelf.count', { materialId, how, batch: '', onHand: amount === null ? null : { amount, basis } })

describe('a material', () => {
  test('is added, changed, and keeps one name for each kind', async () => {
    const service = await emptyShop()
    const copper = await shelve(service, 'Copper', 'concentrate', { densityKgPerL: 0.95, potLifeMin: null })
    expect(copper).toMatchObject({ name: 'Copper', densityKgPerL: 0.95, onShelf: true, onHand: null })
    const { onHand: _onHand, dataSheetFile: _file, replacedById: _by, ...said } = copper
    const { material } = await service.call('shelf.save', {
      material: { ...said, flakeMicron: null, isocyanate: false, reorderAt: 50, openedOn: '2026-03-01' },
    })
    expect(material).toMatchObject({ id: copper.id, isocyanate: false, reorderAt: 50, openedOn: '2026-03-01' })
    const again = (name: string, kind: 'concentrate' | 'pearl') =>
      service.refusal('shelf.save', { material: { ...said, id: null, name, kind } }).catch(() => null)
    expect(await again('copper ', 'concentrate')).toMatchObject({ code: 'material/name-taken' })
    expect(await again('copper', 'pearl')).toBeNull()
    expect(await service.refusal('shelf.save', { material: { ...said, id: 'nobody', name: 'Else' } })).toMatchObject({
      code: 'material/absent',
    })
  })

  test('is not removed while a panel, a panel in the trash, a cup or a job needs it; then it is, and undo brings it back', async () => {
    const service = await emptyShop()
    const { copper } = await shelfOf(service)
    const { panel } = await service.call('panels.save', { draft: draft() })
    const refused = (materialId: string) => service.refusal('shelf.remove', { materialId })
    expect(await refused(copper.id)).toMatchObject({
      code: 'material/needed',
      message: expect.stringContaining(panel.code),
    })
    await service.call('panels.remove', { panelId: panel.id })
    expect((await refused(copper.id)).message).toContain(panel.code)

    const umber = await shelve(service, 'umber', 'concentrate', { onHand: { amount: 40, basis: 'volume' } })
    const mixture = candyMixture('umber', 'crimson')
    const { job } = await service.call('customerJobs.save', {
      draft: jobDraft({
        formula: { panelId: null, stepId: null, mixture, ground: 'gold', coats: 4, gunSetup: null },
      }),
    })
    expect((await refused(umber.id)).message).toContain(job.code)
    await service.call('history.undo', {})
    // a candidate that was considered names it in its recipe
    const recipe: JobCandidate['recipe'] = { formula: formulaOf([[umber.id, 1]]), ground: 'gold', coats: 4 }
    const considered = { id: 'one', panelId: null, stepId: null, recipe, note: '' }
    const second = (await service.call('customerJobs.save', { draft: jobDraft({ candidates: [considered] }) })).job
    expect((await refused(umber.id)).message).toContain(second.code)
    expect((await service.call('shelf.previewReplace', { materialId: umber.id })).jobs).toEqual([])
    await service.call('history.undo', {})
    const { cups } = await service.call('cups.start', cupOf(mixture, 100))
    expect((await refused(umber.id)).message).toContain(cups[0]!.code)
    await service.call('cups.throwAway', { cupId: cups[0]!.id })

    const before = await materials(service)
    await service.call('shelf.remove', { materialId: umber.id })
    expect((await materials(service)).map(({ name }) => name)).not.toContain('umber')
    await service.call('history.undo', {})
    expect(await materials(service)).toEqual(before)
    expect((await service.call('shelf.history', { materialId: umber.id })).moves).toHaveLength(1)
  })
})

describe('what is on hand', () => {
  test('is counted, bought and thrown away; nothing left takes it off the shelf', async () => {
    const service = await emptyShop()
    const { id } = await shelve(service, 'copper', 'concentrate')
    const after = async (
      ...[how, amount, basis]: [Parameters<typeof count>[2], number | null, ('volume' | 'mass')?]
    ) => {
      const { material } = await count(service, id, how, amount, basis)
      return [material.onHand?.amount ?? null, material.onHand?.basis ?? null, material.onShelf]
    }
    expect(await after('bought', 250)).toEqual([250, 'volume', true])
    expect(await after('bought', 0.1)).toEqual([250.1, 'volume', true])
    expect(await after('bought', 0.2)).toEqual([250.3, 'volume', true])
    expect(await after('thrown-away', 50.3)).toEqual([200, 'volume', true])
    expect(await after('thrown-away', 500)).toEqual([0, 'volume', false])
    expect(await after('counted', 80, 'mass')).toEqual([80, 'mass', true])
    expect(
      await service.refusal('shelf.count', {
        materialId: id,
        how: 'bought',
        batch: '',
        onHand: { amount: 10, basis: 'volume' },
      }),
    ).toMatchObject({ code: 'mix/no-density' })
    expect(await after('counted', null)).toEqual([null, null, true])
    const { moves } = await service.call('shelf.history', { materialId: id })
    expect(moves.map(({ amount, why }) => [amount, why])).toEqual([
      [80, 'counted'],
      [-500, 'thrown-away'],
      [-50.3, 'thrown-away'],
      [0.2, 'bought'],
      [0.1, 'bought'],
      [250, 'bought'],
    ])
  })

  test('bought by the other measure goes through the density', async () => {
    const service = await emptyShop()
    const { id } = await shelve(service, 'copper', 'concentrate', {
      densityKgPerL: 0.8,
      onHand: { amount: 100, basis: 'volume' },
    })
    // by hand: 40 g at 0.8 g/mL are 50 mL
    expect((await count(service, id, 'bought', 40, 'mass')).material.onHand).toEqual({ amount: 150, basis: 'volume' })
  })

  test('the mark to buy again goes with the measure, or is taken off where no density tells', async () => {
    const service = await emptyShop()
    const marked = { reorderAt: 100, onHand: { amount: 300, basis: 'volume' as const } }
    const known = await shelve(service, 'ash', 'concentrate', { densityKgPerL: 0.8, ...marked })
    const bare = await shelve(service, 'birch', 'concentrate', marked)
    // by hand: 100 mL at 0.8 g/mL are 80 g
    expect((await count(service, known.id, 'counted', 200, 'mass')).material.reorderAt).toBe(80)
    expect((await count(service, bare.id, 'counted', 200, 'mass')).material.reorderAt).toBeNull()
    await service.call('history.undo', {})
    expect(await named(service, 'birch')).toEqual(bare)
    // nothing bought and nothing thrown away says nothing of what there is
    const uncounted = await shelve(service, 'cedar', 'concentrate')
    for (const how of ['bought', 'thrown-away'] as const)
      expect((await count(service, uncounted.id, how, 0)).material).toEqual(uncounted)
  })

  test('whatever is done to the shelf, undoing all of it gives exactly the shelf before', async () => {
    const service = await emptyShop()
    const ids: string[] = []
    for (const name of ['ash', 'birch', 'cedar'])
      ids.push(
        (await shelve(service, name, 'concentrate', { densityKgPerL: 0.9, onHand: { amount: 100, basis: 'volume' } }))
          .id,
      )
    const before = await materials(service)
    const step = fc.record({
      which: fc.nat(2),
      how: fc.constantFrom(
        'counted' as const,
        'bought' as const,
        'thrown-away' as const,
        'replace' as const,
        'shelf' as const,
      ),
      amount: fc.double({ min: 0, max: 500, noNaN: true }),
      basis: fc.constantFrom('volume' as const, 'mass' as const),
    })
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 1, maxLength: 8 }), async (steps) => {
        let done = 0
        const from = (await service.call('rack.describe', {})).rack!.undo
        for (const { which, how, amount, basis } of steps) {
          const id = ids[which]!
          if (how === 'replace')
            await service.call('shelf.replace', { materialId: id, byMaterialId: ids[(which + 1) % 3]! })
          else if (how === 'shelf')
            await service.call('materials.setOnShelf', { materialIds: [id], onShelf: amount > 250 })
          else await count(service, id, how, amount, basis)
          done++
        }
        for (let at = 0; at < done && JSON.stringify(await materials(service)) !== JSON.stringify(before); at++)
          await service.call('history.undo', {})
        expect(await materials(service)).toEqual(before)
        while ((await service.call('rack.describe', {})).rack!.undo !== from) await service.call('history.undo', {})
        expect(await materials(service)).toEqual(before)
      }),
      { numRuns: 15 },
    )
  })
})

test('what can still be mixed follows from what was counted; the scarcest is named', async () => {
  const service = await emptyShop()
  const { copper } = await shelfOf(service)
  const { panel } = await service.call('panels.save', { draft: draft() })
  const [first] = (await service.call('shelf.listMixable', {})).formulas
  // by hand: 100 mL of copper are 4/35 of 875 mL; crimson would do for 3,500 mL, the carrier for 1,166.7 mL
  expect(first).toMatchObject({ panelId: panel.id, code: panel.code, limitedBy: 'copper', missing: [], notCounted: [] })
  expect(first?.volumeMl).toBeCloseTo(875, 9)
  await count(service, copper.id, 'counted', 0)
  const [none] = (await service.call('shelf.listMixable', {})).formulas
  expect(none).toMatchObject({ volumeMl: 0, limitedBy: 'copper', missing: ['copper'] })
  await count(service, copper.id, 'counted', null)
  const [unknown] = (await service.call('shelf.listMixable', {})).formulas
  expect(unknown?.notCounted).toEqual(['copper'])
  expect(unknown?.volumeMl).toBeCloseTo((1000 * 35) / 30, 6)
})

test('another takes its place in planned panels and open jobs; what was sprayed stays; one undo takes all back', async () => {
  const service = await emptyShop()
  const { copper } = await shelfOf(service)
  const ochre = await shelve(service, 'ochre', 'concentrate')
  const pearl = await shelve(service, 'frost', 'pearl')
  const sprayed = (await service.call('panels.save', { draft: draft() })).panel
  const planned = (await service.call('panels.save', { draft: draft({ status: 'planned', sprayedOn: null }) })).panel
  const formula = { panelId: null, stepId: null, mixture: fourToOne, ground: 'gold', coats: 4, gunSetup: null }
  const open = (await service.call('customerJobs.save', { draft: jobDraft({ formula }) })).job
  const closed = (await service.call('customerJobs.save', { draft: jobDraft({ formula, status: 'closed' }) })).job
  const preview = await service.call('shelf.previewReplace', { materialId: copper.id })
  expect(preview).toMatchObject({ sprayedPanelCount: 1, panels: [{ code: planned.code }], jobs: [{ code: open.code }] })
  const refused = async (byMaterialId: string) =>
    (await service.refusal('shelf.replace', { materialId: copper.id, byMaterialId })).code
  expect(await refused(copper.id)).toBe('material/same')
  expect(await refused(pearl.id)).toBe('material/other-kind')
  const before = await materials(service)
  const { replacement } = await service.call('shelf.replace', { materialId: copper.id, byMaterialId: ochre.id })
  expect(replacement).toMatchObject({ panelIds: [planned.id], customerJobIds: [open.id] })
  const candies = async () => {
    const words = (value: unknown): string[] =>
      [...JSON.stringify(value).matchAll(/"name":"(copper|ochre)"/gu)].map(([, name]) => name!)
    const panelOf = async (key: string) => words((await service.call('panels.get', { key })).panel.layers)
    const jobOf = async (key: string) => words((await service.call('customerJobs.get', { key })).job.formula)
    return [await panelOf(sprayed.id), await panelOf(planned.id), await jobOf(open.id), await jobOf(closed.id)]
  }
  expect(await candies()).toEqual([['copper'], ['ochre'], ['ochre'], ['copper']])
  expect(await named(service, 'copper')).toMatchObject({ replacedById: ochre.id, onShelf: false })
  const { replacements } = await service.call('shelf.history', { materialId: ochre.id })
  expect(replacements).toEqual([replacement])
  expect(await service.refusal('shelf.remove', { materialId: ochre.id })).toMatchObject({ code: 'material/needed' })
  await service.call('history.undo', {})
  expect(await candies()).toEqual([['copper'], ['copper'], ['copper'], ['copper']])
  expect(await materials(service)).toEqual(before)
})

describe('a data sheet', () => {
  /** First bytes: a PDF's header (ISO 32000-2), JPEG's SOI (ISO 10918-1), PNG's signature (ISO 15948). */
  const starts = {
    'sheet.pdf': Buffer.from('%PDF-1.7\n%%EOF'),
    'sheet.jpeg': Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16]),
    'sheet.png': Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
  }

  test.each(Object.entries(starts))(
    '%s is kept in the rack under its hash and opened as a copy',
    async (name, bytes) => {
      const service = await emptyShop()
      const { id } = await shelve(service, 'copper', 'concentrate')
      const path = join(service.folder, name)
      writeFileSync(path, bytes)
      const { material } = await service.call('shelf.attachDataSheet', { materialId: id, path })
      expect(material.dataSheetFile?.sha256).toMatch(/^[0-9a-f]{64}$/u)
      const kept = readdirSync(join(service.folder, 'rack', 'data-sheets'), { recursive: true }).map(String)
      expect(kept.some((file) => file.includes(material.dataSheetFile!.sha256))).toBe(true)
      const { documentId } = await service.call('shelf.openDataSheet', { materialId: id })
      const located = service.context.documents.locate(documentId)
      expect(readFileSync(located.path)).toEqual(bytes)
      expect(located.path).not.toContain('data-sheets')
      await service.call('shelf.detachDataSheet', { materialId: id })
      expect(await service.refusal('shelf.openDataSheet', { materialId: id })).toMatchObject({
        code: 'file/unreadable',
      })
      await service.call('history.undo', {})
      expect((await named(service, 'copper')).dataSheetFile).toEqual(material.dataSheetFile)
    },
  )

  test('is refused when it is something else, or not there', async () => {
    const service = await emptyShop()
    const { id } = await shelve(service, 'copper', 'concentrate')
    const path = join(service.folder, 'page.pdf')
    writeFileSync(path, '<html><script>alert(1)</script></html>')
    const refused = async (from: string) =>
      (await service.refusal('shelf.attachDataSheet', { materialId: id, path: from })).code
    expect(await refused(path)).toBe('file/other-kind')
    expect(await refused(join(service.folder, 'nothing.pdf'))).toBe('file/unreadable')
    expect(await refused(service.folder)).toBe('file/unreadable')
    expect((await named(service, 'copper')).dataSheetFile).toBeNull()
  })
})
