import { v7 } from 'uuid'
import { expect, test } from 'vitest'
import type { Wish } from '../../../electron/rack/archive/merge/merge.ts'
import type { Rack } from '../../../electron/rack/opening/open.ts'
import { saveCustomerJob } from '../../../electron/rack/queries/bench/customer-jobs.ts'
import { readPanel } from '../../../electron/rack/queries/panel-read.ts'
import { removePanel, savePanel } from '../../../electron/rack/queries/panels.ts'
import { addPhoto } from '../../../electron/rack/queries/photos.ts'
import { addReading } from '../../../electron/rack/queries/readings.ts'
import { addReference } from '../../../electron/rack/queries/references.ts'
import { addMaterial } from '../../../electron/rack/queries/shelf.ts'
import type { CustomerJobDraft } from '../../../shared-core/records/customer-job.ts'
import { draft, dump, newPhoto } from '../fresh.ts'
import { candyMixture, layer } from '../layers-typed.ts'
import {
  copied,
  emptyRack,
  hang,
  hanging,
  photograph,
  plan,
  soundness,
  stepsOf,
  take,
  typed,
  usual,
} from './merging.ts'

const fates = (rack: Rack, other: Rack, wish?: Wish) =>
  plan(rack, other, wish).panels.map(({ code, fate, what, newCode }) => ({ code, fate, what, newCode }))

const retitle = (rack: Rack, id: string, title: string) =>
  rack.change({ label: 'rename' }, (change) => change.update('panel', id, { title }))

const rules = (more: Partial<Wish['rules']>): Wish => ({ ...usual, rules: { ...usual.rules, ...more } })

/** Nothing is left to do the second time, the rack is sound, and undo takes all of it back. */
async function takenTwice(ours: Rack, theirs: Rack, wish: Wish = usual): Promise<void> {
  const before = await dump(ours)
  const { operations } = await take(ours, theirs, wish)
  const after = await dump(ours)
  expect((await take(ours, theirs, wish)).operations).toBe(0)
  expect(await dump(ours)).toBe(after)
  expect(soundness(ours)).toEqual(['ok', []])
  if (operations === 0) return
  await ours.undo()
  expect(await dump(ours)).toBe(before)
  await ours.redo()
  expect(await dump(ours)).toBe(after)
}

test('a rack and its copy have nothing to take from each other', async () => {
  const first = await emptyRack('one')
  const id = await hang(first)
  await first.change({ label: 'photograph' }, (change) => photograph(change, id, 'a'))
  const [ours, theirs] = await copied(first)
  expect(plan(ours, theirs)).toMatchObject({ operations: 0, panels: [], counts: { same: 1 } })
  expect(plan(ours, ours)).toMatchObject({ operations: 0, panels: [] })
})

test('who went on is known from the histories of both', async () => {
  const first = await emptyRack('one')
  const ids = [
    await hang(first, { title: 'A' }),
    await hang(first, { title: 'B' }),
    await hang(first, { title: 'C' }),
    await hang(first, { title: 'D' }),
  ]
  const [a, b, c] = ids as [string, string, string]
  const [ours, theirs] = await copied(first)
  await retitle(theirs, a, 'A there')
  await retitle(ours, b, 'B here')
  await retitle(ours, c, 'C here')
  await retitle(theirs, c, 'C there')
  expect(fates(ours, theirs)).toEqual([
    { code: 'P-0001', fate: 'changed-there', what: ['title'], newCode: null },
    { code: 'P-0002', fate: 'changed-here', what: ['title'], newCode: null },
    { code: 'P-0003', fate: 'changed-both', what: ['title'], newCode: null },
  ])
  await takenTwice(ours, theirs)
  const titles = await ours.db.selectFrom('panel').select('title').orderBy('code').execute()
  expect(titles.map(({ title }) => title)).toEqual(['A there', 'B here', 'C here', 'D'])
  // and once more from there, after they went on: it is known that ours is what theirs was
  await retitle(theirs, a, 'A there again')
  expect(fates(ours, theirs)[0]).toMatchObject({ code: 'P-0001', fate: 'changed-there' })
})

test('what both changed: mine stays, theirs is taken, or both hang side by side; readings of both stay in any case', async () => {
  for (const choice of ['mine', 'theirs', 'both'] as const) {
    const first = await emptyRack('one')
    const id = await hang(first, { title: 'A' })
    const [ours, theirs] = await copied(first)
    await retitle(ours, id, 'A here')
    await retitle(theirs, id, 'A there')
    const [step] = (await stepsOf(theirs, id)) as [string]
    await theirs.change({ label: 'read' }, (change) => addReading(change, typed(71, step, '2031-06-01T10:00:00.000Z')))
    await ours.change({ label: 'read' }, (change) => addReading(change, typed(62, step, '2031-06-02T10:00:00.000Z')))
    await takenTwice(ours, theirs, { ...usual, choices: { [id]: choice } })
    const titles = (await ours.db.selectFrom('panel').select('title').orderBy('title').execute()).map(
      ({ title }) => title,
    )
    expect(titles).toEqual({ mine: ['A here'], theirs: ['A there'], both: ['A here', 'A there'] }[choice])
    const read = (
      await ours.db
        .selectFrom('reading')
        .innerJoin('step', 'step.id', 'reading.step_id')
        .select('l')
        .where('panel_id', '=', id)
        .execute()
    ).map(({ l }) => l)
    expect(read.toSorted((a, b) => a - b)).toEqual(choice === 'both' ? [40, 40, 62] : [40, 40, 62, 71])
  }
})

test('a formula of theirs takes the place of ours whole, and undo brings ours back', async () => {
  const first = await emptyRack('one')
  const id = await hang(first)
  const [ours, theirs] = await copied(first)
  await theirs.change({ label: 'edit' }, async (change) => {
    const panel = await readPanel(change.db, id)
    await savePanel(change, {
      ...panel,
      tags: ['boat', 'teal'],
      layers: [
        layer('ground', 'bright silver'),
        layer('candy', '', { coats: 5, mixture: candyMixture('violet', 'smoke') }),
      ],
      steps: [...panel.steps, { id: null, coats: 6, notes: '' }],
    })
  })
  expect(fates(ours, theirs)).toEqual([
    {
      code: 'P-0001',
      fate: 'changed-there',
      what: ['tags', 'layers and formula', 'coats of its steps'],
      newCode: null,
    },
  ])
  await takenTwice(ours, theirs)
  expect(await hanging(ours)).toEqual(await hanging(theirs))
})

test('another rack’s panels come in; codes that are taken are given anew, materials and lights are matched by what they are', async () => {
  const [ours, theirs] = [await emptyRack('ours'), await emptyRack('theirs')]
  await hang(ours, {
    title: 'Ours',
    layers: [layer('candy', '', { coats: 4, mixture: candyMixture('copper', 'violet') })],
  })
  await hang(theirs, {
    title: 'Theirs',
    layers: [layer('candy', '', { coats: 4, mixture: candyMixture('Copper', 'crimson') })],
  })
  await hang(theirs, { title: 'Own code', code: 'X-9' })
  await theirs.change({ label: 'know' }, async (change) => {
    const [copper] = await change.db.selectFrom('material').select('id').where('name', '=', 'copper').execute()
    await change.update('material', copper?.id ?? '', { density_kg_per_l: 0.98 })
  })
  expect(fates(ours, theirs)).toEqual([
    { code: 'P-0001', fate: 'new', what: ['2 readings'], newCode: 'P-0002' },
    { code: 'X-9', fate: 'new', what: ['2 readings'], newCode: null },
  ])
  await takenTwice(ours, theirs)
  expect(
    (await ours.db.selectFrom('material').select('name').orderBy('name').execute()).map(({ name }) => name),
  ).toEqual(['clear carrier', 'copper', 'crimson', 'violet'])
  expect(await ours.db.selectFrom('light').select('name').execute()).toHaveLength(6)
  expect((await ours.db.selectFrom('rack_info').select('next_code').executeTakeFirstOrThrow()).next_code).toBe(3)
})

test('materials of one name that do not agree stay two', async () => {
  const [ours, theirs] = [await emptyRack('ours'), await emptyRack('theirs')]
  for (const [rack, density] of [
    [ours, 0.95],
    [theirs, 1.1],
  ] as const)
    await rack.change({ label: 'know' }, (change) =>
      addMaterial(change, { name: 'violet', kind: 'concentrate', densityKgPerL: density }),
    )
  await takenTwice(ours, theirs)
  expect(
    (await ours.db.selectFrom('material').select('density_kg_per_l').execute())

      .map((row) => row.density_kg_per_l ?? 0)
      .toSorted((a, b) => a - b),
  ).toEqual([0.95, 1.1])
})

test('lights of one name and another colour temperature get a name of their own', async () => {
  const [ours, theirs] = [await emptyRack('ours'), await emptyRack('theirs')]
  await theirs.change({ label: 'light' }, async (change) => {
    const [sun] = await change.db.selectFrom('light').select('id').where('name', '=', 'sun').execute()
    await change.update('light', sun?.id ?? '', { kelvin: 5800 })
  })
  await takenTwice(ours, theirs)
  expect(
    await ours.db
      .selectFrom('light')
      .select(['name', 'kelvin'])
      .where('name', 'like', 'sun%')
      .orderBy('name')
      .execute(),
  ).toEqual([
    { name: 'sun', kelvin: 5500 },
    { name: 'sun (2)', kelvin: 5800 },
  ])
})

test('the same panel written down twice is found by its content or its photos, and the painter decides', async () => {
  const [ours, theirs] = [await emptyRack('ours'), await emptyRack('theirs')]
  const here = await hang(ours, { notes: 'ours' })
  const there = await hang(theirs, { notes: 'theirs' }, 41)
  await theirs.change({ label: 'photograph' }, (change) => photograph(change, there, 'a'))
  expect(fates(ours, theirs)).toEqual([
    { code: 'P-0001', fate: 'probably-same', what: ['notes', '3 readings', '1 photo'], newCode: null },
  ])
  await takenTwice(ours, theirs, rules({ 'probably-same': 'theirs' }))
  expect((await ours.db.selectFrom('panel').selectAll().execute()).map(({ id, notes }) => [id, notes])).toEqual([
    [here, 'theirs'],
  ])
  expect(await ours.db.selectFrom('reading').select('id').execute()).toHaveLength(5)

  const third = await emptyRack('third')
  await hang(third, { title: 'Another name', code: 'Q-1' })
  const [panel] = await third.db.selectFrom('panel').select('id').execute()
  await third.change({ label: 'photograph' }, (change) => photograph(change, panel?.id ?? '', 'a'))
  expect(fates(ours, third)[0]).toMatchObject({ code: 'Q-1', fate: 'probably-same' })
  await takenTwice(ours, third, rules({ 'probably-same': 'both' }))
  expect(await ours.db.selectFrom('panel').select('id').execute()).toHaveLength(2)
  // one photo, filed to both
  expect(await ours.db.selectFrom('photo').select('id').execute()).toHaveLength(1)
  expect(await ours.db.selectFrom('filing').select('panel_id').execute()).toHaveLength(2)
})

test('a photo that waited in the tray here and was filed there is filed here, with its marks', async () => {
  const first = await emptyRack('one')
  const id = await hang(first)
  const photo = newPhoto(v7())
  await first.change({ label: 'take in' }, (change) => addPhoto(change, photo))
  const [ours, theirs] = await copied(first)
  const [step] = (await stepsOf(theirs, id)) as [string]
  await theirs.change({ label: 'file' }, async (change) => {
    const areaId = v7()
    const cutKey = photo.sha256.slice(0, 32)
    await change.insert('card', { id: v7(), photo_id: photo.id, quad: '[[0,0],[9,0],[9,9],[0,9]]', l: 50, a: 0, b: 0 })
    await change.insert('area', {
      id: areaId,
      photo_id: photo.id,
      position: 0,
      step_id: step,
      kind: 'quad',
      points: '[[0,0],[9,0],[9,9],[0,9]]',
      radius: null,
      cut_key: cutKey,
    })
    await change.insert('filing', { id: v7(), photo_id: photo.id, panel_id: id, reference_id: null, filed_at: 'now' })
    await change.update('photo', photo.id, { filed: 1, laid_out_at: '2031-05-03T10:00:00.000Z', view: 'flop' })
    await addReading(change, {
      ...typed(50, step, '2031-06-03T10:00:00.000Z'),
      photoId: photo.id,
      areaId,
      cut: cutKey,
      level: 'card',
    })
  })
  await takenTwice(ours, theirs)
  expect(await dump(ours)).toBe(await dump(theirs))
})

test('in the trash here: it stays there, unless theirs is wanted back; what lies in theirs stays there', async () => {
  const first = await emptyRack('one')
  const [a, b] = [await hang(first, { title: 'A' }), await hang(first, { title: 'B' })]
  const [ours, theirs] = await copied(first)
  await ours.change({ label: 'remove' }, (change) => removePanel(change, a))
  await theirs.change({ label: 'remove' }, (change) => removePanel(change, b))
  await hang(ours, { title: 'New', code: 'P-0001' })
  expect(fates(ours, theirs)).toEqual([{ code: 'P-0001', fate: 'in-trash-here', what: [], newCode: null }])
  expect(plan(ours, theirs)).toMatchObject({ operations: 0, counts: { inTrashThere: 1 } })
  await takenTwice(ours, theirs, rules({ 'in-trash-here': 'theirs' }))
  const there = await ours.db
    .selectFrom('panel')
    .select(['title', 'code'])
    .where('deleted_at', 'is', null)
    .orderBy('title')
    .execute()
  expect(there).toEqual([
    { title: 'A', code: 'P-0003' },
    { title: 'B', code: 'P-0002' },
    { title: 'New', code: 'P-0001' },
  ])
})

test('jobs come with their reference, name our panels and materials, and leave out what did not come', async () => {
  const [ours, theirs] = [await emptyRack('ours'), await emptyRack('theirs')]
  await hang(ours, { title: 'Ours', layers: [layer('candy', '', { mixture: candyMixture('copper', 'x') })] })
  await ours.change({ label: 'job' }, (change) => saveCustomerJob(change, jobDraft({ title: 'Ours' })))
  const [kept, left] = [await hang(theirs, { title: 'Kept' }), await hang(theirs, { title: 'Left', code: 'L-1' })]
  const referenceId = v7()
  await theirs.change({ label: 'job' }, async (change) => {
    await addReference(change, referenceId, 'Tank')
    await saveCustomerJob(
      change,
      jobDraft({
        title: 'Theirs',
        referenceId,
        formula: {
          panelId: kept,
          stepId: (
            await change.db.selectFrom('step').select('id').where('panel_id', '=', kept).executeTakeFirstOrThrow()
          ).id,
          mixture: candyMixture('copper', 'y'),
          ground: 'gold',
          coats: 3,
          gunSetup: null,
        },
        checks: [kept, left].map((panelId) => ({ id: v7(), panelId, addedAt: '2031-05-03', note: '' })),
      }),
    )
  })
  await takenTwice(ours, theirs, { ...usual, choices: { [left]: 'mine' } })
  const jobs = await ours.db.selectFrom('customer_job').selectAll().orderBy('code').execute()
  expect(jobs.map(({ code, title }) => [code, title])).toEqual([
    ['J-0001', 'Ours'],
    ['J-0002', 'Theirs'],
  ])
  const [, job] = jobs
  expect(job?.reference_id).toBe(referenceId)
  expect((JSON.parse(job?.checks ?? '[]') as { panelId: string }[]).map(({ panelId }) => panelId)).toEqual([kept])
  const [copper] = await ours.db.selectFrom('material').select('id').where('name', '=', 'copper').execute()
  expect(job?.formula).toContain(copper?.id)
  expect(job?.formula).toContain(kept)
})

const jobDraft = (more: Partial<CustomerJobDraft>): CustomerJobDraft => ({
  id: null,
  code: null,
  title: 'Job',
  customer: 'Wren',
  status: 'open',
  referenceId: null,
  candidates: [],
  formula: null,
  parts: [],
  tolerance: 1,
  checks: [],
  decisions: [],
  dueOn: null,
  notes: '',
  ...more,
})

test('without histories nobody knows who went on, and the painter is asked', async () => {
  const first = await emptyRack('one')
  const id = await hang(first, { title: 'A' })
  const [ours, theirs] = await copied(first)
  for (const rack of [ours, theirs]) await rack.forgetHistory()
  await theirs.db.updateTable('panel').set({ title: 'A there' }).where('id', '=', id).execute()
  expect(fates(ours, theirs)).toMatchObject([{ fate: 'changed-both' }])
})

test('a panel whose rows have ids that are others’ here comes in all the same', async () => {
  const [ours, theirs] = [await emptyRack('ours'), await emptyRack('theirs')]
  const here = await hang(ours, { title: 'Ours', code: 'O-1' })
  const step = {
    ...(await ours.db.selectFrom('step').selectAll().where('panel_id', '=', here).limit(1).executeTakeFirstOrThrow()),
  }
  await theirs.change({ label: 'odd' }, async (change) => {
    const id = await savePanel(
      change,
      draft({ title: 'Theirs', code: 'T-1', steps: [{ id: null, coats: 1, notes: '' }] }),
    )
    await change.insert('step', { ...step, panel_id: id })
    await addReading(change, typed(33, step.id))
  })
  await takenTwice(ours, theirs)
  expect(await hanging(ours)).toEqual(
    [...(await hanging(ours)).filter((said) => said.includes('"Ours"')), ...(await hanging(theirs))].toSorted(),
  )
})
