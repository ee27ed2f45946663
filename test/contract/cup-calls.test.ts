import * as fc from 'fast-check'
import { describe, expect, test, vi } from 'vitest'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import { draft, dump } from '../rack/fresh.ts'
import { layer } from '../rack/layers-typed.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { cupOf, emptyShop, fourToOne, shelfOf, shelve } from './bench-shop.ts'
import { candies, candyId, grounds, hang, hangShop, read } from './film-rack.ts'

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

  test('remembers which line was left as it was poured, until that is poured anew or taken back', async () => {
    const service = await emptyShop()
    const cup = await start(service, fourToOne, 210)
    const [first] = cup.lines
    const pour = async (poured: number | null, accepted?: boolean) => {
      const ask = { cupId: cup.id, lineId: first!.id, poured, batch: '' }
      const done = await service.call('cups.pour', accepted === undefined ? ask : { ...ask, accepted })
      return done.cup.lines[0]
    }
    const undo = async () => (await service.call('rack.describe', {})).rack?.undo
    expect(await pour(190)).toMatchObject({ poured: 190, accepted: false })
    expect(await undo()).toBe('pour clear carrier into cup C-0001')
    expect(await pour(190, true)).toMatchObject({ poured: 190, accepted: true })
    expect(await undo()).toBe('leave clear carrier as it is in cup C-0001')
    expect((await service.call('cups.get', { key: cup.id })).cup.lines[0]).toMatchObject({ accepted: true })
    await service.call('history.undo', {})
    expect((await service.call('cups.get', { key: cup.id })).cup.lines[0]).toMatchObject({ accepted: false })
    expect(await pour(195, true)).toMatchObject({ poured: 195, accepted: true })
    expect(await pour(180)).toMatchObject({ poured: 180, accepted: false })
    // what is not in the cup cannot be left in it
    expect(await pour(null, true)).toMatchObject({ poured: null, accepted: false })
  })

  test('counts its pot life from when hardener first went in, not from when it was written down', async () => {
    vi.useFakeTimers({ toFake: ['Date'], now: Date.parse('2031-05-14T09:00:00Z') })
    const at = (time: string) => vi.setSystemTime(Date.parse(`2031-05-14T${time}:00Z`))
    try {
      const service = await emptyShop()
      const part = (name: string, kind: 'clear' | 'hardener', amount: number) =>
        ({ amount, unit: 'parts', material: { id: null, name, kind }, mixture: null }) as const
      const mixture: Mixture = {
        name: '',
        basis: 'volume',
        parts: [part('clear', 'clear', 4), part('quick', 'hardener', 1), part('slow', 'hardener', 1)],
      }
      const cup = await start(service, mixture, 120)
      const lineOf = (name: string) => cup.lines.find((line) => line.name === name)!.id
      const pour = async (name: string, poured: number | null) =>
        (await service.call('cups.pour', { cupId: cup.id, lineId: lineOf(name), poured, batch: '' })).cup.hardenerAt
      expect(await pour('clear', 80)).toBeNull()
      at('09:10')
      expect(await pour('quick', 0)).toBeNull()
      expect(await pour('quick', 20)).toBe('2031-05-14T09:10:00.000Z')
      at('09:20')
      // another hardener, and the first read anew, do not make it younger
      expect(await pour('slow', 20)).toBe('2031-05-14T09:10:00.000Z')
      expect(await pour('quick', 21)).toBe('2031-05-14T09:10:00.000Z')
      expect(await pour('slow', null)).toBe('2031-05-14T09:10:00.000Z')
      expect(await pour('quick', null)).toBeNull()
      at('09:30')
      expect(await pour('quick', 20)).toBe('2031-05-14T09:30:00.000Z')
      at('09:45')
      const { cup: mixed } = await service.call('cups.finish', {
        cupId: cup.id,
        ...finish,
        standMin: 12,
        potLifeMin: 90,
      })
      expect(mixed).toMatchObject({
        mixedAt: '2031-05-14T09:45:00.000Z',
        standUntil: '2031-05-14T09:57:00.000Z',
        potLifeUntil: '2031-05-14T11:00:00.000Z',
      })
      await service.call('history.undo', {})
      await service.call('history.undo', {})
      expect((await service.call('cups.get', { key: cup.id })).cup.hardenerAt).toBeNull()
    } finally {
      vi.useRealTimers()
    }
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

const pours = fc.array(fc.option(fc.double({ min: 0, max: 2, noNaN: true }), { nil: null }), {
  minLength: 6,
  maxLength: 6,
})

test('undo restores shelf and cup exactly, whatever was mixed, poured or thrown away; redo does it again', async () => {
  const service = await emptyShop()
  const rack = service.context.rack()
  for (const name of ['ash', 'birch', 'cedar', 'elm'])
    await shelve(service, name, 'concentrate', { densityKgPerL: 1.07, onHand: { amount: 333.3, basis: 'volume' } })
  await shelve(service, 'dogwood', 'concentrate', { densityKgPerL: 0.93, onHand: { amount: 120.07, basis: 'mass' } })
  await shelve(service, 'thin', 'carrier', { densityKgPerL: 0.88, onHand: { amount: 12_345.6, basis: 'volume' } })
  const seen = new Set<string>()
  await fc.assert(
    fc.asyncProperty(
      mixtures,
      fc.integer({ min: 10, max: 900 }),
      fc.constantFrom('volume' as const, 'mass' as const),
      pours,
      fc.boolean(),
      async (mixture, ml, by, times, isKept) => {
        const cup = await start(service, mixture, ml, by)
        for (const [at, { id, wanted }] of cup.lines.entries()) {
          const share = times[at] ?? null
          if (share === null) continue
          await service.call('cups.pour', { cupId: cup.id, lineId: id, poured: wanted * share, batch: `B-${at}` })
        }
        const { lines } = (await service.call('cups.get', { key: cup.id })).cup
        const isPoured = lines.some(({ poured }) => poured !== null && poured > 0)
        if (isKept && !isPoured) return
        const before = await dump(rack)
        if (isKept) await service.call('cups.finish', { cupId: cup.id, ...finish, standMin: 12, potLifeMin: 90 })
        else await service.call('cups.throwAway', { cupId: cup.id })
        seen.add(`${isKept ? 'finished' : 'thrown away'}, ${isPoured ? 'poured' : 'empty'}`)
        const after = await dump(rack)
        expect(after).not.toBe(before)
        await service.call('history.undo', {})
        expect(await dump(rack)).toBe(before)
        await service.call('history.redo', {})
        expect(await dump(rack)).toBe(after)
      },
    ),
    { numRuns: 24, examples: [[fourToOne, 210, 'volume', [null, null, null, null, null, null], false]] },
  )
  expect([...seen].toSorted()).toEqual(['finished, poured', 'thrown away, empty', 'thrown away, poured'])
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

  test('is told in the direction of what was poured', async () => {
    const service = await benchService()
    await hangShop(service)
    const id = await candyId(service, candies[0]!)
    const over = grounds[0]!
    const between = async (mixture: Mixture, poured: Mixture) =>
      (await service.call('cups.predictChange', { mixture, poured, ground: over, coats: 4 })).words.toLowerCase()
    const [thin, strong] = [cupWith(candies[0]!, id, 1), cupWith(candies[0]!, id, 3)]
    expect(await between(thin, strong)).toContain('darker')
    expect(await between(strong, thin)).toContain('lighter')
  })

  test('is unknown where no candy was read yet, for a dye that nobody sprayed and with flake in the cup', async () => {
    const service = await emptyShop()
    const bare = { ...draft(), layers: [layer('ground', 'bare silver')], steps: [{ id: null, coats: 0, notes: '' }] }
    const { panel } = await service.call('panels.save', { draft: bare })
    const why = async (mixture: Mixture, ground: string) => {
      const answer = await service.call('cups.predictChange', { mixture, poured: mixture, ground, coats: 2 })
      expect(answer).toMatchObject({ de00: null, words: '' })
      return answer.why
    }
    expect(await why(cupWith('nobody sprayed it', null, 1), 'bare silver')).not.toBe('')
    await read(service, panel.steps[0]?.id ?? '', { l: 80, a: 0, b: 0 })
    expect(await why(cupWith('nobody sprayed it', null, 1), 'bare silver')).not.toBe('')
    for (const ground of grounds) await hang(service, ground, candies[0]!, [0, 2, 4])
    expect(await why(cupWith('nobody sprayed it', null, 1), grounds[0]!)).not.toBe('')
    const flaked: Mixture = {
      ...fourToOne,
      parts: [
        ...fourToOne.parts,
        { amount: 20, unit: 'grams-per-litre', material: { id: null, name: 'flake', kind: 'flake' }, mixture: null },
      ],
    }
    expect(await why(flaked, grounds[0]!)).toContain('flake')
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
