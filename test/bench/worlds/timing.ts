import { EigenvalueDecomposition, Matrix } from 'ml-matrix'
import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import { fitFilm } from '../../../shared-core/film/fit.ts'
import { suggest } from '../../../shared-core/film/suggest.ts'
import { type Rack, rackOf } from '../../worlds/rack.ts'
import { labOf } from '../../worlds/world.ts'
import { suggestOptions } from './suggest.ts'

/** The shortest of several runs, in milliseconds: what else the machine does only adds. */
export function shortestMs(runs: number, work: () => void): number {
  let best = Number.POSITIVE_INFINITY
  for (let i = 0; i < runs; i++) {
    const start = performance.now()
    work()
    best = Math.min(best, performance.now() - start)
  }
  return best
}

/** The yardstick: eigenvalues and vectors of a symmetric 200 × 200 matrix by ml-matrix. */
function yardstickMs(): number {
  const random = randomFrom('yardstick')
  const half = Array.from({ length: 200 }, () => Array.from({ length: 200 }, () => random.normal()))
  const symmetric = new Matrix(half.map((row, i) => row.map((value, j) => value + half[j]![i]!)))
  return shortestMs(7, () => new EigenvalueDecomposition(symmetric, { assumeSymmetric: true }))
}

const bigRack = (seed: string): Rack =>
  rackOf(`${seed}/big`, {
    candies: 12,
    grounds: 8,
    midCoats: 1,
    under: true,
    noise: 1,
    scatterPerCoat: 0.08,
    panels: 500,
  })

/** A rack of 500 panels, 12 candies, 8 grounds: how long things take, and how often the yardstick fits into it. */
export function reportBig(seed: string): void {
  const rack = bigRack(seed)
  const { library } = rack
  const yardstick = yardstickMs()
  console.log(
    `\nbig: ${library.observations.length} readings, 12 candies, 8 grounds; yardstick ${yardstick.toFixed(0)} ms`,
  )
  const say = (what: string, ms: number) =>
    console.log(`  ${what.padEnd(40)} ${ms.toFixed(0).padStart(5)} ms, ${(ms / yardstick).toFixed(2)} yardsticks`)
  const fit = fitFilm(library)
  say(
    'fit from nothing',
    shortestMs(3, () => fitFilm(library)),
  )
  const before = fitFilm({ ...library, observations: library.observations.slice(0, -1) })
  say(
    'fit again after one new reading',
    shortestMs(3, () => fitFilm(library, before)),
  )
  const target = { lab: labOf(rack.world, rack.questions[0]!.recipe), noise: 0 }
  const { considered } = suggest(fit, target, suggestOptions)
  say(
    `search over all grounds, ${considered} sets of candies`,
    shortestMs(5, () => suggest(fit, target, suggestOptions)),
  )
}
