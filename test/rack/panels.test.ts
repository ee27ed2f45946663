import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { listWords } from '../../electron/rack/queries/panel-filter.ts'
import { listPanels } from '../../electron/rack/queries/panel-list.ts'
import { findPanel, readPanel } from '../../electron/rack/queries/panel-read.ts'
import { removePanel, savePanel } from '../../electron/rack/queries/panels.ts'
import { nextCode } from '../../electron/rack/queries/rack-info.ts'
import { addReading } from '../../electron/rack/queries/readings.ts'
import { listGunSetups, listMaterials } from '../../electron/rack/queries/shelf.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import { Mixture, type Part } from '../../shared-core/records/mixture.ts'
import { noFilter, type PanelDraft, type PanelFilter } from '../../shared-core/records/panel.ts'
import { draft, freshRack } from './fresh.ts'
import { candyMixture, layer } from './layers-typed.ts'

const save = (rack: Rack, panel: PanelDraft) => rack.change({ label: 'save' }, (change) => savePanel(change, panel))

const name = fc.string({ minLength: 1, maxLength: 12 }).map((text) => text.trim() || 'x')
const material = fc.record({
  id: fc.constant(null),
  name,
  kind: fc.constantFrom('concentrate', 'carrier', 'hardener', 'reducer', 'pearl', 'flake'),
})
const amount = fc.double({ min: 1e-3, max: 1e4, noNaN: true })
const unit = fc.constantFrom('parts', 'percent-of-total', 'percent-on-top', 'grams-per-litre')
const { mixture } = fc.letrec<{ mixture: Mixture; part: Part }>((tie) => ({
  mixture: fc.record({
    name: fc.string({ maxLength: 8 }),
    basis: fc.constantFrom('volume', 'mass'),
    parts: fc.array(tie('part'), { minLength: 1, maxLength: 4 }),
  }),
  part: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    fc.record({ amount, unit, material, mixture: fc.constant(null) }),
    fc.record({ amount, unit, material: fc.constant(null), mixture: tie('mixture') }),
  ),
})) as { mixture: fc.Arbitrary<Mixture> }

/** Without ids and with names as the shelf has them: the first spelling of a name is the one that is kept. */
function bare(given: Mixture, spelling: Map<string, string>): Mixture {
  return {
    ...given,
    parts: given.parts.map((part) => {
      if (part.mixture) return { ...part, mixture: bare(part.mixture, spelling) }
      if (!part.material) throw new Error('A part of nothing')
      const key = `${part.material.kind} ${part.material.name.trim().toLowerCase()}`
      if (!spelling.has(key)) spelling.set(key, part.material.name.trim())
      return { ...part, material: { ...part.material, id: null, name: spelling.get(key) ?? '' } }
    }),
  }
}

test('mixtures nested to any depth come back as they were given', async () => {
  const rack = await freshRack()
  await fc.assert(
    fc.asyncProperty(mixture, async (given) => {
      expect(Mixture.safeParse(given).success).toBe(true)
      const id = await save(rack, draft({ layers: [layer('candy', '', { mixture: given })] }))
      const read = (await readPanel(rack.db, id)).layers[0]?.mixture
      const spelling = new Map<string, string>()
      for (const { kind, name: known } of await listMaterials(rack.db))
        spelling.set(`${kind} ${known.trim().toLowerCase()}`, known)
      expect(read && bare(read, spelling)).toEqual(bare(given, spelling))
      // nothing is written when nothing is changed
      const before = await rack.db.selectFrom('mixture').select('id').execute()
      await save(rack, await readPanel(rack.db, id))
      expect(await rack.db.selectFrom('mixture').select('id').execute()).toEqual(before)
      await rack.undo()
    }),
    { numRuns: 40 },
  )
  let deep: Mixture = { name: 'innermost', basis: 'mass', parts: candyMixture('a', 'b').parts }
  for (let depth = 0; depth < 60; depth++)
    deep = { name: `${depth}`, basis: 'volume', parts: [{ amount: 1, unit: 'parts', material: null, mixture: deep }] }
  const id = await save(rack, draft({ layers: [layer('candy', '', { mixture: deep })] }))
  const read = (await readPanel(rack.db, id)).layers[0]?.mixture
  expect(read && bare(read, new Map())).toEqual(bare(deep, new Map()))
})

test('a panel comes back as it was saved, and what is edited keeps its ids', async () => {
  const rack = await freshRack()
  const given = draft({
    tags: ['teal', 'bled'],
    layers: [
      layer('ground', 'bright gold', {
        booth: { temperatureC: 21.5, humidityPercent: 40, flashOffMin: null, reducerGrade: 'slow' },
        gunSetup: {
          id: null,
          name: 'Small gun',
          gun: 'gravity',
          tipMm: 0.8,
          inletKpa: 110,
          capKpa: null,
          distanceMm: 150,
          overlapPercent: 75,
        },
      }),
      layer('candy', '', { coats: 4, mixture: candyMixture('copper', 'crimson') }),
    ],
  })
  const id = await save(rack, given)
  const read = await readPanel(rack.db, id)
  expect(read).toMatchObject({
    ...given,
    id,
    code: 'P-0001',
    layers: [{ name: 'bright gold' }, { coats: 4 }],
    steps: [{}, {}],
  })
  expect(read.layers[0]).toMatchObject({ booth: given.layers[0]?.booth, gunSetup: { tipMm: 0.8, overlapPercent: 75 } })
  await save(rack, { ...read, title: 'Renamed', layers: read.layers.toReversed() })
  const again = await readPanel(rack.db, id)
  expect(again).toEqual({ ...read, title: 'Renamed', layers: read.layers.toReversed() })
})

test('materials and gun set-ups on the shelf are used again, whatever the case of their names', async () => {
  const rack = await freshRack()
  await save(rack, draft({ layers: [layer('candy', '', { mixture: candyMixture('Copper', 'crimson') })] }))
  await save(rack, draft({ layers: [layer('candy', '', { mixture: candyMixture('copper ', 'Écru') })] }))
  await save(rack, draft({ layers: [layer('candy', '', { mixture: candyMixture('COPPER', 'écru') })] }))
  expect((await listMaterials(rack.db)).map((one) => one.name)).toEqual(['clear carrier', 'Copper', 'crimson', 'Écru'])
  const setup = {
    id: null,
    name: 'Bench gun',
    gun: '',
    tipMm: 1.3,
    inletKpa: 110,
    capKpa: null,
    distanceMm: null,
    overlapPercent: 75,
  }
  const gunned = (tipMm: number) => draft({ layers: [layer('candy', '', { gunSetup: { ...setup, tipMm } })] })
  const first = await save(rack, gunned(1.3))
  await save(rack, gunned(1.3))
  await save(rack, gunned(1.4))
  expect((await listGunSetups(rack.db)).map((one) => one.tipMm)).toEqual([1.3, 1.4])
  expect((await readPanel(rack.db, first)).layers[0]?.gunSetup?.tipMm).toBe(1.3)
})

test('codes are given in turn, never twice, and typed ones must be free', async () => {
  const rack = await freshRack()
  await save(rack, draft())
  await save(rack, draft({ code: 'P-0003' }))
  expect(await nextCode(rack.db)).toBe('P-0002')
  await save(rack, draft())
  expect(await nextCode(rack.db)).toBe('P-0004')
  await save(rack, draft())
  await rack.undo()
  // P-0004 may stand on a label by now
  expect(await nextCode(rack.db)).toBe('P-0005')
  await expect(save(rack, draft({ code: 'p-0003' }))).rejects.toMatchObject({ code: 'panel/code-taken' })
  expect(await findPanel(rack.db, 'p-0003')).toBe(await findPanel(rack.db, 'P-0003'))
})

test('a step with readings is not dropped; one without, or with removed ones, is', async () => {
  const rack = await freshRack()
  const id = await save(rack, draft())
  const panel = await readPanel(rack.db, id)
  const stepId = panel.steps[0]?.id ?? ''
  await rack.change({ label: 'read' }, (change) =>
    addReading(change, typedReading(typed({ l: 50, a: 1, b: 2 }), { stepId })),
  )
  await expect(save(rack, { ...panel, steps: panel.steps.slice(1) })).rejects.toMatchObject({
    code: 'panel/step-has-readings',
  })
  await save(rack, { ...panel, steps: panel.steps.slice(0, 1) })
  const reading = await rack.db.selectFrom('reading').select('id').executeTakeFirstOrThrow()
  await rack.change({ label: 'x' }, (change) => change.update('reading', reading.id, { deleted_at: '2024' }))
  await save(rack, { ...panel, steps: [{ id: null, coats: 3, notes: '' }] })
  expect((await readPanel(rack.db, id)).steps).toMatchObject([{ coats: 3 }])
  for (let i = 0; i < 3; i++) await rack.undo()
  expect((await readPanel(rack.db, id)).steps).toEqual(panel.steps)
})

const typed = (lab: { l: number; a: number; b: number }, stage: 'wet' | 'dry' | 'cleared' = 'dry') => ({
  lab,
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: 0.5,
  view: 'face' as const,
  stage,
  lightId: null,
})

async function smallRack(): Promise<Rack> {
  const rack = await freshRack()
  const candy = (first: string) => layer('candy', '', { coats: 4, mixture: candyMixture(first, 'smoke') })
  const panels = [
    draft({ title: 'Teal', tags: ['sea'], layers: [layer('ground', 'bright gold'), candy('blue')] }),
    draft({
      title: 'Crème brûlée',
      tags: ['Food', 'sea'],
      notes: 'bled a little',
      sprayedOn: null,
      layers: [layer('ground', 'charcoal'), candy('amber'), layer('clear', 'gloss', { coats: 2 })],
    }),
    draft({ title: 'Plain silver', tags: [], status: 'planned', layers: [layer('ground', 'bright silver')] }),
  ]
  const colours = [
    { l: 40, a: -20, b: -15 },
    { l: 60, a: 15, b: 40 },
  ]
  for (const [i, panel] of panels.entries()) {
    const id = await save(rack, panel)
    const step = (await readPanel(rack.db, id)).steps[1]?.id
    const lab = colours[i]
    if (step && lab)
      await rack.change({ label: 'read' }, async (change) => {
        await addReading(change, typedReading(typed({ l: 1, a: 1, b: 1 }, 'wet'), { stepId: step }))
        await addReading(change, typedReading(typed(lab, 'cleared'), { stepId: step }))
        await addReading(change, typedReading(typed({ l: 2, a: 2, b: 2 }, 'dry'), { stepId: step }))
      })
  }
  return rack
}

test('a filter shows what it says, and words find the beginnings of words everywhere', async () => {
  const rack = await smallRack()
  const titles = async (filter: Partial<PanelFilter>) =>
    (await listPanels(rack.db, { ...noFilter, ...filter }, 'code')).panels.map((panel) => panel.title)
  expect(await titles({})).toEqual(['Teal', 'Crème brûlée', 'Plain silver'])
  expect(await titles({ words: 'creme' })).toEqual(['Crème brûlée'])
  expect(await titles({ words: 'P-0002' })).toEqual(['Crème brûlée'])
  expect(await titles({ words: '3' })).toEqual(['Plain silver'])
  expect(await titles({ words: 'ble brig' })).toEqual([])
  expect(await titles({ words: 'blu brig' })).toEqual(['Teal'])
  expect(await titles({ words: 'smoke' })).toEqual(['Teal', 'Crème brûlée'])
  expect(await titles({ words: '"*) OR (' })).toEqual([])
  expect(await titles({ words: '"' })).toEqual([])
  expect(await titles({ tags: ['food'] })).toEqual(['Crème brûlée'])
  expect(await titles({ grounds: ['charcoal', 'bright silver'] })).toEqual(['Crème brûlée', 'Plain silver'])
  expect(await titles({ candies: ['blue'] })).toEqual(['Teal'])
  expect(await titles({ cleared: true })).toEqual(['Crème brûlée'])
  expect(await titles({ cleared: false, status: 'planned' })).toEqual(['Plain silver'])
  expect(await listWords(rack.db)).toEqual({
    grounds: ['bright gold', 'bright silver', 'charcoal'],
    candies: ['amber', 'blue', 'smoke'],
    tags: ['Food', 'sea'],
  })
  const id = await findPanel(rack.db, 'P-0002')
  await rack.change({ label: 'x' }, (change) => removePanel(change, id))
  expect(await titles({ words: 'creme' })).toEqual([])
  await rack.undo()
  const panel = await readPanel(rack.db, id)
  await save(rack, { ...panel, title: 'Flan' })
  expect(await titles({ words: 'creme' })).toEqual([])
  expect(await titles({ words: 'flan' })).toEqual(['Flan'])
})

test('a hanging panel shows its ground, candies and best reading, and panels come in the order asked for', async () => {
  const rack = await smallRack()
  const { panels, total } = await listPanels(rack.db, { ...noFilter, tags: ['sea'] }, 'code')
  expect(total).toBe(3)
  expect(panels[1]).toMatchObject({
    code: 'P-0002',
    ground: 'charcoal',
    candies: ['amber', 'smoke'],
    coatsFrom: 2,
    coatsTo: 4,
    cleared: true,
    tags: ['Food', 'sea'],
    bands: [
      { coats: 2, lab: null, bound90: null, cut: null },
      { coats: 4, lab: { l: 60, a: 15, b: 40 }, bound90: 0.5 },
    ],
  })
  const order = async (sort: Parameters<typeof listPanels>[2]) =>
    (await listPanels(rack.db, noFilter, sort)).panels.map((panel) => Number(panel.code.slice(2)))
  // hues 69° and 217°; what has no colour, candy or date comes last
  expect(await order('hue')).toEqual([2, 1, 3])
  expect(await order('lightness')).toEqual([1, 2, 3])
  expect(await order('ground')).toEqual([1, 3, 2])
  expect(await order('candy')).toEqual([2, 1, 3])
  expect(await order('date')).toEqual([1, 3, 2])
})
