import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { cupOf, emptyShop, fourToOne, shelfOf, shelve } from './bench-shop.ts'
import { candies, candyId, grounds, hangShop } from './film-rack.ts'

const start = async (service: BenchService, mixture: Mixture, ml: number, by: 'volume' | 'mass' = 'volume') =>
  (await service.call('cups.start', cupOf(mixture, ml, by))).cups[0]!
const materials = async (service: BenchService) => (await service.call('materials.list', {})).materials
const onHand = async (service: BenchService) =>
  Object.fromEntries((await materials(service)).map(({ name, onHand: there }) => [name, there?.amount ?? null]))
const pourAll = async (service: BenchService, cup: Awaited<ReturnType<typeof start>>, times = 1) => {
  for (const { id, wanted } of cup.lines)
    await service.call('cups.pour', { cupId: cup.id, lineId: id, poured: wanted * times, batch: '' })
}
const finish = { mixedBy: 'Wren', standMin: null, potLifeMin: null, notes: '' }

describe('a cup', () => {
  test('of 210 mL of 4 : 1 in 6 : 1 is 24 + 6 + 180 mL (common practice, no source)', async () => {
    const service = await emptyShop()
    await shelfOf(service)
    const cup = await start(service, fourToOne, 210)
    expect(cup.code).toBe('C-0001')
    expect(Object.fromEntries(cup.lines.map(({ name, wanted }) => [name, wanted]))).toEqual({
      'clear carrier': 180,
      copper: 24,
      crimson: 6,
    })
    expect(cup.lines.map(({ name }) => name)).toEqual(['clear carrier', 'copper', 'crimson'])
  })

  test('that is finished comes off the shelf as it was poured, and its clocks run', async () => {
    const service = await emptyShop()
    await shelfOf(service)
    const cup = await start(service, fourToOne, 210)
    await pourAll(service, cup)
    const { cup: mixed, short } = await service.call('cups.finish', {
      cupId: cup.id,
      ...finish,
      standMin: 12,
      potLifeMin: 90,
    })
    expect(short).toEqual([])
    expect(mixed.status).toBe('mixed')
    expect(await onHand(service)).toEqual({ 'clear carrier': 820, copper: 76, crimson: 94 })
    const minutes = (until: string | null) => (Date.parse(until ?? '') - Date.parse(mixed.mixedAt ?? '')) / 60_000
    expect(minutes(mixed.standUntil)).toBeCloseTo(12, 1)
    expect(minutes(mixed.potLifeUntil)).toBeCloseTo(90, 1)
    expect((await service.call('rack.describe', {})).rack?.undo).toBe('mix cup C-0001')
    const { moves } = await service.call('shelf.history', { materialId: mixed.lines[1]!.materialId })
    expect(moves[0]).toMatchObject({ amount: -24, why: 'poured', cupId: cup.id })
  })

  test('measured by mass comes off what was counted by volume, through the density', async () => {
    const service = await emptyShop()
    await shelfOf(service)
    const cup = await start(service, fourToOne, 210, 'mass')
    // by hand: 24 mL × 0.95, 6 mL × 0.9, 180 mL × 0.96
    expect(Object.fromEntries(cup.lines.map(({ name, wanted }) => [name, wanted]))).toEqual({
      'clear carrier': 172.8,
      copper: expect.closeTo(22.8, 9),
      crimson: expect.closeTo(5.4, 9),
    })
    await pourAll(service, cup)
    await service.call('cups.finish', { cupId: cup.id, ...finish })
    expect(await onHand(service)).toEqual({ 'clear carrier': 820, copper: 76, crimson: 94 })
  })

  test('says what the shelf could not give: used up, or counted otherwise without a density', async () => {
    const service = await emptyShop()
    await shelve(service, 'copper', 'concentrate', { onHand: { amount: 10, basis: 'volume' } })
    await shelve(service, 'crimson', 'concentrate', { onHand: { amount: 50, basis: 'mass' } })
    const cup = await start(service, fourToOne, 210)
    await pourAll(service, cup)
    const { short } = await service.call('cups.finish', { cupId: cup.id, ...finish })
    expect(short).toHaveLength(2)
    expect(short.find((words) => words.includes('copper'))).toContain('used up')
    expect(short.find((words) => words.includes('crimson'))).toContain('density')
    // nobody counted the carrier: that is no trouble
    expect(await onHand(service)).toEqual({ 'clear carrier': null, copper: 0, crimson: 50 })
    expect((await materials(service)).find(({ name }) => name === 'copper')?.onShelf).toBe(false)
  })

  test('is poured line by line, and what was poured can be taken back', async () => {
    const service = await emptyShop()
    const cup = await start(service, fourToOne, 210)
    const [first] = cup.lines
    const pour = (poured: number | null) =>
      service.call('cups.pour', { cupId: cup.id, lineId: first!.id, poured, batch: 'B-7' })
    expect((await pour(190)).cup.lines[0]).toMatchObject({ poured: 190, batch: 'B-7' })
    expect((await pour(null)).cup.lines[0]).toMatchObject({ poured: null })
    expect(await service.refusal('cups.finish', { cupId: cup.id, ...finish })).toMatchObject({ code: 'cup/not-poured' })
    expect(
      await service.refusal('cups.pour', { cupId: cup.id, lineId: 'nowhere', poured: 1, batch: '' }),
    ).toMatchObject({ code: 'cup/line-absent' })
    expect(await service.refusal('cups.get', { key: 'C-0099' })).toMatchObject({ code: 'cup/absent' })
  })

  test('of which nothing was poured goes when thrown away; another stays, and what it took stays off', async () => {
    const service = await emptyShop()
    await shelfOf(service)
    const empty = await start(service, fourToOne, 210)
    await service.call('cups.throwAway', { cupId: empty.id })
    expect(await service.refusal('cups.get', { key: empty.id })).toMatchObject({ code: 'cup/absent' })
    const cup = await start(service, fourToOne, 210)
    expect(cup.code).toBe('C-0002')
    await pourAll(service, cup)
    await service.call('cups.throwAway', { cupId: cup.id })
    expect((await service.call('cups.get', { key: 'C-0002' })).cup.status).toBe('thrown-away')
    expect(await onHand(service)).toEqual({ 'clear carrier': 820, copper: 76, crimson: 94 })
    expect(await service.refusal('cups.finish', { cupId: cup.id, ...finish })).toMatchObject({ code: 'cup/finished' })
  })

  test('whose making was undone does not give its code to another', async () => {
    const service = await emptyShop()
    await start(service, fourToOne, 100)
    await service.call('history.undo', {})
    expect((await start(service, fourToOne, 100)).code).toBe('C-0002')
    const { cups } = await service.call('cups.start', { ...cupOf(fourToOne, 100), count: 3 })
    expect(cups.map(({ code, title }) => [code, title])).toEqual([
      ['C-0003', 'Tank (1 of 3)'],
      ['C-0004', 'Tank (2 of 3)'],
      ['C-0005', 'Tank (3 of 3)'],
    ])
  })

  test('is refused for a panel or job that is not there, and without a needed density', async () => {
    const service = await emptyShop()
    const refusedWith = async (more: object) =>
      (await service.refusal('cups.start', { ...cupOf(fourToOne, 100), ...more })).code
    expect(await refusedWith({ panelId: 'nobody' })).toBe('panel/absent')
    expect(await refusedWith({ customerJobId: 'nobody' })).toBe('customer-job/absent')
    expect(await refusedWith({ measure: { by: 'mass', step: 0.1, dropMl: null } })).toBe('mix/no-density')
    expect(await materials(service)).toEqual([])
  })
})

const amount = fc.integer({ min: 1, max: 40 })
/** Nested blends of a few materials, as deep as a painter's. */
const mixtures: fc.Arbitrary<Mixture> = fc
  .record({
    names: fc.uniqueArray(fc.constantFrom('ash', 'birch', 'cedar', 'dogwood', 'elm'), { minLength: 2, maxLength: 5 }),
    amounts: fc.array(amount, { minLength: 5, maxLength: 5 }),
    carrier: amount,
  })
  .map(({ names, amounts, carrier }) => ({
    name: '',
    basis: 'volume',
    parts: [
      {
        amount: 1,
        unit: 'parts',
        material: null,
        mixture: {
          name: 'blend',
          basis: 'volume',
          parts: names.map((name, i) => ({
            amount: amounts[i]!,
            unit: 'parts',
            material: { id: null, name, kind: 'concentrate' },
            mixture: null,
          })),
        },
      },
      { amount: carrier, unit: 'parts', material: { id: null, name: 'thin', kind: 'carrier' }, mixture: null },
    ],
  }))

test('undo restores shelf and cup exactly, whatever was mixed and poured; redo does it again', async () => {
  const service = await emptyShop()
  for (const name of ['ash', 'birch', 'cedar'])
    await shelve(service, name, 'concentrate', { onHand: { amount: 333.3, basis: 'volume' } })
  await shelve(service, 'dogwood', 'concentrate', { densityKgPerL: 0.93, onHand: { amount: 120.07, basis: 'mass' } })
  await shelve(service, 'thin', 'carrier', { onHand: { amount: 12_345.6, basis: 'volume' } })
  const state = async (cupId: string) => ({
    shelf: await materials(service),
    cup: (await service.call('cups.get', { key: cupId })).cup,
  })
  await fc.assert(
    fc.asyncProperty(
      mixtures,
      fc.integer({ min: 10, max: 900 }),
      fc.double({ min: 0.2, max: 2, noNaN: true }),
      async (mixture, ml, times) => {
        const cup = await start(service, mixture, ml)
        await pourAll(service, cup, times)
        const before = await state(cup.id)
        await service.call('cups.finish', { cupId: cup.id, ...finish })
        const after = await state(cup.id)
        expect(after).not.toEqual(before)
        await service.call('history.undo', {})
        expect(await state(cup.id)).toEqual(before)
        await service.call('history.redo', {})
        expect(await state(cup.id)).toEqual(after)
      },
    ),
    { numRuns: 12 },
  )
})

describe('what a wrong cup does to the colour', () => {
  const cupWith = (candy: string, id: string | null, parts: number): Mixture => ({
    name: '',
    basis: 'volume',
    parts: [
      { amount: parts, unit: 'parts', material: { id, name: candy, kind: 'concentrate' }, mixture: null },
      { amount: 6, unit: 'parts', material: { id: null, name: 'thin carrier', kind: 'carrier' }, mixture: null },
    ],
  })

  test('is nothing for the same cup, more for more candy, and said to be unknown where it is', async () => {
    const service = await benchService()
    await hangShop(service)
    const id = await candyId(service, candies[0]!)
    const [ground] = grounds
    const change = async (poured: number, over = ground!) =>
      service.call('cups.predictChange', {
        mixture: cupWith(candies[0]!, id, 1),
        poured: cupWith(candies[0]!, id, poured),
        ground: over,
        coats: 4,
      })
    expect((await change(1)).de00).toBeCloseTo(0, 9)
    const [little, much] = [await change(1.05), await change(1.5)]
    expect(little.de00).toBeGreaterThan(0)
    expect(much.de00).toBeGreaterThan(little.de00!)
    expect(much.words).not.toBe('')
    expect(await change(1, 'a ground that nobody sprayed')).toMatchObject({
      de00: null,
      why: expect.stringContaining('reading over'),
    })
  })

  test('a recipe of the model becomes a cup with the carrier that is usual here', async () => {
    const service = await benchService()
    await hangShop(service)
    const id = await candyId(service, candies[0]!)
    const formula = {
      candies: [{ id, parts: 1 }],
      carrierParts: 5,
      reducerPercent: 0,
      hardenerPercent: 0,
      under: null,
      over: null,
      gunSetupId: null,
      finish: 'cleared' as const,
    }
    const { mixture, ground, coats } = await service.call('cups.mixtureOf', {
      recipe: { formula, ground: grounds[0]!, coats: 3 },
    })
    expect([ground, coats]).toEqual([grounds[0], 3])
    expect(mixture.parts.map(({ amount: parts, material }) => [parts, material?.name])).toEqual([
      [1, candies[0]],
      [5, 'thin carrier'],
    ])
  })
})
