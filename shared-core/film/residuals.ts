import { differenceCiede2000 } from '../colour/difference.ts'
import { differenceFrame } from '../colour/difference-frame.ts'
import type { Lab } from '../colour/lab.ts'
import { framed, lengthBound90 } from './doubt.ts'
import { type Compiled, compile, evaluate, newBench } from './evaluate.ts'
import type { FilmFit, FilmResidual } from './fitted.ts'
import { spreadOf, stateOf } from './predict.ts'
import { buildCovariance, meanLength, ownNoise } from './problem.ts'
import type { FilmObservation } from './recipe.ts'
import type { FilmState } from './unknowns.ts'

const bench = newBench()

/** What a fit leaves of each of its readings, in the order of the observations. */
export function residualsOf(fit: FilmFit, weights: ReadonlyMap<FilmObservation, number>): FilmResidual[] {
  const state = stateOf(fit)
  return fit.observations.map((observation) => {
    const compiled = compile(state, observation)
    if (!compiled) throw new RangeError(`A reading of something that the fit does not know: ${observation.id}`)
    return { ...residualOf(fit, state, observation, compiled), weight: weights.get(observation) ?? 1 }
  })
}

function residualOf(
  fit: FilmFit,
  state: FilmState,
  observation: FilmObservation,
  compiled: Compiled,
): Omit<FilmResidual, 'weight'> {
  const { id, lab: read, shared, dyes, coats } = observation
  evaluate(state, compiled, 1, bench, true)
  const expected: Lab = { l: bench.lab[0]!, a: bench.lab[1]!, b: bench.lab[2]! }
  const slope = { columns: compiled.columns, rows: bench.rows.slice(0, 3 * compiled.columns.length) }
  const perBuild = bench.perBuild.slice()
  const frame = differenceFrame(expected)
  const build = dyes.length > 0 ? buildCovariance(coats, coats, fit.scatterPerCoat) : 0
  const doubt = spreadOf(fit, slope).map(
    (value, at) => value + perBuild[Math.floor(at / 3)]! * perBuild[at % 3]! * build,
  )
  const allowed = framed(frame, doubt)
  const own = Math.hypot(ownNoise(observation), ...shared.map(({ noise }) => noise)) / meanLength
  for (let c = 0; c < 3; c++) allowed[4 * c]! += own ** 2
  const de00 = differenceCiede2000(read, expected)
  const best = dyes.length > 0 ? bestBuild(state, compiled, read) : { build: 1, leftOver: de00 }
  return { id, expected, de00, allowed90: lengthBound90(allowed), ...best }
}

/** The film build that explains a reading best, between a fifth and five times the formula's. */
function bestBuild(state: FilmState, compiled: Compiled, read: Lab): { build: number; leftOver: number } {
  const differenceAt = (build: number): number => {
    evaluate(state, compiled, build, bench, false)
    return differenceCiede2000(read, { l: bench.lab[0]!, a: bench.lab[1]!, b: bench.lab[2]! })
  }
  let best = 0
  let least = differenceAt(1)
  for (let log = -1.6; log <= 1.61; log += 0.1) {
    const difference = differenceAt(Math.exp(log))
    if (difference < least) [best, least] = [log, difference]
  }
  for (let step = 0.05; step > 0.002; step /= 2) {
    for (const log of [best - step, best + step]) {
      const difference = differenceAt(Math.exp(log))
      if (difference < least) [best, least] = [log, difference]
    }
  }
  return { build: Math.exp(best), leftOver: least }
}
