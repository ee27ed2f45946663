import { expect, test } from 'vitest'
import { readFilmRack } from '../../electron/rack/queries/film-observations.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addReading } from '../../electron/rack/queries/readings.ts'
import { addMaterial } from '../../electron/rack/queries/shelf.ts'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { draftOf } from '../../electron/service/demonstration/workshop/drafts.ts'
import { panelIdeas } from '../../electron/service/demonstration/workshop/panels.ts'
import type { GunSetup, Layer } from '../../shared-core/records/panel.ts'
import { crimson, gold, hang, mixed, of, reading, steps, whyLeftOut } from './film-panels.ts'
import { freshRack } from './fresh.ts'
import { candyMixture, layer } from './layers-typed.ts'

/** What the film model is told of panels: grounds, mid coats, candies and their loads. */

test('a step’s load is 7 · coats · share of the whole cup: 4 : 1 in 6 : 1 is 4/35 and 1/35 (common practice, no source)', async () => {
  const rack = await freshRack()
  await hang(rack, { steps: steps(0, 2, 4) })
  const { library, candies } = await rack.read(readFilmRack)
  const named = (id: string) => candies.find((candy) => candy.id === id)?.name ?? ''
  const byCoats = library.observations.toSorted((a, b) => a.coats - b.coats)
  expect(byCoats.map(({ coats }) => coats)).toEqual([0, 2, 4])
  expect(byCoats[0]).toMatchObject({ ground: 'bright gold', dyes: [], under: null, over: null })
  const loads = byCoats[1]?.dyes.map(({ id, load }) => [named(id), load])
  expect(loads).toEqual([
    ['copper', expect.closeTo((7 * 2 * 4) / 35, 12)],
    ['crimson', expect.closeTo((7 * 2 * 1) / 35, 12)],
  ])
  expect(new Set(byCoats.map(({ panel }) => panel)).size).toBe(1)
  expect(library.groundKinds).toEqual(new Map([['bright gold', 'metallic']]))
})

test('one ground over two recorded undercoats is two grounds; who recorded none goes with the commonest', async () => {
  const rack = await freshRack()
  const over = (name: string | null) => [...(name === null ? [] : [layer('undercoat', name)]), gold, crimson()]
  await hang(rack, { layers: over('White'), steps: steps(1) })
  await hang(rack, { layers: over('white'), steps: steps(2) })
  await hang(rack, { layers: over('black'), steps: steps(3) })
  await hang(rack, { layers: over(null), steps: steps(4) })
  await hang(rack, { layers: [layer('ground', ' Charcoal '), crimson()], steps: steps(5) })
  const { library, grounds } = await rack.read(readFilmRack)
  expect(library.observations.map(({ coats, ground }) => `${coats} ${ground}`).toSorted()).toEqual([
    '1 gold over white',
    '2 gold over white',
    '3 gold over black',
    '4 gold over white',
    '5 charcoal',
  ])
  expect(grounds.map(({ name }) => name).toSorted()).toEqual(['Charcoal', 'gold over White', 'gold over black'])
  expect(library.groundKinds.get('gold over black')).toBe('metallic')
})

test('kinds of grounds come from their words, a metal’s before a plain colour’s', async () => {
  const rack = await freshRack()
  const bases = mixed('volume', of(1, 'Coarse aluminium base', 'base'))
  const names = ['Signal white', 'dark grey metallic', 'Thistle', 'Burnt copper']
  for (const name of names) await hang(rack, { layers: [layer('ground', name), crimson()], steps: steps(1) })
  await hang(rack, { layers: [layer('ground', 'Moonrise', { mixture: bases }), crimson()], steps: steps(1) })
  await hang(rack, { layers: [layer('ground', 'silver'), layer('solid', 'Ink'), crimson()], steps: steps(1) })
  const { library } = await rack.read(readFilmRack)
  expect(Object.fromEntries(library.groundKinds)).toEqual({
    'signal white': 'solid',
    'dark grey metallic': 'metallic',
    thistle: 'unknown',
    'burnt copper': 'metallic',
    moonrise: 'metallic',
    ink: 'solid',
  })
})

test('a mid coat beneath the candy and one above it are told apart; between two candies nothing can be said', async () => {
  const rack = await freshRack()
  const pearl = (name: string, coats: number) =>
    layer('mid-coat', name, {
      coats,
      mixture: mixed('volume', of(4, 'Dew pearl', 'pearl'), of(1, 'carrier', 'carrier')),
    })
  await hang(rack, { layers: [gold, pearl('', 2), crimson(), pearl('Rime', 1), pearl('rime', 1)], steps: steps(3) })
  const { library, midCoats } = await rack.read(readFilmRack)
  expect(library.observations[0]).toMatchObject({
    under: { id: 'dew pearl', coats: 2 },
    over: { id: 'rime', coats: 2 },
  })
  expect(midCoats).toEqual([
    { id: 'dew pearl', name: 'Dew pearl' },
    { id: 'rime', name: 'Rime' },
  ])
  expect(await whyLeftOut([gold, crimson(), pearl('Rime', 1), crimson()])).toEqual([
    'A mid coat lies between two candies.',
    'A mid coat lies between two candies.',
  ])
  expect(await whyLeftOut([gold, crimson(), pearl('Rime', 1), pearl('Dew', 1)])).toHaveLength(2)
})

test('stacked candies add up; a step counts the coats of the last one', async () => {
  const rack = await freshRack()
  const two = [gold, crimson(2), layer('candy', '', { coats: 4, mixture: candyMixture('copper', 'crimson') })]
  await hang(rack, { layers: two, steps: steps(0, 3) })
  const { library, candies, steps: all } = await rack.read(readFilmRack)
  const load = (coats: number, name: string) => {
    const id = candies.find((candy) => candy.name === name)?.id
    return library.observations.find((seen) => seen.coats === coats)?.dyes.find((dye) => dye.id === id)?.load
  }
  expect(load(2, 'crimson')).toBeCloseTo(7 * 2 * (1 / 7), 12)
  expect(load(5, 'crimson')).toBeCloseTo(7 * (2 / 7 + 3 / 35), 12)
  expect(load(5, 'copper')).toBeCloseTo((7 * 3 * 4) / 35, 12)
  // no single cup is this recipe
  expect(all.map(({ coats, dyes }) => [coats, dyes?.length ?? null])).toEqual([
    [2, 1],
    [5, null],
  ])
})

test('a formula by mass counts by volume with densities, and without one it is left out by name', async () => {
  const rack = await freshRack()
  const byMass = layer('candy', '', {
    coats: 4,
    mixture: mixed(
      'mass',
      of(1, 'crimson', 'concentrate'),
      of(6, 'carrier', 'carrier'),
      of(10, 'slow', 'reducer', 'percent-on-top'),
    ),
  })
  await hang(rack, { layers: [gold, byMass], steps: steps(1) })
  expect((await rack.read(readFilmRack)).leftOut).toMatchObject([{ why: expect.stringContaining('density') }])
  const ids = await rack.db.selectFrom('material').select(['id', 'name']).execute()
  const densities: Record<string, number> = { crimson: 1, carrier: 0.8, slow: 0.7 }
  await rack.change({ label: 'densities' }, async (change) => {
    for (const { id, name } of ids) await change.update('material', id, { density_kg_per_l: densities[name] ?? null })
  })
  const { library, leftOut } = await rack.read(readFilmRack)
  expect(leftOut).toEqual([])
  // 1 g and 6 g and 0.7 g are 1 mL, 7.5 mL and 1 mL
  expect(library.observations[0]?.dyes[0]?.load).toBeCloseTo(7 / 9.5, 9)
})

test.each<[string, Layer[], RegExp]>([
  ['no ground', [crimson()], /ground was not written down/],
  ['a ground without a name', [layer('ground', ''), crimson()], /no name/],
  ['no formula', [gold, layer('candy', 'ruby', { coats: 4 })], /formula/],
  [
    'flake in the candy',
    [
      gold,
      layer('candy', '', {
        coats: 4,
        mixture: mixed('volume', of(1, 'crimson', 'concentrate'), of(20, 'Star flake', 'flake', 'grams-per-litre')),
      }),
    ],
    /Star flake/,
  ],
  [
    'a base in the candy',
    [
      gold,
      layer('candy', '', {
        coats: 4,
        mixture: mixed('volume', of(1, 'crimson', 'concentrate'), of(1, 'Red base', 'base')),
      }),
    ],
    /Red base/,
  ],
  [
    'no dye',
    [gold, layer('candy', '', { coats: 4, mixture: mixed('volume', of(1, 'carrier', 'carrier')) })],
    /no concentrate/,
  ],
  ['a ground over the candy', [gold, crimson(), layer('ground', 'silver'), crimson()], /lies over its candy/],
])('%s: left out, with the reason', async (_, layers, why) => {
  expect(await whyLeftOut(layers)).toEqual([expect.stringMatching(why), expect.stringMatching(why)])
})

test('bare ground needs no formula of the candy beside it, and panels without candy are bare', async () => {
  expect(await whyLeftOut([gold, layer('candy', 'ruby', { coats: 4 })], { steps: steps(0, 4) })).toHaveLength(1)
  const rack = await freshRack()
  await hang(rack, { layers: [gold], steps: steps(4) })
  await hang(rack, { layers: [gold, layer('solid', 'Ink', { coats: 3 })], steps: steps(0, 1, 3) })
  const { library, leftOut } = await rack.read(readFilmRack)
  expect(library.observations.map(({ ground, dyes, coats }) => `${ground} ${dyes.length} ${coats}`).toSorted()).toEqual(
    ['gold 0 0', 'gold 0 0', 'ink 0 0'],
  )
  expect(leftOut.map(({ why }) => why)).toEqual([expect.stringContaining('fullest')])
})

test('the gun of the candy goes along, and what is on the shelf', async () => {
  const rack = await freshRack()
  const gun: GunSetup = {
    id: null,
    name: 'Bench',
    gun: '',
    tipMm: 1.3,
    inletKpa: 110,
    capKpa: null,
    distanceMm: 150,
    overlapPercent: 75,
  }
  await rack.change({ label: 'shelf' }, (change) =>
    addMaterial(change, { name: 'Never sprayed', kind: 'concentrate', onShelf: false }),
  )
  await hang(rack, { layers: [gold, { ...crimson(), gunSetup: gun }], steps: steps(0, 2) })
  const { library, guns, candies } = await rack.read(readFilmRack)
  expect(guns.map(({ name }) => name)).toEqual(['Bench'])
  const wet = library.observations.find(({ coats }) => coats === 2)
  expect(wet?.gun).toBe(guns[0]?.id)
  expect(candies.map(({ name, onShelf }) => [name, onShelf])).toEqual([
    ['crimson', true],
    ['Never sprayed', false],
  ])
})

test('everything that the demonstration’s workshop sprays can be told to the film model', async () => {
  const rack = await freshRack()
  const random = randomFrom('film')
  await rack.change({ label: 'fill' }, async (change) => {
    for (const idea of panelIdeas) {
      const id = await savePanel(change, draftOf(idea, new Date('2024-06-01'), random.fork(idea.title)))
      const own = await change.db.selectFrom('step').select('id').where('panel_id', '=', id).execute()
      for (const step of own) await addReading(change, reading(step.id, { stage: idea.cleared ? 'cleared' : 'dry' }))
    }
  })
  const { library, leftOut, grounds, midCoats, guns, candies } = await rack.read(readFilmRack)
  expect(leftOut).toEqual([])
  const sprayed = panelIdeas.filter(({ status }) => status !== 'planned')
  expect(library.observations).toHaveLength(sprayed.reduce((sum, idea) => sum + idea.steps.length, 0))
  expect(grounds.map(({ id, kind }) => [id, kind])).toEqual([
    ['bright silver', 'metallic'],
    ['charcoal', 'metallic'],
    ['copper', 'metallic'],
    ['gold', 'metallic'],
    ['white', 'solid'],
  ])
  expect(midCoats).toHaveLength(4)
  expect(guns).toHaveLength(3)
  // one cover at 6 carrier : 1 concentrate is load 1 (shared-core/film/forward.ts); with 4 : 1 hardener in the carrier too
  const ember = candies.find(({ name }) => name === 'Ember')?.id
  const kiln = library.observations.filter(
    ({ ground, dyes }) => ground === 'copper' && dyes.length === 2 && dyes.some(({ id }) => id === ember),
  )
  for (const { dyes, coats } of kiln) {
    expect(dyes.reduce((sum, { load }) => sum + load, 0)).toBeCloseTo(coats, 9)
    expect(dyes.find(({ id }) => id === ember)?.load).toBeCloseTo((coats * 2) / 3, 9)
  }
  expect(kiln).toHaveLength(4)
})
