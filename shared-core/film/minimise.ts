import { factorise, inverseFactored, solveFactored } from './cholesky.ts'
import { compile, evaluate, newBench } from './evaluate.ts'
import { assemble, type Problem, residualOf, type System, weigh } from './normal-equations.ts'
import type { Block } from './problem.ts'
import type { FilmObservation } from './recipe.ts'
import { type FilmState, unpack } from './unknowns.ts'

/**
 * The most likely unknowns by Levenberg–Marquardt; every unknown is standard normal before anything was read. The local
 * unknowns of a block are eliminated (Schur complement), so that the system has the rack's unknowns only.
 */

/** ½ uᵀ P u */
function priorCost({ size, precision, local }: Block): number {
  let sum = 0
  for (let i = 0; i < size; i++) {
    let row = 0
    for (let j = 0; j < size; j++) row += precision[i * size + j]! * local[j]!
    sum += local[i]! * row
  }
  return sum / 2
}

const bench = newBench()
const residual = new Float64Array(3)
/** Logs of spectra: a longer step of one unknown leaves where the slopes hold. */
const longestStep = 1.8
/** ln of one reading's film build moves so far in one step at most. */
const longestBuildStep = 0.3

/** What the readings and the priors cost together. */
function costOf(problem: Problem, z: Float64Array, state: FilmState, robust: boolean): number {
  let cost = 0
  for (let k = 0; k < problem.count; k++) cost += z[k]! ** 2 / 2
  for (const block of problem.blocks) {
    cost += priorCost(block)
    block.items.forEach((item, i) => {
      const compiled = compile(state, item.observation)
      if (!compiled) return
      evaluate(state, compiled, Math.exp(block.local[i]!), bench, false)
      residualOf(item, z, block, i, bench, residual)
      cost += weigh((residual[0]! ** 2 + residual[1]! ** 2 + residual[2]! ** 2) / item.sigma ** 2, robust).cost
    })
  }
  return cost
}

export type Minimised = { z: Float64Array; steps: number; converged: boolean; cost: number }

/**
 * @param start     changed in place, as the local unknowns of the blocks are
 * @param isActive  which unknowns are solved for; the others stay
 */
export function minimise(
  problem: Problem,
  start: Float64Array,
  {
    isActive,
    steps: mostSteps,
    robust,
    tolerance,
  }: { isActive: (k: number) => boolean; steps: number; robust: boolean; tolerance: number },
): Minimised {
  const active = new Int32Array(problem.count).fill(-1)
  let activeCount = 0
  for (let k = 0; k < problem.count; k++) if (isActive(k)) active[k] = activeCount++
  const z = start
  let state = unpack(z, problem.layout, problem.usualGun, problem.beliefs)
  let cost = costOf(problem, z, state, robust)
  let damping = 1e-3
  let steps = 0
  for (; steps < mostSteps; steps++) {
    const system = assemble(problem, z, state, robust, active, activeCount)
    let better = false
    for (let attempt = 0; attempt < 8; attempt++) {
      const step = stepOf(system, activeCount, damping)
      const tried = step && tryStep(problem, z, step, system, active, robust, cost)
      if (tried) {
        const gain = cost - tried.cost
        state = tried.state
        cost = tried.cost
        damping = Math.max(1e-6, damping / 5)
        better = true
        if (gain < tolerance * (1 + cost)) return { z, steps: steps + 1, converged: true, cost }
        break
      }
      damping = Math.max(damping * 6, 1e-3)
    }
    if (!better) return { z, steps, converged: true, cost }
  }
  return { z, steps, converged: false, cost }
}

function stepOf({ hessian, gradient }: System, n: number, damping: number): Float64Array | null {
  const factor = hessian.slice()
  for (let i = 0; i < n; i++) factor[i * n + i]! *= 1 + damping
  if (!factorise(factor, n)) return null
  const step = gradient.map((value) => -value)
  solveFactored(factor, n, step)
  const longest = step.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  return longest > longestStep ? step.map((value) => (value * longestStep) / longest) : step
}

/** Takes the step, or leaves everything as it was when it does not pay. */
function tryStep(
  problem: Problem,
  z: Float64Array,
  step: Float64Array,
  system: System,
  active: Int32Array,
  robust: boolean,
  costBefore: number,
): { state: FilmState; cost: number } | null {
  const before = { z: z.slice(), local: problem.blocks.map((block) => block.local.slice()) }
  for (let k = 0; k < problem.count; k++) if (active[k]! >= 0) z[k]! += step[active[k]!]!
  problem.blocks.forEach((block, b) => {
    const { columns, factor, gradient, cross } = system.eliminated[b]!
    const wanted = gradient.slice()
    for (let i = 0; i < block.size; i++)
      for (let k = 0; k < columns.length; k++) wanted[i]! += cross[i * columns.length + k]! * step[columns[k]!]!
    solveFactored(factor, block.size, wanted)
    for (let i = 0; i < block.size; i++) {
      const limit = i < block.items.length ? longestBuildStep : Number.POSITIVE_INFINITY
      block.local[i]! -= Math.min(limit, Math.max(-limit, wanted[i]!))
    }
  })
  const state = unpack(z, problem.layout, problem.usualGun, problem.beliefs)
  const cost = costOf(problem, z, state, robust)
  if (cost < costBefore) return { state, cost }
  z.set(before.z)
  problem.blocks.forEach((block, b) => {
    block.local.set(before.local[b]!)
  })
  return null
}

/** Posterior covariance of all unknowns at the solution. */
export function covarianceAt(problem: Problem, z: Float64Array, robust: boolean): Float64Array {
  const all = Int32Array.from({ length: problem.count }, (_value, k) => k)
  const state = unpack(z, problem.layout, problem.usualGun, problem.beliefs)
  const { hessian } = assemble(problem, z, state, robust, all, problem.count)
  if (!factorise(hessian, problem.count)) throw new RangeError('The unknowns of this rack have no covariance.')
  return inverseFactored(hessian, problem.count)
}

/** How much each reading counts at the solution, 0 to 1. */
export function weightsAt(problem: Problem, z: Float64Array): Map<FilmObservation, number> {
  const state = unpack(z, problem.layout, problem.usualGun, problem.beliefs)
  const weights = new Map<FilmObservation, number>()
  for (const block of problem.blocks) {
    block.items.forEach((item, i) => {
      const compiled = compile(state, item.observation)
      if (!compiled) return
      evaluate(state, compiled, Math.exp(block.local[i]!), bench, false)
      residualOf(item, z, block, i, bench, residual)
      const squared = (residual[0]! ** 2 + residual[1]! ** 2 + residual[2]! ** 2) / item.sigma ** 2
      weights.set(item.observation, weigh(squared, true).weight)
    })
  }
  return weights
}
