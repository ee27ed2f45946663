/** Slopes of the film model against differences of the model itself: what the fit descends along must be its slope. */
import * as fc from 'fast-check'
import { expect, it } from 'vitest'
import { compile, evaluate, newBench } from '../../shared-core/film/evaluate.ts'
import type { FilmObservation, FilmRecipe } from '../../shared-core/film/recipe.ts'
import { layOut, unpack } from '../../shared-core/film/unknowns.ts'

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const mid = fc.option(fc.record({ id: fc.constantFrom('pearl', 'haze'), coats: number(0.5, 3) }))
const recipes: fc.Arbitrary<FilmRecipe> = fc.record({
  ground: fc.constantFrom('silver', 'gold'),
  under: mid,
  over: mid,
  dyes: fc.array(fc.record({ id: fc.constantFrom('teal', 'plum', 'amber'), load: number(0.1, 6) }), { maxLength: 3 }),
  coats: number(1, 6),
  gun: fc.constantFrom(null, 'big', 'small'),
  finish: fc.constantFrom('cleared', 'uncleared'),
})

it('moves as its slopes say, with every unknown and with the build', () => {
  fc.assert(
    fc.property(
      recipes,
      fc.array(number(-1, 1), { minLength: 90, maxLength: 90 }),
      number(0.7, 1.4),
      (recipe, at, build) => {
        const every: FilmRecipe[] = [
          recipe,
          {
            ground: 'silver',
            under: { id: 'pearl', coats: 1 },
            over: { id: 'haze', coats: 1 },
            dyes: ['teal', 'plum', 'amber'].map((id) => ({ id, load: 1 })),
            coats: 1,
            gun: 'big',
            finish: 'cleared',
          },
          {
            ground: 'gold',
            under: null,
            over: null,
            dyes: [{ id: 'teal', load: 1 }],
            coats: 1,
            gun: 'small',
            finish: 'cleared',
          },
        ]
        const observations = every.map(
          (each, k): FilmObservation => ({
            ...each,
            id: `${k}`,
            panel: `${k}`,
            lab: { l: 50, a: 0, b: 0 },
            noise: 1,
            shared: [],
          }),
        )
        const { layout, usualGun } = layOut({ observations, groundKinds: new Map(), scatterPerCoat: null })
        const z = Float64Array.from({ length: layout.count }, (_value, k) => at[k % at.length]!)
        const labAt = (unknowns: Float64Array, factor: number): Float64Array => {
          const state = unpack(unknowns, layout, usualGun, new Map())
          const bench = newBench()
          evaluate(state, compile(state, recipe)!, factor, bench, false)
          return bench.lab
        }
        const state = unpack(z, layout, usualGun, new Map())
        const compiled = compile(state, recipe)!
        const bench = newBench()
        evaluate(state, compiled, build, bench, true)
        const step = 1e-4
        const seen = new Map<number, number[]>()
        compiled.columns.forEach((column, k) => {
          const sum = seen.get(column) ?? [0, 0, 0]
          // a candy that is named twice has its columns twice, and they add up
          for (let c = 0; c < 3; c++) sum[c]! += bench.rows[c * compiled.columns.length + k]!
          seen.set(column, sum)
        })
        for (const [column, slopes] of seen) {
          const [up, down] = [z.slice(), z.slice()]
          up[column]! += step
          down[column]! -= step
          const [high, low] = [labAt(up, build), labAt(down, build)]
          for (let c = 0; c < 3; c++) expect(slopes[c]).toBeCloseTo((high[c]! - low[c]!) / (2 * step), 4)
        }
        const [thick, thin] = [labAt(z, build * Math.exp(step)), labAt(z, build * Math.exp(-step))]
        for (let c = 0; c < 3; c++) expect(bench.perBuild[c]).toBeCloseTo((thick[c]! - thin[c]!) / (2 * step), 4)
      },
    ),
    { numRuns: 60 },
  )
})
