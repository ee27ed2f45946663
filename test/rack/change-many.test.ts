import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { listHistory } from '../../electron/rack/queries/history.ts'
import { readPanels } from '../../electron/rack/queries/panel-read.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { changePanels } from '../../electron/rack/queries/wall/change-many.ts'
import { orderPanels } from '../../electron/rack/queries/wall/order.ts'
import { noFilter, type Panel } from '../../shared-core/records/panel.ts'
import type { PanelChange } from '../../shared-core/records/wall.ts'
import { draft, dump, freshRack } from './fresh.ts'
import { layer } from './layers-typed.ts'
import { type Sown, sow, tags } from './random-panels.ts'

const sown: fc.Arbitrary<Sown> = fc.record({
  code: fc.nat(40),
  ground: fc.nat(10),
  candy: fc.nat(10),
  day: fc.nat(3),
  lab: fc.option(fc.record({ l: fc.nat(100), a: fc.nat(60), b: fc.nat(60) })),
  status: fc.nat(5),
  tags: fc.nat(15),
})
const someTags = fc.option(fc.subarray([...tags, 'BOAT', 'new'], { minLength: 1 }), { nil: undefined })
const change: fc.Arbitrary<PanelChange> = fc
  .record({
    addTags: someTags,
    removeTags: someTags,
    ground: fc.option(fc.constantFrom('bright gold', 'lilac'), { nil: undefined }),
    retire: fc.option(fc.boolean(), { nil: undefined }),
    trash: fc.option(fc.constant(true as const), { nil: undefined, freq: 9 }),
  })
  .filter((each) => Object.values(each).some((value) => value !== undefined))

const changeMany = (rack: Rack, ids: readonly string[], wanted: PanelChange) =>
  rack.change({ label: 'many' }, (changing) => changePanels(changing, ids, wanted))

/** The same done to one panel, by hand. */
function afterwards(panel: Panel, wanted: PanelChange, isRead: boolean): Panel {
  const is = (name: string) => (other: string) => other.toLowerCase() === name.toLowerCase()
  let own = panel.tags.filter((tag) => !wanted.removeTags?.some(is(tag)))
  for (const tag of wanted.addTags ?? []) if (!own.some(is(tag))) own = [...own, tag]
  const grounds = panel.layers.filter(({ kind }) => kind === 'ground')
  const layers = panel.layers.map((each) =>
    wanted.ground !== undefined && grounds.length === 1 && each === grounds[0]
      ? { ...each, name: wanted.ground }
      : each,
  )
  const used = panel.sprayedOn !== null || isRead ? 'sprayed' : 'planned'
  const status = wanted.retire ? 'retired' : wanted.retire === false && panel.status === 'retired' ? used : panel.status
  return { ...panel, tags: own, layers, status }
}

test('many are changed as each would be by hand, with one undo that leaves nothing behind', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(sown, { minLength: 1, maxLength: 15 }),
      fc.array(change, { minLength: 1, maxLength: 4 }),
      async (panels, changes) => {
        const rack = await freshRack()
        const all = await sow(rack, panels)
        const isRead = new Map(all.map((id, i) => [id, panels[i]?.lab !== null]))
        for (const wanted of changes) {
          const live = (await orderPanels(rack.db, noFilter, 'code', 'none')).ids
          const chosen = live.filter((_, i) => i % 3 < 2)
          const before = await dump(rack)
          const panelsBefore = await readPanels(rack.db, live)
          const steps = (await listHistory(rack.db, { limit: 500 })).entries.length
          const { changed } = await changeMany(rack, chosen, wanted)
          const left = (await orderPanels(rack.db, noFilter, 'code', 'none')).ids
          expect(left.toSorted()).toEqual(live.filter((id) => !wanted.trash || !chosen.includes(id)).toSorted())
          const expected = panelsBefore.map((panel) =>
            chosen.includes(panel.id) ? afterwards(panel, wanted, isRead.get(panel.id) ?? false) : panel,
          )
          expect(await readPanels(rack.db, left)).toEqual(left.map((id) => expected.find((panel) => panel.id === id)))
          const differ = expected.filter(
            (panel, i) =>
              (wanted.trash && chosen.includes(panel.id)) || JSON.stringify(panel) !== JSON.stringify(panelsBefore[i]),
          )
          // a tag taken off and put on again is another one: it stands behind the others
          expect(changed.length).toBeGreaterThanOrEqual(differ.length)
          for (const { id } of differ) expect(changed.map((each) => each.id)).toContain(id)
          const after = await dump(rack)
          expect((await listHistory(rack.db, { limit: 500 })).entries.length - steps).toBe(changed.length > 0 ? 1 : 0)
          expect(after === before).toBe(changed.length === 0)
          if (changed.length === 0) continue
          await rack.undo()
          expect(await dump(rack)).toBe(before)
          await rack.redo()
          expect(await dump(rack)).toBe(after)
        }
      },
    ),
    { numRuns: 12 },
  )
}, 60_000)

test('what cannot be changed is said, panel by panel', async () => {
  const rack = await freshRack()
  const add = (more: Partial<Parameters<typeof draft>[0]>) =>
    rack.change({ label: 'add' }, (changing) => savePanel(changing, draft(more)))
  const plain = await add({ tags: [] })
  const bare = await add({ layers: [layer('candy', '')] })
  const twice = await add({ layers: [layer('ground', 'black'), layer('ground', 'silver')] })
  const full = await add({ tags: Array.from({ length: 60 }, (_, i) => `tag ${i}`) })
  const gone = await add({})
  await changeMany(rack, [gone], { trash: true })
  const { changed, skipped } = await changeMany(rack, [plain, bare, twice, full, gone, 'none', plain], {
    addTags: ['keep'],
    ground: 'lilac',
  })
  expect(changed.map(({ id }) => id)).toEqual([plain, bare, twice, full])
  expect(skipped.map(({ why, panelIds }) => [why.split(':')[0], panelIds])).toEqual([
    ['It is not in the rack (any more).', [gone, 'none']],
    ['It would have more than 60 tags.', [full]],
    ['Its build has no ground', [bare]],
    ['Its build has several grounds', [twice]],
  ])
  const [panel] = await readPanels(rack.db, [full])
  expect(panel?.tags).toHaveLength(60)
  expect(panel?.layers[0]?.name).toBe('lilac')
})

test('what is changed already is not changed again, and leaves no step to undo', async () => {
  const rack = await freshRack()
  const [id = ''] = await sow(rack, [{ code: 1, ground: 2, candy: 1, day: 1, lab: null, status: 2, tags: 1 }])
  const steps = (await listHistory(rack.db, { limit: 500 })).entries.length
  const wanted = { addTags: ['boat'], removeTags: ['tank'], ground: 'bright gold', retire: true }
  expect(await changeMany(rack, [id], wanted)).toEqual({ changed: [], skipped: [] })
  expect((await listHistory(rack.db, { limit: 500 })).entries).toHaveLength(steps)
})
