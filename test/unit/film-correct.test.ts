/**
 * Corrections after a check panel, in simulated shops: paints known as spectra (open data where it is there, see
 * test/worlds/spectra.ts), batches that differ in strength by 8 % (common practice, no source), coats that scatter.
 */
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../electron/service/demonstration/random.ts'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { differenceFrame } from '../../shared-core/colour/difference-frame.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { changesAround, changesInWords } from '../../shared-core/film/correct/changes.ts'
import { type CorrectOptions, correctRecipe } from '../../shared-core/film/correct/correct.ts'
import { learnFrom } from '../../shared-core/film/correct/learn.ts'
import { surenessOf } from '../../shared-core/film/correct/sure.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import { type FilmFormula, recipeOfFormula } from '../../shared-core/film/formula.ts'
import { predictLab, slopeOf } from '../../shared-core/film/predict.ts'
import type { FilmObservation, FilmRecipe } from '../../shared-core/film/recipe.ts'
import { misread } from '../worlds/readings.ts'
import { pickSome } from '../worlds/spectra.ts'
import { labOf } from '../worlds/world.ts'
import { usualFit, usualRack } from './film-racks.ts'

const { world, library } = usualRack
const grounds = [...world.grounds.keys()]
const candies = [...world.candies.keys()]
const options: CorrectOptions = { onSprayed: false, adds: candies, count: 5 }

const formulaOn = (ground: string, of: readonly { id: string; parts: number }[], carrierParts = 6): FilmFormula => ({
  ground,
  candies: of,
  carrierParts,
  reducerPercent: 0,
  hardenerPercent: 0,
  under: null,
  over: null,
  gun: 'gun-1',
  finish: 'cleared',
})

/** A job whose formula is right for the rack's usual material; today's is `build` times as strong. */
type Job = { formula: FilmFormula; coats: number; target: Lab; build: number; scatter: number }

/** @param off  dE00 by which the reference is another colour than the formula gives */
function jobOf(seed: number, off = 0.8): Job {
  const random = randomFrom(`film-correct/${seed}`)
  const of = pickSome(random, candies, random.whole(1, 2)).map((id) => ({ id, parts: random.whole(1, 4) }))
  const formula = formulaOn(random.pick(grounds), of, random.whole(5, 8))
  const coats = random.whole(2, 5)
  // the reference is that colour, give or take what a painter's eye lets pass
  const target = misread(random, labOf(world, recipeOfFormula(formula, coats)), off)
  const build = Math.exp(0.08 * random.normal())
  return { formula, coats, target, build, scatter: Math.exp((0.08 / Math.sqrt(coats)) * random.normal()) }
}

/** What a recipe comes to with today's material, sprayed as usual. */
const todays = (recipe: FilmRecipe, { build }: Job, scatter = 1): Lab =>
  labOf(world, recipe, { build: build * scatter, raw: 1 })

function corrected(seed: number, readings: { own: number; shared: number }, off = 0.8) {
  const job = jobOf(seed, off)
  const random = randomFrom(`film-correct/${seed}/reading`)
  const recipe = recipeOfFormula(job.formula, job.coats)
  const sprayed = todays(recipe, job, job.scatter)
  // one photo: what it gets wrong is the same for the check panel and the reference
  const wrong = misread(random, { l: 0, a: 0, b: 0 }, readings.shared)
  const seen = (lab: Lab): Lab => {
    const own = misread(random, lab, readings.own)
    return { l: own.l + wrong.l, a: own.a + wrong.a, b: own.b + wrong.b }
  }
  const [read, target] = [seen(sprayed), seen(job.target)]
  const check: FilmObservation = {
    ...recipe,
    id: 'check',
    panel: 'check',
    lab: read,
    noise: readings.own,
    shared: readings.shared > 0 ? [{ by: 'photo of the check', noise: readings.shared }] : [],
  }
  const fit = fitFilm({ ...library, observations: [...library.observations, check] }, usualFit)
  const found = correctRecipe(
    fit,
    { formula: job.formula, coats: job.coats, lab: read, noise: readings.own, shared: readings.shared },
    { lab: target, noise: readings.own },
    options,
  )
  const before = differenceCiede2000(todays(recipe, job), job.target)
  const [best] = found?.corrections ?? []
  const after = best ? differenceCiede2000(todays(recipeOfFormula(best.formula, best.coats), job), job.target) : before
  return { job, found, best, before, after }
}

describe('a correction', () => {
  it.each([
    { name: 'an instrument', own: 0.3, shared: 0 },
    { name: 'a phone, check panel and reference in one photo', own: 0.6, shared: 2.4 },
  ])('brings the next panel nearer, read by $name', ({ own, shared }) => {
    const jobs = Array.from({ length: 60 }, (_, seed) => corrected(seed, { own, shared }))
    const off = jobs.filter(({ before }) => before > 1)
    const median = (of: readonly number[]) => quantile(of, 0.5)
    const before = median(off.map((job) => job.before))
    const after = median(off.map((job) => job.after))
    expect(off.length).toBeGreaterThan(15)
    expect(after).toBeLessThan(0.7 * before)
    // what was right is left alone, or hardly touched
    const right = jobs.filter((job) => job.before <= 1)
    expect(median(right.map((job) => job.after - job.before))).toBeLessThan(0.3)
  })

  it('that is sure hardly ever makes it worse', () => {
    const jobs = Array.from({ length: 90 }, (_, seed) => corrected(seed, { own: 0.3, shared: 0 }, 2.5))
    const called = jobs.filter(({ best }) => best?.isSure)
    expect(called.length).toBeGreaterThan(25)
    const worse = called.filter(({ before, after }) => after > before)
    // sure in nine cases of ten, with room for the luck of so few
    expect(worse.length / called.length).toBeLessThan(0.15)
    const median = (of: readonly number[]) => quantile(of, 0.5)
    expect(median(called.map(({ after }) => after))).toBeLessThan(0.7 * median(called.map(({ before }) => before)))
  })

  it('states a bound that holds for what today’s material gives', () => {
    const jobs = Array.from({ length: 60 }, (_, seed) => corrected(seed, { own: 0.6, shared: 0 }))
    const said = jobs.flatMap(({ best, job }) => {
      if (!best) return []
      const truth = todays(recipeOfFormula(best.formula, best.coats), job)
      return [differenceCiede2000(best.prediction.lab, truth) <= best.bound90]
    })
    expect(said.length).toBeGreaterThan(20)
    expect(said.filter(Boolean).length / said.length).toBeGreaterThan(0.85)
  })

  it('on a sprayed part is more coats of the same cup, or nothing', () => {
    for (let seed = 0; seed < 20; seed++) {
      const { formula, coats, target } = jobOf(seed)
      const check = { formula, coats, lab: labOf(world, recipeOfFormula(formula, coats)), noise: 0.5, shared: 0 }
      const found = correctRecipe(usualFit, check, { lab: target, noise: 0.5 }, { ...options, onSprayed: true })
      for (const { changes, formula: same, coats: count } of found?.corrections ?? []) {
        expect(changes).toHaveLength(1)
        expect(changes[0]).toMatchObject({ what: 'coats' })
        expect(count).toBeGreaterThan(coats)
        expect(same).toEqual(formula)
      }
    }
  })

  it('is not offered where the fit does not know the recipe', () => {
    const formula = formulaOn('never seen', [{ id: candies[0]!, parts: 1 }])
    const lab = { l: 40, a: 20, b: 10 }
    expect(
      correctRecipe(usualFit, { formula, coats: 3, lab, noise: 1, shared: 0 }, { lab, noise: 1 }, options),
    ).toBeNull()
  })
})

describe('what a check panel teaches of the day', () => {
  const formula = formulaOn(grounds[0]!, [{ id: candies[0]!, parts: 1 }])
  const recipe = recipeOfFormula(formula, 4)
  const stronger = (by: number): FilmRecipe => ({
    ...recipe,
    dyes: recipe.dyes.map(({ id, load }) => ({ id, load: load * by })),
  })
  const read = (by: number) => ({ lab: predictLab(usualFit, stronger(by))!, noise: 0.2, shared: 0 })

  it('is its strength, taken at a part of what the panel shows: the rest is the scatter of its coats', () => {
    const strong = learnFrom(usualFit, recipe, read(1.1))!
    const weak = learnFrom(usualFit, recipe, read(0.9))!
    const same = learnFrom(usualFit, recipe, read(1))!
    expect(same.build).toBeCloseTo(0, 6)
    expect(strong.build).toBeGreaterThan(0.02)
    expect(strong.build).toBeLessThan(Math.log(1.1))
    expect(weak.build).toBeLessThan(-0.02)
    expect(weak.build).toBeGreaterThan(Math.log(0.9))
    expect(strong.buildVariance).toBeLessThan(0.08 ** 2)
  })

  it('is believed less, the worse it was read', () => {
    const builds = [0.2, 1, 3].map((noise) => learnFrom(usualFit, recipe, { ...read(1.1), noise })!.build)
    expect(builds[1]).toBeLessThan(builds[0]!)
    expect(builds[2]).toBeLessThan(builds[1]!)
  })

  it('is an error that check panel and reference share, where they share one', () => {
    const { lab } = read(1)
    const off = { l: lab.l + 2, a: lab.a - 1.5, b: lab.b + 1.5 }
    const apart = learnFrom(usualFit, recipe, { lab: off, noise: 0.5, shared: 0 })!
    const shared = learnFrom(usualFit, recipe, { lab: off, noise: 0.5, shared: 2.5 })!
    expect(Math.hypot(apart.shift.l, apart.shift.a, apart.shift.b)).toBe(0)
    expect(shared.shift.l).toBeGreaterThan(0)
    expect(shared.shift.l).toBeLessThan(2)
    expect(Math.abs(shared.build)).toBeLessThan(Math.abs(apart.build))
  })
})

describe('how sure it is that one recipe comes nearer than another', () => {
  const formula = formulaOn(grounds[0]!, [{ id: candies[0]!, parts: 1 }])
  const [thin, thick] = [2, 3].map((coats) => slopeOf(usualFit, recipeOfFormula(formula, coats))!)
  const sure = (kept: typeof thin, changed: typeof thin, lab: Lab, noise: number) =>
    surenessOf(usualFit, kept!, changed!, { lab, noise }, 0.001)
  const { lab: aim } = thick!

  it('is the same the other way round, and nothing of a recipe beside itself', () => {
    expect(sure(thin, thick, aim, 1)).toBeGreaterThan(1)
    expect(sure(thick, thin, aim, 1)).toBeCloseTo(-sure(thin, thick, aim, 1), 9)
    expect(sure(thin, thin, aim, 1)).toBe(0)
  })

  it('is less, the less is known of the aim', () => {
    const said = [0.5, 2, 8].map((noise) => sure(thin, thick, aim, noise))
    expect(said).toEqual(said.toSorted((a, b) => b - a))
    expect(said[2]).toBeGreaterThan(0)
  })

  it('is as many standard deviations as throwing dice says', () => {
    // errors of the aim alone, large beside what the model does not know; middle between the two, a third of the way over
    const noise = 12
    const between = (share: number): Lab => ({
      l: thin!.lab.l + share * (thick!.lab.l - thin!.lab.l),
      a: thin!.lab.a + share * (thick!.lab.a - thin!.lab.a),
      b: thin!.lab.b + share * (thick!.lab.b - thin!.lab.b),
    })
    for (const share of [0.5, 0.8, 1.5]) {
      const lab = between(share)
      const frame = differenceFrame(lab)
      const inFrame = (at: Lab) =>
        [0, 3, 6].map(
          (row) => frame[row]! * (at.l - lab.l) + frame[row + 1]! * (at.a - lab.a) + frame[row + 2]! * (at.b - lab.b),
        )
      const [from, to] = [inFrame(thin!.lab), inFrame(thick!.lab)]
      const random = randomFrom(`dice ${share}`)
      let nearer = 0
      const throws = 20_000
      for (let i = 0; i < throws; i++) {
        const error = [0, 1, 2].map(() => (random.normal() * noise) / Math.sqrt(8 / Math.PI))
        const far = (d: readonly number[]) => d.reduce((sum, value, k) => sum + (value + error[k]!) ** 2, 0)
        if (far(to) < far(from)) nearer++
      }
      const z = sure(thin, thick, lab, noise)
      // the normal distribution to 1e-3 by Abramowitz and Stegun 26.2.17, from memory; dice to 0.4 %
      const t = 1 / (1 + 0.2316419 * Math.abs(z))
      const tail =
        (Math.exp(-(z ** 2) / 2) / Math.sqrt(2 * Math.PI)) *
        (0.31938153 * t - 0.356563782 * t ** 2 + 1.781477937 * t ** 3 - 1.821255978 * t ** 4 + 1.330274429 * t ** 5)
      expect(nearer / throws).toBeCloseTo(z > 0 ? 1 - tail : tail, 1.5)
    }
  })
})

describe('changes', () => {
  const formula = formulaOn('gold', [
    { id: 'damson', parts: 3 },
    { id: 'fern', parts: 0.5 },
  ])

  it('leave the painter with parts and coats that there are', () => {
    for (const { formula: cup, coats, changes } of changesAround(formula, 2, { onSprayed: false, adds: ['quince'] })) {
      expect(coats).toBeGreaterThanOrEqual(1)
      expect(cup.candies.length).toBeGreaterThan(0)
      for (const { parts } of cup.candies) expect(parts).toBeGreaterThan(0)
      expect(cup.carrierParts).toBeGreaterThan(0)
      expect(changes.length).toBeLessThanOrEqual(2)
    }
  })

  it('are said as a painter would', () => {
    const nameOf = (id: string) => id.charAt(0).toUpperCase() + id.slice(1)
    const say = (changes: Parameters<typeof changesInWords>[0]) => changesInWords(changes, nameOf)
    expect(say([{ what: 'coats', by: 1 }])).toBe('One more coat')
    expect(say([{ what: 'coats', by: -2 }])).toBe('Two coats less')
    expect(say([{ what: 'candy', id: 'violet', by: -0.5, isNew: false }])).toBe(
      'Half a part less Violet in the next cup',
    )
    expect(
      say([
        { what: 'coats', by: 1 },
        { what: 'candy', id: 'fern', by: 0.5, isNew: true },
      ]),
    ).toBe('One more coat, half a part of Fern added in the next cup')
    expect(say([{ what: 'carrier', by: 1 }])).toBe('One part more carrier in the next cup')
    expect(say([])).toBe('')
  })
})
