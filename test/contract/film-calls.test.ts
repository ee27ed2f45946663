import { join } from 'node:path'
import { expect, test } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { benchService } from './bench-service.ts'
import { candies, candyId, formulaOf, grounds, hang, hangShop, read, truth } from './film-rack.ts'

test('an empty rack knows nothing, and says what to do', async () => {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Empty' })
  const { knows } = await service.call('film.describe', {})
  expect(knows).toMatchObject({ stepCount: 0, panelCount: 0, candies: [], grounds: [], guns: [], usualCoats: 4 })
  expect(knows.advice).toEqual([expect.stringContaining('Photograph')])
  const unknown = await service.refusal('film.predictTable', { formula: formulaOf([]), grounds: ['gold'], coats: [1] })
  expect(unknown.code).toBe('film/unknown-ground')
  expect((await service.call('film.listSuspects', {})).suspects).toEqual([])
})

test('what is sprayed stands beside what is predicted, and what was never sprayed is predicted', async () => {
  const service = await benchService()
  await hangShop(service)
  const [first = '', second = ''] = candies
  const { knows } = await service.call('film.describe', {})
  expect(knows).toMatchObject({ stepCount: 12, panelCount: 4, usualCoats: 4, leftOut: [], advice: [] })
  expect(knows.candies.map(({ name, coatsTo, stepCount, grounds: over }) => [name, coatsTo, stepCount, over])).toEqual([
    [first, 4, 4, grounds],
    [second, 4, 4, grounds],
  ])
  expect(knows.grounds.map(({ id, bare, stepCount }) => [id, bare, stepCount])).toEqual(
    grounds.map((id) => [id, 'cleared', 6]),
  )
  const formula = formulaOf([[await candyId(service, first), 1]])
  const coats = [0, 2, 3, 4, 6]
  const { cells } = await service.call('film.predictTable', { formula, grounds, coats })
  expect(cells.map(({ coats: count, ground }) => [count, ground])).toEqual(
    coats.flatMap((count) => grounds.map((ground) => [count, ground])),
  )
  for (const { ground, coats: count, prediction, sprayed } of cells) {
    // bare strips of both candies' panels are the same ground
    expect(sprayed).toHaveLength(count === 0 ? 2 : count === 2 || count === 4 ? 1 : 0)
    for (const cell of sprayed) expect(cell.lab).toEqual(truth(ground, first, count))
    const off = differenceCiede2000(prediction!.lab, truth(ground, first, count))
    // the world obeys other laws than the model: three bounds are far beyond chance
    expect(off).toBeLessThan(3 * prediction!.bound90)
    expect(prediction!.nextPanel90).toBeGreaterThan(prediction!.bound90)
    expect(prediction!.outside.extent > 0).toBe(count === 6)
    expect(prediction!.outside.words.join()).toMatch(count === 6 ? /no more than 4 coats/ : /^$/)
  }
  const between = cells.find(({ coats: count }) => count === 3)!
  const beyond = cells.find(({ coats: count }) => count === 6)!
  expect(beyond.prediction!.bound90).toBeGreaterThan(between.prediction!.bound90)
})

test('the same cup written in other figures is the same recipe; another carrier, finish or blend is not', async () => {
  const service = await benchService()
  await hangShop(service)
  const id = await candyId(service, candies[0]!)
  const other = await candyId(service, candies[1]!)
  const count = async (formula: ReturnType<typeof formulaOf>) => {
    const recipe = { formula, ground: grounds[0]!, coats: 4 }
    return (await service.call('film.predict', { recipe })).sprayed.length
  }
  expect(await count(formulaOf([[id, 3]]))).toBe(1)
  // 1 : 5 with 16⅔ % on top is 1/7 of the cup again
  expect(await count(formulaOf([[id, 1]], { carrierParts: 5, reducerPercent: 100 / 6 }))).toBe(1)
  expect(await count(formulaOf([[id, 1]], { carrierParts: 7 }))).toBe(0)
  expect(await count(formulaOf([[id, 1]], { finish: 'uncleared' }))).toBe(0)
  expect(
    await count(
      formulaOf([
        [id, 1],
        [other, 1],
      ]),
    ),
  ).toBe(0)
})

test('one recipe in full rests on the panels that show it', async () => {
  const service = await benchService()
  const panels = await hangShop(service)
  const formula = formulaOf([[await candyId(service, candies[0]!), 1]])
  const recipe = { formula, ground: grounds[0]!, coats: 3 }
  const { restsOn, sprayed } = await service.call('film.predict', { recipe })
  expect(sprayed).toEqual([])
  expect(restsOn[0]?.panelId).toBe(panels[0])
  expect(restsOn.map(({ weight }) => weight)).toEqual(restsOn.map(({ weight }) => weight).toSorted((a, b) => b - a))
})

test('what is on the rack and was never read is said so; what is not on it is unknown', async () => {
  const service = await benchService()
  await hangShop(service)
  const { panel } = await service.call('panels.get', { key: 'P-0001' })
  const layers = panel.layers.map((each) => (each.kind === 'ground' ? { ...each, name: 'unread ground' } : each))
  const again = { ...panel, id: null, code: null, layers, steps: panel.steps.map((step) => ({ ...step, id: null })) }
  await service.call('panels.save', { draft: again })
  const formula = formulaOf([[await candyId(service, candies[0]!), 1]])
  const ask = (ground: string, with_ = formula) =>
    service.refusal('film.predict', { recipe: { formula: with_, ground, coats: 2 } })
  expect(await ask('unread ground')).toMatchObject({
    code: 'film/unknown-ground',
    message: expect.stringContaining('read yet'),
  })
  expect((await ask('no such ground')).code).toBe('film/unknown-ground')
  expect((await ask(grounds[0]!, formulaOf([['nobody', 1]]))).code).toBe('film/unknown-candy')
  expect((await ask(grounds[0]!, { ...formula, over: { id: 'no pearl', coats: 1 } })).code).toBe(
    'film/unknown-mid-coat',
  )
  expect((await ask(grounds[0]!, { ...formula, gunSetupId: 'no gun' })).code).toBe('film/unknown-gun')
  // a table leaves the cell empty instead
  const { cells } = await service.call('film.predictTable', { formula, grounds: ['unread ground'], coats: [2] })
  expect(cells).toMatchObject([{ prediction: null, sprayed: [{ code: 'P-0005', lab: null }] }])
  const { knows } = await service.call('film.describe', {})
  expect(knows.leftOut.map(({ code, why }) => [code, why])).toEqual(
    [0, 2, 4].map(() => ['P-0005', 'It has not been read yet.']),
  )
  expect(knows.grounds.find(({ id }) => id === 'unread ground')).toMatchObject({
    lab: null,
    bare: 'none',
    stepCount: 0,
  })
})

test('it is fitted again when readings or formulas change, and not when names do', async () => {
  const service = await benchService()
  const [panelId = ''] = await hangShop(service)
  const fits = async () => {
    const { knows } = await service.call('film.describe', {})
    const { revision } = await service.context
      .rack()
      .db.selectFrom('rack_info')
      .select('revision')
      .executeTakeFirstOrThrow()
    expect(knows.revision).toBe(revision)
    return service.context.film.fitCount()
  }
  expect(await fits()).toBe(1)
  expect(await fits()).toBe(1)
  const { panel } = await service.call('panels.get', { key: panelId })
  await service.call('panels.save', { draft: { ...panel, title: 'Renamed', tags: ['other'] } })
  await service.call('materials.setOnShelf', { materialIds: [await candyId(service, candies[0]!)], onShelf: false })
  expect(await fits()).toBe(1)
  const { knows } = await service.call('film.describe', {})
  expect(knows.candies.map(({ onShelf }) => onShelf)).toEqual([false, true])
  await read(service, panel.steps[1]?.id ?? '', { l: 50, a: 0, b: 0 })
  expect(await fits()).toBe(2)
  await service.call('history.undo', {})
  expect(await fits()).toBe(3)
  await service.call('panels.save', { draft: { ...panel, layers: panel.layers.slice(1) } })
  // no undercoat is said any more, which nothing else on the rack tells apart
  expect(await fits()).toBe(3)
  await service.call('panels.remove', { panelId })
  expect(await fits()).toBe(4)
})

test('a warm fit comes to what a cold one does', async () => {
  const service = await benchService()
  await hangShop(service)
  const formula = formulaOf([[await candyId(service, candies[0]!), 1]])
  const table = async () =>
    (await service.call('film.predictTable', { formula, grounds, coats: [1, 3, 5] })).cells.map(
      ({ prediction }) => prediction!,
    )
  await table()
  await hang(service, grounds[1]!, candies[0]!, [1, 5])
  const warm = await table()
  const { folder } = service.context.rack()
  await service.call('rack.close', {})
  await service.call('rack.open', { folder })
  const cold = await table()
  expect(service.context.film.fitCount()).toBe(1)
  for (const [i, { lab, bound90 }] of warm.entries()) {
    expect(differenceCiede2000(lab, cold[i]!.lab)).toBeLessThan(0.1)
    expect(bound90).toBeCloseTo(cold[i]!.bound90, 1)
  }
})
