import { expect, test } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { dyeLoad } from '../../shared-core/film/forward.ts'
import { type PlanRecipe, usualLimits } from '../../shared-core/records/film.ts'
import { draft } from '../rack/fresh.ts'
import { layer } from '../rack/layers-typed.ts'
import { labOf } from '../worlds/world.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { candies, candyId, grounds, hangShop, shop, truth } from './film-rack.ts'

const typed = {
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  bound90: 0.5,
  view: 'face',
  stage: 'cleared',
  lightId: null,
} as const

async function wanted(service: BenchService, lab: { l: number; a: number; b: number }, more = {}): Promise<string> {
  const { reference } = await service.call('references.addTyped', { ...typed, ...more, name: 'wanted', lab })
  return reference.readings[0]?.id ?? ''
}

/** What a suggested recipe really gives in the shop. */
async function reallyGives(service: BenchService, { formula, ground, coats }: PlanRecipe) {
  const names = new Map(await Promise.all(candies.map(async (name) => [await candyId(service, name), name] as const)))
  const parts = formula.candies.reduce((sum, candy) => sum + candy.parts, 0)
  return labOf(shop, {
    ground,
    under: null,
    over: null,
    coats,
    gun: null,
    finish: formula.finish,
    dyes: formula.candies.map((candy) => ({
      id: names.get(candy.id) ?? '',
      load: dyeLoad(coats, candy.parts / parts / (1 + formula.carrierParts)),
    })),
  })
}

test('what is suggested for a colour comes near it in truth, in whole parts and coats, on what is allowed', async () => {
  const service = await benchService()
  await hangShop(service)
  const goal = truth(grounds[0]!, candies[1]!, 3)
  const readingId = await wanted(service, goal)
  const ask = (limits = {}) =>
    service.call('film.suggest', { readingId, limits: { ...usualLimits, ...limits }, count: 5 })
  const { suggestions, nothingNear, considered } = await ask()
  expect(nothingNear).toBeNull()
  expect(considered).toBeGreaterThan(2)
  const [best] = suggestions
  // the world obeys other laws than the model: within three bounds of the difference that is promised
  const off = differenceCiede2000(goal, await reallyGives(service, best!.recipe))
  expect(off).toBeLessThan(best!.de00 + 3 * best!.differenceBound90)
  for (const { recipe, onShelf, words, why } of suggestions) {
    expect(onShelf).toBe(true)
    expect(words).not.toBe('')
    expect(why).not.toBe('')
    for (const figure of [
      recipe.coats,
      recipe.formula.carrierParts,
      ...recipe.formula.candies.map(({ parts }) => parts),
    ])
      expect(Number.isInteger(figure)).toBe(true)
  }
  const other = await ask({ grounds: [grounds[1]!] })
  expect(new Set(other.suggestions.map(({ recipe }) => recipe.ground))).toEqual(new Set([grounds[1]]))
  // a candy that is off the shelf is not suggested, unless it is asked for
  const ids = await Promise.all(candies.map((name) => candyId(service, name)))
  await service.call('materials.setOnShelf', { materialIds: [ids[1]!], onShelf: false })
  const used = ({ suggestions: all }: typeof other) =>
    new Set(all.flatMap(({ recipe }) => recipe.formula.candies.map(({ id }) => id)))
  expect(used(await ask()).has(ids[1]!)).toBe(false)
  const all = await ask({ onShelfOnly: false })
  expect(used(all).has(ids[1]!)).toBe(true)
  expect(all.suggestions.some(({ onShelf }) => !onShelf)).toBe(true)
  expect(used(await ask({ onShelfOnly: false, candies: [ids[0]!] }))).toEqual(new Set([ids[0]]))
})

test('a recipe that is on the rack says so, and one between two steps names their panel', async () => {
  const service = await benchService()
  await hangShop(service)
  const limits = { ...usualLimits, carrierFrom: 6, carrierTo: 6, maxCandies: 1, grounds: [grounds[0]!] }
  const why = async (coats: number) => {
    const readingId = await wanted(service, truth(grounds[0]!, candies[0]!, coats))
    const { suggestions } = await service.call('film.suggest', { readingId, limits, count: 1 })
    expect(suggestions[0]?.recipe.coats).toBe(coats)
    return suggestions[0]?.why
  }
  expect(await why(4)).toBe('It is on the rack: P-0001.')
  expect(await why(3)).toBe('Between 2 coats and 4 coats of P-0001.')
})

test('a colour that nothing here reaches is said to be so', async () => {
  const service = await benchService()
  await hangShop(service)
  const readingId = await wanted(service, { l: 60, a: 95, b: 80 })
  const { nothingNear, suggestions } = await service.call('film.suggest', { readingId, limits: usualLimits, count: 3 })
  expect(nothingNear).toEqual(expect.any(String))
  expect(suggestions.every(({ de00 }) => de00 > 2)).toBe(true)
})

test('a colour under another light is aimed at with more doubt', async () => {
  const service = await benchService()
  await hangShop(service)
  const goal = truth(grounds[0]!, candies[0]!, 3)
  const bound = async (more: object) => {
    const readingId = await wanted(service, goal, more)
    const { suggestions } = await service.call('film.suggest', { readingId, limits: usualLimits, count: 1 })
    return suggestions[0]!.differenceBound90
  }
  expect(await bound({ illuminant: 'F2' })).toBeGreaterThan((await bound({})) + 2)
})

test('nothing to work out from, an unknown ground and a reading that is gone are refused', async () => {
  const service = await benchService()
  await hangShop(service)
  const readingId = await wanted(service, { l: 50, a: 0, b: 0 })
  const code = async (more = {}, limits = {}) =>
    (await service.refusal('film.suggest', { readingId, count: 3, limits: { ...usualLimits, ...limits }, ...more }))
      .code
  expect(await code({}, { grounds: ['nowhere'] })).toBe('film/unknown-ground')
  expect(await code({}, { candies: ['nobody'] })).toBe('film/unknown-candy')
  expect(await code({}, { gunSetupId: 'none' })).toBe('film/unknown-gun')
  expect(await code({ readingId: 'gone' })).toBe('reading/absent')
  for (const key of ['P-0001', 'P-0002', 'P-0003', 'P-0004']) {
    const { panel } = await service.call('panels.get', { key })
    await service.call('panels.remove', { panelId: panel.id })
  }
  expect(await code()).toBe('film/knows-nothing')
  // bare grounds alone teach no candy
  const { panel } = await service.call('panels.save', {
    draft: draft({ layers: [layer('ground', grounds[0]!)], steps: [{ id: null, coats: 0, notes: '' }] }),
  })
  await service.call('readings.addTyped', { ...typed, stepId: panel.steps[0]?.id ?? '', lab: { l: 80, a: 0, b: 0 } })
  expect(await code()).toBe('film/knows-nothing')
})
