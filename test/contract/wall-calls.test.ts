import { join } from 'node:path'
import { expect, test } from 'vitest'
import { noFilter } from '../../shared-core/records/panel.ts'
import { draft, dump } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'

/** The wall through dispatch: what a page asks, in the order in which it asks. */

async function wall(count = 5) {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Wall' })
  const ids: string[] = []
  for (let i = 0; i < count; i++) {
    const { panel } = await service.call('panels.save', {
      draft: draft({ title: `Dusk ${i}`, tags: [], sprayedOn: `2031-0${1 + (i % 2)}-01` }),
    })
    ids.push(panel.id)
  }
  return { ...service, ids, rack: service.context.rack() }
}
const everything = { filter: noFilter, sort: 'code', group: 'none' } as const

test('the order of all, and what those in sight show', async () => {
  const { call, refusal, ids } = await wall()
  const { groups, ...order } = await call('panels.order', { ...everything, group: 'date' })
  const expected = [ids[1], ids[3], ids[0], ids[2], ids[4]]
  expect(order).toEqual({ ids: expected, total: 5, corrected: [] })
  expect(groups).toEqual([
    { name: 'February 2031', from: 0, count: 2 },
    { name: 'January 2031', from: 2, count: 3 },
  ])
  const asked = [ids[4] ?? '', 'none', ids[0] ?? '']
  const { panels } = await call('panels.summaries', { ids: asked })
  expect(panels.map(({ title }) => title)).toEqual(['Dusk 4', 'Dusk 0'])
  const { panel, summary } = await call('panels.get', { key: ids[4] ?? '' })
  expect(panels[0]).toEqual(summary)
  expect(panel.title).toBe('Dusk 4')
  expect(await call('panels.summaries', { ids: [] })).toEqual({ panels: [] })
  expect(await refusal('panels.summaries', { ids: Array(201).fill('x') })).toMatchObject({ code: 'service/bad-input' })
})

test('an order with a word that no panel has says what was taken; a list says so only then', async () => {
  const { call } = await wall(2)
  const filter = { ...noFilter, words: 'dsuk' }
  const corrected = [{ typed: 'dsuk', taken: ['dusk'] }]
  expect(await call('panels.order', { ...everything, filter })).toMatchObject({ total: 2, corrected })
  expect(await call('panels.list', { filter, sort: 'code' })).toMatchObject({ corrected })
  expect(await call('panels.list', { filter: noFilter, sort: 'code' })).not.toHaveProperty('corrected')
  const { panels, total } = await call('panels.list', { filter: noFilter, sort: 'code', limit: 1 })
  expect([panels.length, total]).toEqual([1, 2])
  expect(await call('panels.order', { ...everything, filter: { ...noFilter, words: 'qqqqqq' } })).toEqual({
    ids: [],
    groups: [],
    total: 2,
    corrected: [],
  })
})

test.each([
  [{ addTags: ['boat'] }, 'tag 5 panels'],
  [{ removeTags: ['boat'] }, null],
  [{ ground: 'lilac' }, 'set ground of 5 panels'],
  [{ retire: true }, 'retire 5 panels'],
  [{ retire: false }, null],
  [{ trash: true as const }, 'remove 5 panels'],
  [{ addTags: ['boat'], retire: true }, 'change 5 panels'],
])('%o is one step to undo', async (change, label) => {
  const { call, ids, rack } = await wall()
  const before = await dump(rack)
  const { rack: described } = await call('rack.describe', {})
  const { changed, skipped } = await call('panels.changeMany', { panelIds: ids, change })
  expect({ changed, skipped }).toEqual({ changed: label === null ? 0 : 5, skipped: [] })
  const { rack: after } = await call('rack.describe', {})
  expect(after?.undo).toBe(label ?? described?.undo)
  if (label === null) return
  expect(await call('history.undo', {})).toEqual({ label })
  expect(await dump(rack)).toBe(before)
})

test('one panel of many is named in the history, and stands in its own', async () => {
  const { call, ids } = await wall(2)
  const change = { addTags: ['boat', 'Boat'] }
  const panelIds = [ids[0] ?? '', 'none']
  const { changed, skipped } = await call('panels.changeMany', { panelIds, change })
  expect(changed).toBe(1)
  expect(skipped).toEqual([{ why: 'It is not in the rack (any more).', panelIds: ['none'] }])
  const { entries } = await call('history.list', { panelId: ids[0] ?? '', limit: 5 })
  expect(entries[0]?.label).toBe('tag panel P-0001')
  expect((await call('panels.get', { key: ids[0] ?? '' })).panel.tags).toEqual(['boat'])
})

test('a change of nothing is refused', async () => {
  const { refusal, ids } = await wall(1)
  for (const change of [{}, { addTags: [] }, { trash: false }, { ground: ' ' }])
    expect(await refusal('panels.changeMany', { panelIds: ids, change })).toMatchObject({ code: 'service/bad-input' })
})

test('searches are kept by name, replaced, renamed, removed, each with its undo', async () => {
  const { call, refusal } = await wall(1)
  const filter = { ...noFilter, tags: ['boat'] }
  const search = { name: 'Boats', filter, sort: 'hue', group: 'candy' } as const
  const { search: kept } = await call('searches.save', search)
  expect(kept).toEqual({ id: kept.id, ...search })
  await call('searches.save', { ...search, name: 'Animals' })
  const names = async () => (await call('searches.list', {})).searches.map(({ name }) => name)
  expect(await names()).toEqual(['Animals', 'Boats'])
  expect(await refusal('searches.save', { ...search, name: ' boats ' })).toMatchObject({
    code: 'search/name-taken',
    message: expect.stringContaining('“Boats”'),
  })
  const replaced = await call('searches.save', { ...search, name: 'boats', sort: 'date', replace: true })
  expect(replaced.search).toEqual({ ...kept, name: 'boats', sort: 'date' })
  expect(await refusal('searches.rename', { id: kept.id, name: 'animals' })).toMatchObject({
    code: 'search/name-taken',
  })
  await call('searches.rename', { id: kept.id, name: 'BOATS' })
  expect(await names()).toEqual(['Animals', 'BOATS'])
  await call('searches.remove', { id: kept.id })
  expect(await names()).toEqual(['Animals'])
  for (const name of ['searches.remove', 'searches.rename'])
    expect(await refusal(name, { id: kept.id, name: 'x' })).toMatchObject({ code: 'search/absent' })
  const labels: string[] = []
  for (let i = 0; i < 5; i++) labels.push((await call('history.undo', {})).label)
  expect(labels).toEqual([
    'remove search “BOATS”',
    'rename search to “BOATS”',
    'save search “boats”',
    'save search “Animals”',
    'save search “Boats”',
  ])
  expect(await names()).toEqual([])
})
