import { compile, evaluate, newBench } from './evaluate.ts'
import type { FilmFit, FilmLayout } from './fitted.ts'
import { covarianceAt, minimise, weightsAt } from './minimise.ts'
import type { Problem } from './normal-equations.ts'
import { candyBasis, groundBasis, groundSpread } from './priors.ts'
import { type Block, blocksOf, buildCovariance, type Item, setScatter } from './problem.ts'
import { type FilmLibrary, type FilmObservation, filmKey } from './recipe.ts'
import { residualsOf } from './residuals.ts'
import { type GroundBelief, layOut, midCoatWidth, unpack } from './unknowns.ts'

/** Scatter of one coat by hand before a rack told: 8 to 15 % (common practice, no source). */
const usualScatter = 0.1
const scatterRange = [0.04, 0.3] as const

/** Chroma and kind of the grounds, from their bare readings. */
function groundBeliefs({ observations, groundKinds }: FilmLibrary): Map<string, GroundBelief> {
  const chroma = new Map<string, number[]>()
  for (const { ground, dyes, under, over, lab } of observations) {
    const list = chroma.get(ground) ?? []
    chroma.set(ground, list)
    if (dyes.length === 0 && !under && !over) list.push(Math.hypot(lab.a, lab.b))
  }
  return new Map(
    [...chroma].map(([ground, read]) => [
      ground,
      { spread: groundSpread(medianOf(read)), kind: groundKinds.get(ground) ?? 'unknown' },
    ]),
  )
}

function medianOf(values: readonly number[]): number | null {
  const sorted = values.toSorted((a, b) => a - b)
  return sorted[sorted.length >> 1] ?? null
}

/**
 * Fits candies, grounds, mid coats and gun set-ups to all readings of a rack together: maximum a posteriori.
 * @param library  readings in any order; what names nothing known twice is its own; an empty one gives an empty fit
 * @param start    an earlier fit of nearly the same rack: starts from there
 * @returns        plain data; the same for the same readings in whatever order
 * @throws         never on finite readings, however absurd: those lose weight (Student's t) and show in `residuals`
 * Source of the mathematics: see `forward.ts`, `minimise.ts`.
 */
export function fitFilm(library: FilmLibrary, start?: FilmFit): FilmFit {
  const { layout, usualGun } = layOut(library)
  const { blocks, wideCount } = blocksOf(library.observations, layout.count)
  const count = layout.count + 3 * wideCount
  const problem: Problem = { layout, usualGun, beliefs: groundBeliefs(library), blocks, count }
  let scatter = library.scatterPerCoat ?? start?.scatterPerCoat ?? usualScatter
  for (const block of blocks) setScatter(block, scatter)
  const z = new Float64Array(count)
  if (!(start && carryOver(z, layout, start))) startFrom(problem, z)
  const all = () => true
  minimise(problem, z, { isActive: all, steps: start ? 0 : 3, robust: false, tolerance: 1e-3 })
  let found = minimise(problem, z, { isActive: all, steps: 30, robust: true, tolerance: 1e-5 })
  if (library.scatterPerCoat === null && library.observations.length > 0) {
    for (let round = 0; round < 3; round++) {
      scatter = scatterOf(problem, z, scatter)
      for (const block of blocks) setScatter(block, scatter)
      found = minimise(problem, z, { isActive: all, steps: 15, robust: true, tolerance: 1e-5 })
    }
  }
  const covariance = covarianceAt(problem, z, true)
  const state = unpack(z, layout, usualGun, problem.beliefs)
  const fit: FilmFit = {
    absorbance: new Map([...state.candies].map(([id, { absorbance }]) => [id, absorbance])),
    grounds: new Map([...state.grounds].map(([id, { reflectance, trapped }]) => [id, { reflectance, trapped }])),
    builds: new Map([...state.guns].map(([id, { build }]) => [id, build])),
    usualGun,
    midCoats: new Set(layout.midCoats.keys()),
    scatterPerCoat: scatter,
    mostSprayed: mostSprayed(library.observations),
    unknowns: z,
    covariance,
    layout,
    beliefs: problem.beliefs,
    observations: library.observations,
    residuals: [],
    films: new Set(library.observations.map(filmKey)),
    ownNoise: medianOf(library.observations.map(({ noise }) => noise)) ?? 1,
    usualNoise: medianOf(library.observations.map(wholeNoise)) ?? 1,
    steps: found.steps,
    converged: found.converged,
  }
  return { ...fit, residuals: residualsOf(fit, weightsAt(problem, z)) }
}

const wholeNoise = ({ noise, shared }: FilmObservation): number =>
  Math.hypot(noise, ...shared.map((each) => each.noise))

function mostSprayed(observations: readonly FilmObservation[]): Map<string, number> {
  const most = new Map<string, number>()
  for (const { dyes } of observations) for (const { id, load } of dyes) most.set(id, Math.max(most.get(id) ?? 0, load))
  return most
}

/** The unknowns of an earlier fit, thing by thing. @returns false where it knows too little to start from */
function carryOver(z: Float64Array, layout: FilmLayout, start: FilmFit): boolean {
  let carried = 0
  const copy = (to: ReadonlyMap<string, number>, from: ReadonlyMap<string, number>, each: number) => {
    for (const [id, column] of to) {
      const before = from.get(id)
      if (before === undefined) continue
      carried++
      for (let k = 0; k < each; k++) z[column + k] = start.unknowns[before + k]!
    }
  }
  copy(layout.candies, start.layout.candies, candyBasis.count)
  const known = carried
  copy(layout.grounds, start.layout.grounds, groundBasis(1).count)
  copy(layout.traps, start.layout.traps, 1)
  copy(layout.midCoats, start.layout.midCoats, midCoatWidth)
  copy(layout.guns, start.layout.guns, 1)
  for (let k = 0; k < 3; k++) z[layout.rack + k] = start.unknowns[start.layout.rack + k]!
  return known === layout.candies.size && known > 0
}
/** First the grounds from their bare readings, then each candy alone from the panels that show nothing else. */
function startFrom(problem: Problem, z: Float64Array): void {
  const { layout, blocks } = problem
  const within = (from: number, count: number) => (k: number) => k >= from && k < from + count
  const only = (test: (observation: FilmObservation) => boolean): Block[] =>
    blocksOf(
      blocks.flatMap(({ items }) => items.map(({ observation }) => observation)).filter(test),
      layout.count,
    ).blocks.map((block) => {
      setScatter(block, usualScatter)
      return block
    })
  const solve = (own: Block[], isActive: (k: number) => boolean) => {
    if (own.length === 0) return
    minimise({ ...problem, blocks: own }, z, { isActive, steps: 12, robust: false, tolerance: 1e-3 })
  }
  for (const [id, column] of layout.grounds) {
    const isBare = ({ ground, dyes, under, over }: FilmObservation) =>
      ground === id && dyes.length === 0 && !under && !over
    solve(only(isBare), within(column, groundBasis(1).count))
  }
  for (const [id, column] of layout.candies) {
    const isAlone = ({ dyes, under, over }: FilmObservation) =>
      dyes.length > 0 && dyes.every((dye) => dye.id === id) && !under && !over
    solve(only(isAlone), within(column, candyBasis.count))
  }
}

/** Scatter per coat that the builds ask for, held to what hands do. */
function scatterOf(problem: Problem, z: Float64Array, before: number): number {
  const bench = newBench()
  const state = unpack(z, problem.layout, problem.usualGun, problem.beliefs)
  // one step of EM on δ² per reading, with a log-normal belief around the usual as good as six readings
  let sum = 6 * usualScatter ** 2
  let total = 6
  for (const block of problem.blocks) {
    block.items.forEach((item, i) => {
      const compiled = compile(state, item.observation)
      const { coats, dyes } = item.observation
      if (!compiled || dyes.length === 0 || coats <= 0) return
      evaluate(state, compiled, Math.exp(block.local[i]!), bench, true)
      const told = squaredBuildSlope(item, bench.perBuild) / item.sigma ** 2
      const prior = buildCovariance(coats, coats, before)
      const share = (before ** 2 / coats / prior) ** 2
      const after = 1 / (1 / prior + told)
      // the coats' part of δ and its variance, brought back to one coat
      const mean = (block.local[i]! ** 2 + after) * share + (before ** 2 / coats) * (1 - before ** 2 / coats / prior)
      const informed = 1 - after / prior
      sum += informed * mean * coats
      total += informed
    })
  }
  const wanted = Math.sqrt(sum / total)
  return Math.min(scatterRange[1], Math.max(scatterRange[0], wanted))
}

function squaredBuildSlope({ frame }: Item, perBuild: Float64Array): number {
  let sum = 0
  for (let c = 0; c < 3; c++) {
    const value = frame[3 * c]! * perBuild[0]! + frame[3 * c + 1]! * perBuild[1]! + frame[3 * c + 2]! * perBuild[2]!
    sum += value ** 2
  }
  return sum
}
