import { differenceFrame } from '../colour/difference-frame.ts'
import type { Lab } from '../colour/lab.ts'
import { framed, lengthBound90 } from './doubt.ts'
import { type Compiled, compile, evaluate, newBench } from './evaluate.ts'
import type { FilmFit, FilmSlope } from './fitted.ts'
import { buildCovariance, meanLength, mixingScatter, modelNoise, ownNoise } from './problem.ts'
import { type FilmPrediction, type FilmRecipe, filmKey } from './recipe.ts'
import { type FilmState, unpack } from './unknowns.ts'

/**
 * dE00, mean length, that a formula's colour is uncertain by however much was read: what the model cannot follow. Where the
 * same film was read over the same ground in other amounts, the readings have taken up most of it.
 */
const formulaNoise = 0.3
const formulaNoiseWhereRead = 0.2
export const formulaNoiseOf = ({ films }: FilmFit, recipe: FilmRecipe): number =>
  films.has(filmKey(recipe)) ? formulaNoiseWhereRead : formulaNoise

/** How far Beer and Lambert's law is trusted beyond what was sprayed: ln build per ln of load beyond the most. */
const lawDoubt = 0.08

const states = new WeakMap<FilmFit, FilmState>()
/** What a fit's unknowns come to; worked out once. */
export function stateOf(fit: FilmFit): FilmState {
  const kept = states.get(fit)
  if (kept) return kept
  const state = unpack(fit.unknowns, fit.layout, fit.usualGun, fit.beliefs)
  states.set(fit, state)
  return state
}

const bench = newBench()
const labOf = (values: Float64Array): Lab => ({ l: values[0]!, a: values[1]!, b: values[2]! })

/** The colour that a recipe gives, D50, 2°; null where the rack never saw the ground, a candy or a mid coat. */
export function predictLab(fit: FilmFit, recipe: FilmRecipe): Lab | null {
  const state = stateOf(fit)
  const compiled = compile(state, recipe)
  if (!compiled) return null
  evaluate(state, compiled, 1, bench, false)
  return labOf(bench.lab)
}

function evaluated(fit: FilmFit, recipe: FilmRecipe): Compiled | null {
  const state = stateOf(fit)
  const compiled = compile(state, recipe)
  if (compiled) evaluate(state, compiled, 1, bench, true)
  return compiled
}

/** How a recipe's colour moves with the unknowns of the fit and with the film build; null as `predictLab`. */
export function slopeOf(fit: FilmFit, recipe: FilmRecipe): FilmSlope | null {
  const compiled = evaluated(fit, recipe)
  if (!compiled) return null
  const { columns } = compiled
  return {
    lab: labOf(bench.lab),
    columns,
    rows: bench.rows.slice(0, 3 * columns.length),
    perBuild: [bench.perBuild[0]!, bench.perBuild[1]!, bench.perBuild[2]!],
  }
}

/** J Σ Jᵀ: covariance of L*, a*, b* from the doubt of the unknowns. */
export function spreadOf(fit: FilmFit, { columns, rows }: Pick<FilmSlope, 'columns' | 'rows'>): Float64Array {
  const width = columns.length
  const n = Math.round(Math.sqrt(fit.covariance.length))
  const result = new Float64Array(9)
  for (let k = 0; k < width; k++) {
    const from = columns[k]! * n
    let s0 = 0
    let s1 = 0
    let s2 = 0
    for (let l = 0; l < width; l++) {
      const value = fit.covariance[from + columns[l]!]!
      s0 += value * rows[l]!
      s1 += value * rows[width + l]!
      s2 += value * rows[2 * width + l]!
    }
    for (let c = 0; c < 3; c++) {
      const by = rows[c * width + k]!
      result[3 * c]! += by * s0
      result[3 * c + 1]! += by * s1
      result[3 * c + 2]! += by * s2
    }
  }
  return result
}

/** dE00 noise of equal size in all directions, as covariance in the dE00 frame, added to `covariance`. */
function withNoise(covariance: Float64Array, noise: number): Float64Array {
  const sum = covariance.slice()
  for (let c = 0; c < 3; c++) sum[4 * c]! += (noise / meanLength) ** 2
  return sum
}
function withBuild(covariance: Float64Array, perBuild: readonly number[], variance: number): Float64Array {
  return covariance.map((value, at) => value + perBuild[Math.floor(at / 3)]! * perBuild[at % 3]! * variance)
}

/** ln of how far the loads go beyond the most that was sprayed of each candy; 0 within. */
function beyond({ mostSprayed }: FilmFit, { dyes }: FilmRecipe): number {
  let most = 0
  for (const { id, load } of dyes) {
    const sprayed = mostSprayed.get(id)
    if (sprayed && load > sprayed) most = Math.max(most, Math.log(load / sprayed))
  }
  return most
}

/**
 * The colour of a recipe with its doubt.
 * @param recipe  any loads, coats, blend and mid coats of things that the fit knows
 * @returns       Lab D50, 2°; null where the rack never saw the ground, a candy or a mid coat
 */
export function predictRecipe(fit: FilmFit, recipe: FilmRecipe): FilmPrediction | null {
  const slope = slopeOf(fit, recipe)
  if (!slope) return null
  const frame = differenceFrame(slope.lab)
  const doubt = Math.hypot(mixingScatter, lawDoubt * beyond(fit, recipe))
  const covariance = withBuild(spreadOf(fit, slope), slope.perBuild, doubt ** 2)
  const noise = formulaNoiseOf(fit, recipe)
  const formula = withNoise(framed(frame, covariance), noise)
  const spread = recipe.dyes.length > 0 ? buildCovariance(recipe.coats, recipe.coats, fit.scatterPerCoat) : 0
  const next = framed(frame, withBuild(covariance, slope.perBuild, spread))
  return {
    lab: slope.lab,
    covariance,
    noise,
    bound90: lengthBound90(formula),
    nextPanel90: lengthBound90(withNoise(next, Math.hypot(noise, fit.usualNoise, modelNoise))),
  }
}

/**
 * 90 % bound in dE00 of the difference between a prediction and a colour that is itself in doubt.
 * @param noise  mean length in dE00 of that colour's error
 */
export function differenceBound90(prediction: FilmPrediction, noise: number): number {
  return lengthBound90(
    withNoise(framed(differenceFrame(prediction.lab), prediction.covariance), Math.hypot(prediction.noise, noise)),
  )
}

/**
 * The readings that a prediction rests on, the weightiest first.
 * @returns  observations by id with their share (they add up to 1 over all): how much of the prediction's certainty each
 *           reading gives, from the covariance between what it shows and what is predicted
 */
export function restsOn(fit: FilmFit, recipe: FilmRecipe, count: number): { id: string; weight: number }[] {
  const slope = slopeOf(fit, recipe)
  if (!slope) return []
  const n = Math.round(Math.sqrt(fit.covariance.length))
  const frame = differenceFrame(slope.lab)
  // Σ Jᵀ of what is predicted, in the dE00 frame: three columns over all unknowns
  const pulled = new Float64Array(3 * n)
  const width = slope.columns.length
  for (let k = 0; k < width; k++) {
    const from = slope.columns[k]! * n
    const [r0, r1, r2] = [slope.rows[k]!, slope.rows[width + k]!, slope.rows[2 * width + k]!]
    for (let c = 0; c < 3; c++) {
      const by = frame[3 * c]! * r0 + frame[3 * c + 1]! * r1 + frame[3 * c + 2]! * r2
      if (by !== 0) for (let l = 0; l < n; l++) pulled[c * n + l]! += by * fit.covariance[from + l]!
    }
  }
  const shares: { id: string; weight: number }[] = []
  let total = 0
  fit.observations.forEach((observation, index) => {
    const own = slopeOf(fit, observation)
    if (!own) return
    const ownFrame = differenceFrame(own.lab)
    const mine = own.columns.length
    const variance = (ownNoise(observation) / meanLength) ** 2 / (fit.residuals[index]?.weight ?? 1)
    let sum = 0
    for (let c = 0; c < 3; c++) {
      for (let d = 0; d < 3; d++) {
        let value = 0
        for (let k = 0; k < mine; k++) {
          const by =
            ownFrame[3 * d]! * own.rows[k]! +
            ownFrame[3 * d + 1]! * own.rows[mine + k]! +
            ownFrame[3 * d + 2]! * own.rows[2 * mine + k]!
          value += pulled[c * n + own.columns[k]!]! * by
        }
        sum += value ** 2
      }
    }
    const weight = sum / variance
    total += weight
    shares.push({ id: observation.id, weight })
  })
  return shares
    .map(({ id, weight }) => ({ id, weight: total > 0 ? weight / total : 0 }))
    .toSorted((a, b) => b.weight - a.weight)
    .slice(0, count)
}
