import { expect, test } from 'vitest'
import { migrations } from '../../electron/rack/migrations/list.ts'
import { trackedTables } from '../../electron/rack/tables.ts'
import type { Failure } from '../../shared-core/contract/calls.ts'
import { hasFixture, layOutFixture } from '../rack/fixtures/lay-out.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { dumpAll } from './painter-commands.ts'

/** Racks of each released version (see `../rack/fixtures/make.ts`), read, undone and redone by this one. */

const versions = migrations.map((_, i) => i + 1).filter(hasFixture)

async function opened(version: number): Promise<BenchService> {
  const service = await benchService()
  await service.call('rack.open', { folder: layOutFixture(version) })
  return service
}

/** Whether there was anything to take back, or to do again. */
async function travels(service: BenchService, way: 'undo' | 'redo'): Promise<boolean> {
  try {
    await service.call(`history.${way}`, {})
    return true
  } catch (error) {
    if ((error as Failure).code !== 'history/nothing') throw error
    return false
  }
}

const anyPanel = { words: '', grounds: [], candies: [], tags: [], cleared: null, status: null }

for (const version of versions) {
  test(`what version ${version} kept is read through the calls`, async () => {
    const { call } = await opened(version)
    const { panels } = await call('panels.list', { filter: anyPanel, sort: 'code' })
    // the third is in the trash
    expect(panels.map(({ code, title, cleared }) => [code, title, cleared])).toEqual([
      ['P-0001', 'Damson over bright gold', true],
      ['P-0002', 'Ember, to try', true],
    ])
    const { panel, readings, photos } = await call('panels.get', { key: 'P-0001' })
    expect(panel).toMatchObject({
      sprayedBy: 'Wren',
      sprayedOn: '2031-03-04',
      notes: 'écru at the edge; “checked”\nin daylight',
    })
    expect(panel.layers[1]).toMatchObject({
      kind: 'candy',
      coats: 4,
      gunSetup: { tipMm: 1.3, inletKpa: 110 },
      booth: { temperatureC: 22.5, reducerGrade: 'slow' },
      mixture: {
        parts: [
          { amount: 6, material: { name: 'clear carrier' } },
          {
            amount: 1,
            mixture: {
              name: 'blend',
              parts: [{ amount: 4 }, { mixture: { basis: 'mass', parts: [{}, { amount: 3.5 }] } }],
            },
          },
          { amount: 10, unit: 'percent-on-top' },
          { amount: 5, unit: 'percent-of-total' },
          { amount: 2.5, unit: 'grams-per-litre', material: { name: 'red pearl', kind: 'pearl' } },
        ],
      },
    })
    // that from the photo; the typed one was removed
    expect(readings).toHaveLength(1)
    expect(readings[0]).toMatchObject({ view: 'face', ageDays: 2, photoId: photos[0]?.id })
    expect(photos.map(({ name, layout }) => [name, layout.areas.length, layout.card?.lab.l])).toEqual([
      ['panel.jpg', 1, 50],
    ])
    const { references } = await call('references.list', {})
    expect(references.map(({ name }) => name)).toEqual(['Robin’s tank, left half'])
    const { lights } = await call('lights.list', {})
    expect(lights.map(({ name }) => name)).toContain('north window')
    const { setups } = await call('setups.list', {})
    expect(setups.map(({ name }) => name)).toEqual(version >= 2 ? ['Flint 2 in the booth'] : [])
    const { materials } = await call('materials.list', {})
    const copper = materials.find(({ name }) => name === 'copper')
    const pearl = materials.find(({ name }) => name === 'red pearl')
    expect([copper?.onShelf, pearl?.onShelf]).toEqual([true, version < 3])
    // 250 mL counted, 48 poured: 4 of 10 parts of 120
    expect(copper?.onHand).toEqual(version < 4 ? null : { amount: 202, basis: 'volume' })
    const { cups } = await call('cups.list', { customerJobId: null, panelId: null })
    expect(cups.map(({ code, title }) => [code, title])).toEqual(version < 4 ? [] : [['C-0001', 'Tank']])
    const { jobs } = await call('customerJobs.list', { open: true })
    expect(jobs.map(({ code, title }) => [code, title])).toEqual(version < 4 ? [] : [['J-0001', 'Tank in copper']])
    const { searches } = await call('searches.list', {})
    expect(searches.map(({ name }) => name)).toEqual(version < 5 ? [] : ['Boats'])
    // its original is still the photo that was taken in
    const [photo] = photos
    const again = await call('photos.read', {
      photoId: photo?.id ?? '',
      layout: photo?.layout ?? { areas: [], card: null },
      setupId: null,
      flatPhotoId: null,
    })
    expect(again.results[0]?.colour?.lab.l).toBeCloseTo(readings[0]?.lab.l ?? 0, 0)
  })

  test(`everything that version ${version} did is undone and done again, and each panel stood as the history says`, async () => {
    const service = await opened(version)
    const rack = service.context.rack()
    await travels(service, 'redo')
    const last = await dumpAll(rack)
    const ids = (await rack.db.selectFrom('panel').select('id').orderBy('id').execute()).map(({ id }) => id)
    const changes = await rack.db.selectFrom('change').select(['id', 'state']).orderBy('seq', 'desc').execute()
    const said = new Map<string, unknown[]>()
    for (const { id, state } of changes) {
      if (state !== 'done') continue
      const all = ids.map((panelId) => service.call('history.panelAt', { panelId, changeId: id, keepLater: false }))
      said.set(
        id,
        (await Promise.all(all)).map(({ past }) => (past && !past.inTrash ? past.panel : null)),
      )
    }
    expect(said.size).toBeGreaterThan(10)
    for (const { id } of changes.filter(({ state }) => state === 'done')) {
      const stood = ids.map(async (key) => {
        const answer = await service.call('panels.get', { key }).catch(() => null)
        return answer?.panel ?? null
      })
      expect(await Promise.all(stood)).toEqual(said.get(id))
      expect(await travels(service, 'undo')).toBe(true)
    }
    expect(await travels(service, 'undo')).toBe(false)
    for (const table of trackedTables) {
      const rows = await rack.db.selectFrom(table).selectAll().execute()
      // the lights that a rack is made with
      expect([table, rows.length]).toEqual([table, table === 'light' ? 6 : 0])
    }
    while (await travels(service, 'redo')) continue
    expect(await dumpAll(rack)).toBe(last)
  })
}
