import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Random, randomFrom } from '../../electron/service/demonstration/random.ts'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import { recipeOfFormula } from '../../shared-core/film/formula.ts'
import { predictLab, predictRecipe, stateOf } from '../../shared-core/film/predict.ts'
import type { FilmRecipe } from '../../shared-core/film/recipe.ts'
import { midCoatsToTry } from '../../shared-core/film/suggest/mid-coats.ts'
import { labOver, newRoom, overGround } from '../../shared-core/film/suggest/over-ground.ts'
import { type SuggestOptions, suggest } from '../../shared-core/film/suggest.ts'
import { type Rack, rackOf } from '../worlds/rack.ts'
import { recipeOf } from '../worlds/recipes.ts'
import { invented, pickSome, stuff } from '../worlds/spectra.ts'
import { labOf } from '../worlds/world.ts'
import { single, usual, usualFit, usualRack } from './film-racks.ts'

const options: SuggestOptions = {
  grounds: null,
  candies: null,
  maxCandies: 3,
  maxParts: 12,
  maxCoats: 6,
  carrierFrom: 4,
  carrierTo: 12,
  reducerPercent: 0,
  hardenerPercent: 0,
  gun: null,
  count: 8,
}
const to = (lab: Lab) => ({ lab, noise: 0.3 })
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const mixedRack = rackOf('film-suggest/mixed', {
  ...usual,
  midCoats: 1,
  under: true,
  over: true,
  guns: true,
  bothFinishes: true,
})
const mixedFit = fitFilm(mixedRack.library)

/** A blend of two or three candies that a painter could mix and never sprayed. */
function unsprayed(random: Random, { world }: Rack): Lab {
  const candies = pickSome(random, [...world.candies.keys()], random.whole(2, 3))
  const recipe = recipeOf({
    ground: random.pick([...world.grounds.keys()]),
    candies: candies.map((id) => ({ id, parts: random.whole(1, 6) })),
    carrierParts: random.whole(4, 10),
    coats: random.whole(1, 6),
    gun: 'gun-1',
  })
  return labOf(world, recipe)
}

describe('a search', () => {
  it('works out the same colours as the model, with mid coats, guns and finishes, and moves as its slopes say', () => {
    const mid = fc.option(fc.record({ id: fc.constant('mid-1'), coats: number(0.5, 3) }))
    const room = newRoom()
    fc.assert(
      fc.property(
        fc.record({
          ground: fc.constantFrom('ground-1', 'ground-2'),
          under: mid,
          over: mid,
          gun: fc.constantFrom(null, 'gun-1', 'gun-2'),
          finish: fc.constantFrom('cleared' as const, 'uncleared' as const),
        }),
        fc.subarray(['candy-1', 'candy-2', 'candy-3'], { minLength: 1 }),
        fc.array(number(0.05, 4), { minLength: 3, maxLength: 3 }),
        (on, ids, amounts) => {
          const over = overGround(stateOf(mixedFit), on)!
          const spectra = ids.map((id) => mixedFit.absorbance.get(id)!)
          const at = (loads: readonly number[]): number[] => {
            labOver(over, spectra, Float64Array.from(loads), ids.length, room, true)
            return [...room.lab]
          }
          const found = at(amounts)
          const slopes = [...room.slopes]
          const dyes = ids.map((id, j) => ({ id, load: amounts[j]! }))
          const { l, a, b } = predictLab(mixedFit, { ...on, dyes, coats: 2 })!
          expect(found[0]).toBeCloseTo(l, 9)
          expect(found[1]).toBeCloseTo(a, 9)
          expect(found[2]).toBeCloseTo(b, 9)
          ids.forEach((_id, j) => {
            const moved = (by: number) => at(amounts.map((load, k) => (k === j ? load + by : load)))
            const [more, less] = [moved(1e-5), moved(-1e-5)]
            for (let c = 0; c < 3; c++) expect(slopes[3 * c + j]).toBeCloseTo((more[c]! - less[c]!) / 2e-5, 3)
          })
        },
      ),
      { numRuns: 60 },
    )
  })

  it.each([
    ['open or invented', stuff()],
    ['invented', invented],
  ])(
    'comes within 0.75 dE00 of colours that were never sprayed, at the median of true differences, absorbers %s',
    (_name, absorbers) => {
      const truly: number[] = []
      const nearest: number[] = []
      for (const seed of ['a', 'b', 'c', 'd', 'e', 'f']) {
        const rack = rackOf(`film-suggest/${seed}`, { ...usual, candies: 5, grounds: 4, absorbers })
        const fit = fitFilm(rack.library)
        const random = randomFrom(`film-suggest/${seed}/targets`)
        for (let k = 0; k < 10; k++) {
          const lab = unsprayed(random, rack)
          const [first] = suggest(fit, to(lab), options).suggestions
          truly.push(differenceCiede2000(lab, labOf(rack.world, first!.recipe)))
          nearest.push(Math.min(...rack.library.observations.map((seen) => differenceCiede2000(seen.lab, lab))))
        }
      }
      expect(quantile(nearest, 0.5)).toBeGreaterThan(3.5)
      expect(quantile(truly, 0.5)).toBeLessThan(0.75)
      expect(quantile(truly, 0.9)).toBeLessThan(2)
    },
  )

  it('takes one candy where one candy makes the colour', () => {
    const wanted = ['candy-1', 'candy-2', 'candy-3', 'candy-4'].flatMap((id) =>
      ['ground-1', 'ground-2'].flatMap((ground) => [2, 4].map((coats) => single(id, ground, coats))),
    )
    const simple = wanted.filter((recipe) => {
      const [first] = suggest(usualFit, to(predictLab(usualFit, recipe)!), options).suggestions
      return first!.recipe.dyes.length === 1 && first!.de00 < 0.5
    })
    expect(simple.length).toBeGreaterThanOrEqual(0.9 * wanted.length)
  })

  it('lays less in the cup for a gun that lays more', () => {
    const recipe = single('candy-1', 'ground-1', 3, { gun: 'gun-1' })
    const target = to(predictLab(mixedFit, recipe)!)
    const loadWith = (gun: string) => {
      const one = { ...options, gun, maxCandies: 1, candies: ['candy-1'], grounds: ['ground-1'] }
      const found = suggest(mixedFit, target, one).suggestions.find(({ recipe: { dyes } }) => dyes.length > 0)!
      expect(found.de00).toBeLessThan(1)
      return found.recipe.dyes[0]!.load * mixedFit.builds.get(gun)!
    }
    expect(Math.abs(Math.log(loadWith('gun-2') / loadWith('gun-1')))).toBeLessThan(0.12)
  })

  it('tries mid coats only when they are offered', () => {
    const recipe = single('candy-1', 'ground-1', 2, { over: { id: 'mid-1', coats: 2 } })
    const target = to(predictLab(mixedFit, recipe)!)
    const without = suggest(mixedFit, target, options)
    for (const { recipe: found } of without.suggestions) expect([found.under, found.over]).toEqual([null, null])
    const midCoats = [{ place: 'over' as const, id: 'mid-1', coats: 2 }]
    const withIt = suggest(mixedFit, target, { ...options, midCoats })
    expect(withIt.suggestions.some(({ recipe: { over } }) => over?.id === 'mid-1')).toBe(true)
    expect(withIt.considered).toBeGreaterThan(without.considered)
    expect(withIt.suggestions[0]!.rating).toBeLessThanOrEqual(without.suggestions[0]!.rating)
  })
})

describe('mid coats that a rack knows', () => {
  const offered = midCoatsToTry(mixedRack.library.observations)

  it('are offered where they were sprayed, the most used first', () => {
    const uses = ({ place, id }: (typeof offered)[number]) =>
      mixedRack.library.observations.filter((seen) => seen[place]?.id === id).length
    expect(offered.length).toBeGreaterThan(0)
    for (const one of offered)
      expect(
        mixedRack.library.observations.some((seen) => {
          const mid = seen[one.place]
          return mid?.id === one.id && mid.coats === one.coats
        }),
      ).toBe(true)
    expect(offered.map(uses)).toEqual(offered.map(uses).toSorted((a, b) => b - a))
    expect(midCoatsToTry(usualRack.library.observations)).toEqual([])
  })

  it('bring colours nearer that need one, in truth too, and are left out where they do not', () => {
    const met = ['a', 'b', 'c', 'd'].flatMap((seed) => {
      const rack = rackOf(`film-suggest/mids-${seed}`, { ...usual, midCoats: 1, under: true, over: true })
      const fit = fitFilm(rack.library)
      const known = midCoatsToTry(rack.library.observations)
      const random = randomFrom(`film-suggest/mids-${seed}/targets`)
      return Array.from({ length: 12 }, () => {
        const mid = random.pick(known)
        const more = { [mid.place]: { id: mid.id, coats: mid.coats } }
        const candy = random.pick([...rack.world.candies.keys()])
        const ground = random.pick([...rack.world.grounds.keys()])
        const lab = labOf(rack.world, single(candy, ground, random.whole(1, 4), more))
        const first = (midCoats: typeof known) => suggest(fit, to(lab), { ...options, midCoats }).suggestions[0]!.recipe
        const off = (recipe: FilmRecipe) => differenceCiede2000(lab, labOf(rack.world, recipe))
        const withIt = first(known)
        return { uses: withIt.under !== null || withIt.over !== null, nearer: off(first([])) - off(withIt) }
      })
    })
    const used = met.filter(({ uses }) => uses).map(({ nearer }) => nearer)
    expect(used.length).toBeGreaterThan(met.length / 6)
    expect(used.filter((by) => by > 0).length).toBeGreaterThanOrEqual(0.85 * used.length)
    expect(quantile(used, 0.5)).toBeGreaterThan(0.5)
    const plain = ['candy-1', 'candy-2', 'candy-3', 'candy-4'].map((id) => {
      const target = to(predictLab(mixedFit, single(id, 'ground-1', 3, { gun: 'gun-1' }))!)
      return suggest(mixedFit, target, { ...options, gun: 'gun-1', midCoats: offered }).suggestions[0]!.recipe
    })
    for (const { under, over } of plain) expect([under, over]).toEqual([null, null])
  })
})

describe('suggestions', () => {
  const targets = usualRack.questions.map(({ truth }) => truth)

  it('keep to the limits, whatever they are', () => {
    const limits = fc.record({
      grounds: fc.option(fc.subarray(['ground-1', 'ground-2', 'ground-3'])),
      candies: fc.option(fc.subarray(['candy-1', 'candy-2', 'candy-3', 'candy-4'])),
      maxCandies: fc.integer({ min: 1, max: 3 }),
      maxParts: fc.integer({ min: 1, max: 24 }),
      maxCoats: fc.integer({ min: 1, max: 12 }),
      carrierFrom: fc.integer({ min: 0, max: 10 }),
      carrierTo: fc.integer({ min: 10, max: 20 }),
      reducerPercent: fc.constantFrom(0, 10),
      hardenerPercent: fc.constantFrom(0, 25),
      count: fc.integer({ min: 1, max: 20 }),
    })
    fc.assert(
      fc.property(limits, fc.constantFrom(...targets), (given, lab) => {
        const found = suggest(usualFit, to(lab), { ...given, gun: null })
        expect(found.suggestions.length).toBeLessThanOrEqual(given.count)
        for (const { formula, coats, recipe, prediction, de00 } of found.suggestions) {
          expect(given.grounds ?? [...usualFit.grounds.keys()]).toContain(formula.ground)
          for (const { id, parts } of formula.candies) {
            expect(given.candies ?? [...usualFit.absorbance.keys()]).toContain(id)
            expect(Number.isInteger(parts) && parts >= 1 && parts <= given.maxParts).toBe(true)
          }
          expect(formula.candies.length).toBeLessThanOrEqual(given.maxCandies)
          expect(coats).toBeLessThanOrEqual(given.maxCoats)
          expect(Number.isInteger(coats)).toBe(true)
          expect(coats > 0).toBe(formula.candies.length > 0)
          expect(formula.carrierParts).toBeGreaterThanOrEqual(given.carrierFrom)
          expect(formula.carrierParts).toBeLessThanOrEqual(given.carrierTo)
          expect(recipe).toEqual(recipeOfFormula(formula, coats))
          expect(prediction).toEqual(predictRecipe(usualFit, recipe))
          expect(de00).toBe(differenceCiede2000(lab, prediction.lab))
        }
      }),
      { numRuns: 80 },
    )
  })

  it('are different ideas: no set of candies twice over one ground, and every ground that is nearly as good', () => {
    const rack = rackOf('film-suggest/grounds', { ...usual, candies: 5, grounds: 6 })
    const fit = fitFilm(rack.library)
    const wanted = rack.questions.slice(0, 16).map(({ truth }) => truth)
    let grounds = 0
    for (const lab of wanted) {
      const { suggestions } = suggest(fit, to(lab), options)
      const ideas = suggestions.map(({ formula: { ground, candies } }) =>
        [ground, ...candies.map(({ id }) => id).toSorted()].join(),
      )
      expect(new Set(ideas).size).toBe(ideas.length)
      const [first] = suggestions
      expect(first!.rating).toBe(Math.min(...suggestions.map(({ rating }) => rating)))
      for (const ground of fit.grounds.keys()) {
        const [best] = suggest(fit, to(lab), { ...options, grounds: [ground] }).suggestions
        // nearer than the handicap of a second idea over one ground, so that it comes before all of those
        if (best!.rating >= first!.rating + 0.15) continue
        grounds++
        expect(suggestions.map(({ formula }) => formula.ground)).toContain(ground)
      }
    }
    // some besides the first one's own
    expect(grounds).toBeGreaterThan(wanted.length)
  })

  it('are near where something is near, and as near as may be where nothing is', () => {
    const reached = targets
      .map((lab) => suggest(usualFit, to(lab), options))
      .filter(({ nothingNear }) => nothingNear === null)
    expect(reached.length).toBeGreaterThan(targets.length / 2)
    for (const { suggestions } of reached) {
      const each = suggestions.map(({ de00 }) => de00)
      expect(Math.max(...each)).toBeLessThanOrEqual(Math.min(...each) + 2.5)
    }
    const far = suggest(usualFit, to({ l: 60, a: -120, b: 80 }), options)
    expect(far.nothingNear).not.toBeNull()
    expect(far.suggestions.length).toBeGreaterThan(0)
  })

  it('do not depend on the order of candies and grounds', () => {
    const turned = {
      ...usualFit,
      absorbance: new Map([...usualFit.absorbance].toReversed()),
      grounds: new Map([...usualFit.grounds].toReversed()),
    }
    for (const lab of targets) {
      const [one, other] = [usualFit, turned].map((fit) => suggest(fit, to(lab), options).suggestions[0]!)
      expect(other!.rating).toBeCloseTo(one!.rating, 1)
    }
  })

  it('mean the same in parts that are scaled', () => {
    const { formula, coats, recipe } = suggest(usualFit, to(targets[0]!), options).suggestions[0]!
    const thrice = { ...formula, candies: formula.candies.map(({ id, parts }) => ({ id, parts: 3 * parts })) }
    const scaled = recipeOfFormula(thrice, coats)
    scaled.dyes.forEach(({ load }, j) => expect(load).toBeCloseTo(recipe.dyes[j]!.load, 12))
  })
})

describe('when nothing comes near', () => {
  const reason = (lab: Lab, more: Partial<SuggestOptions> = {}) =>
    suggest(usualFit, to(lab), { ...options, ...more }).nothingNear

  it('says nothing of it for what is within reach', () => {
    for (const recipe of [single('candy-1', 'ground-1', 3), single('candy-3', 'ground-2', 4)])
      expect(reason(predictLab(usualFit, recipe)!)).toBeNull()
  })

  it('says whether the colour is too dark, too bright, too colourful or of another hue', () => {
    const pale = { ...options, maxCoats: 1, carrierFrom: 12, maxCandies: 1 }
    expect(reason({ l: 2, a: 0, b: 0 }, pale)?.reason).toBe('too-dark-for-coats')
    expect(reason({ l: 99, a: 0, b: 0 })?.reason).toMatch(/^too-light/)
    const lab = predictLab(usualFit, single('candy-1', 'ground-1', 4))!
    const by = 130 / Math.hypot(lab.a, lab.b)
    expect(reason({ l: lab.l, a: by * lab.a, b: by * lab.b })?.reason).toMatch(/^too-colourful/)
    // the same lightness and chroma on the other side of the hue circle, with this candy only
    const opposite = reason({ l: lab.l, a: -lab.a, b: -lab.b }, { candies: ['candy-1'], grounds: ['ground-1'] })
    expect(opposite).not.toBeNull()
    expect(opposite?.reason).toMatch(/^(hue|too-colourful)/)
    for (const { words } of [reason({ l: 99, a: 0, b: 0 })!, opposite!]) expect(words.length).toBeGreaterThan(20)
  })

  it('says so when nothing of what is allowed was ever read', () => {
    expect(reason({ l: 50, a: 0, b: 0 }, { grounds: ['nowhere'] })?.reason).toBe('nothing-known')
    const empty = fitFilm({ observations: [], groundKinds: new Map(), scatterPerCoat: null })
    expect(suggest(empty, to({ l: 50, a: 0, b: 0 }), options)).toMatchObject({ suggestions: [], considered: 0 })
    expect(reason({ l: 5, a: 60, b: -60 }, { candies: ['nothing'] })?.reason).toBe('nothing-known')
  })
})
