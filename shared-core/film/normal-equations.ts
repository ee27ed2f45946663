import { factorise } from './cholesky.ts'
import { type Bench, compile, evaluate, newBench } from './evaluate.ts'
import type { FilmLayout } from './fitted.ts'
import type { Block, Item } from './problem.ts'
import type { FilmState, GroundBelief } from './unknowns.ts'

/** Normal equations of a rack: what the readings say of the unknowns around where they are now. */

export type Problem = {
  layout: FilmLayout
  usualGun: string | null
  beliefs: ReadonlyMap<string, GroundBelief>
  blocks: readonly Block[]
  /** All unknowns of the rack, those of wide errors last. */
  count: number
}

/** One reading in forty is misread (common practice, no source), and then lies about five times as far off, or anywhere. */
const misreadShare = 1 / 40
const misreadSpread = 5
/** How freely misread ones scatter: degrees of freedom of Student's t. Far out a reading pulls at nothing any more. */
const misreadFreedom = 3
const misreadSquare = misreadFreedom * misreadSpread ** 2
/** Density of that t in three dimensions at its centre against the normal's: Γ(3) / Γ(3/2) · (2/3)^(3/2) for 3 degrees. */
const misreadPeak = ((2 / (Math.sqrt(Math.PI) / 2)) * (2 / 3) ** 1.5) / misreadSpread ** 3
const misreadOdds = Math.log((misreadShare / (1 - misreadShare)) * misreadPeak)

type Weighed = { cost: number; weight: number }
/**
 * What a residual costs, and how much its reading counts, from its squared length in units of σ. Robust: a mixture of good
 * and misread ones (contaminated normal, Tukey 1960, the misread ones by Student's t), so that good readings keep their
 * full weight and absurd ones have none.
 */
export function weigh(squared: number, robust: boolean): Weighed {
  if (!robust) return { cost: squared / 2, weight: 1 }
  const power = misreadFreedom + 3
  const logOdds = misreadOdds - (power / 2) * Math.log1p(squared / misreadSquare) + squared / 2
  const misread = 1 / (1 + Math.exp(-logOdds))
  // ln(1 + e^x), where e^x may overflow
  const told = logOdds > 30 ? logOdds : Math.log1p(Math.exp(logOdds))
  return { cost: squared / 2 - told, weight: 1 - misread * (1 - power / (misreadSquare + squared)) }
}
/** Residual of one item in dE00, frame L, C, H, into `r`. */
export function residualOf(
  item: Item,
  z: Float64Array,
  block: Block,
  index: number,
  bench: Bench,
  r: Float64Array,
): void {
  const { frame, read } = item
  const d0 = bench.lab[0]! - read[0]!
  const d1 = bench.lab[1]! - read[1]!
  const d2 = bench.lab[2]! - read[2]!
  for (let c = 0; c < 3; c++) r[c] = frame[3 * c]! * d0 + frame[3 * c + 1]! * d1 + frame[3 * c + 2]! * d2
  const m = block.items.length
  block.photos.forEach(({ members }, k) => {
    if (members[index]) for (let c = 0; c < 3; c++) r[c]! += block.local[m + 3 * k + c]!
  })
  for (const { column, sigma } of item.wide) for (let c = 0; c < 3; c++) r[c]! += sigma * z[column + c]!
}

const bench = newBench()
const residual = new Float64Array(3)

/** What eliminating a block's local unknowns leaves to do: du = −H⁻¹ (g + Hz dz). */
type Eliminated = { columns: Int32Array; factor: Float64Array; gradient: Float64Array; cross: Float64Array }

export type System = { hessian: Float64Array; gradient: Float64Array; eliminated: Eliminated[] }

/**
 * Normal equations of the rack's unknowns, local ones eliminated.
 * @param active  the place of each unknown among those that are solved for, or −1
 */
export function assemble(
  problem: Problem,
  z: Float64Array,
  state: FilmState,
  robust: boolean,
  active: Int32Array,
  activeCount: number,
): System {
  const hessian = new Float64Array(activeCount * activeCount)
  const gradient = new Float64Array(activeCount)
  for (let k = 0; k < problem.count; k++) {
    const at = active[k]!
    if (at < 0) continue
    hessian[at * activeCount + at] = 1
    gradient[at] = z[k]!
  }
  const eliminated = problem.blocks.map((block) =>
    addBlock({ hessian, gradient }, activeCount, block, z, state, robust, active),
  )
  return { hessian, gradient, eliminated }
}

const places = new Map<number, number>()
function addBlock(
  { hessian, gradient }: { hessian: Float64Array; gradient: Float64Array },
  activeCount: number,
  block: Block,
  z: Float64Array,
  state: FilmState,
  robust: boolean,
  active: Int32Array,
): Eliminated {
  const { items, photos, size, precision, local } = block
  const m = items.length
  places.clear()
  const compiled = items.map((item) => compile(state, item.observation))
  compiled.forEach((each, i) => {
    if (!each) return
    for (const column of each.columns) if (active[column]! >= 0 && !places.has(column)) places.set(column, places.size)
    for (const { column } of items[i]!.wide)
      for (let c = 0; c < 3; c++)
        if (active[column + c]! >= 0 && !places.has(column + c)) places.set(column + c, places.size)
  })
  const width = places.size
  const columns = Int32Array.from(places.keys(), (column) => active[column]!)
  const own = new Float64Array(width * width)
  const ownGradient = new Float64Array(width)
  const factor = precision.slice()
  const localGradient = new Float64Array(size)
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) localGradient[i]! += precision[i * size + j]! * local[j]!
  const cross = new Float64Array(size * width)
  compiled.forEach((each, i) => {
    if (!each) return
    const item = items[i]!
    evaluate(state, each, Math.exp(local[i]!), bench, true)
    residualOf(item, z, block, i, bench, residual)
    const squared = (residual[0]! ** 2 + residual[1]! ** 2 + residual[2]! ** 2) / item.sigma ** 2
    const w = weigh(squared, robust).weight / item.sigma ** 2
    const count = each.columns.length
    const wideCount = 3 * item.wide.length
    const used: number[] = []
    const from: number[] = []
    for (let k = 0; k < count; k++) {
      if (active[each.columns[k]!]! < 0) continue
      used.push(places.get(each.columns[k]!)!)
      from.push(k)
    }
    const total = used.length
    const { frame } = item
    const slopes = new Float64Array(3 * (total + wideCount))
    const span = total + wideCount
    for (let c = 0; c < 3; c++) {
      for (let k = 0; k < total; k++) {
        const at = from[k]!
        slopes[c * span + k] =
          frame[3 * c]! * bench.rows[at]! +
          frame[3 * c + 1]! * bench.rows[count + at]! +
          frame[3 * c + 2]! * bench.rows[2 * count + at]!
      }
    }
    let extra = total
    for (const { column, sigma } of item.wide) {
      for (let c = 0; c < 3; c++) {
        if (active[column + c]! < 0) continue
        used.push(places.get(column + c)!)
        slopes[c * span + extra++] = sigma
      }
    }
    // local unknowns of this item: its build, then the three of each photo that it lies in
    const mine = [i]
    photos.forEach(({ members }, p) => {
      if (members[i]) for (let c = 0; c < 3; c++) mine.push(m + 3 * p + c)
    })
    for (let c = 0; c < 3; c++) {
      const r = residual[c]!
      const byBuild =
        frame[3 * c]! * bench.perBuild[0]! +
        frame[3 * c + 1]! * bench.perBuild[1]! +
        frame[3 * c + 2]! * bench.perBuild[2]!
      for (let k = 0; k < extra; k++) {
        const s = w * slopes[c * span + k]!
        if (s === 0) continue
        const row = used[k]! * width
        ownGradient[used[k]!]! += s * r
        for (let l = 0; l < extra; l++) own[row + used[l]!]! += s * slopes[c * span + l]!
        cross[i * width + used[k]!]! += s * byBuild
        for (let q = 1; q < mine.length; q += 3) cross[mine[q + c]! * width + used[k]!]! += s
      }
      localGradient[i]! += w * byBuild * r
      factor[i * size + i]! += w * byBuild * byBuild
      for (let q = 1; q < mine.length; q += 3) {
        const at = mine[q + c]!
        localGradient[at]! += w * r
        factor[at * size + i]! += w * byBuild
        factor[i * size + at]! += w * byBuild
        for (let p = 1; p < mine.length; p += 3) factor[at * size + mine[p + c]!]! += w
      }
    }
  })
  if (!factorise(factor, size)) throw new RangeError('A block of readings cannot be eliminated.')
  // half-solved: own − (L⁻¹ cross)ᵀ (L⁻¹ cross)
  const half = cross.slice()
  const halfGradient = localGradient.slice()
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) {
      const by = factor[i * size + k]!
      if (by === 0) continue
      for (let j = 0; j < width; j++) half[i * width + j]! -= by * half[k * width + j]!
      halfGradient[i]! -= by * halfGradient[k]!
    }
    const diagonal = factor[i * size + i]!
    for (let j = 0; j < width; j++) half[i * width + j]! /= diagonal
    halfGradient[i]! /= diagonal
  }
  for (let q = 0; q < size; q++) {
    for (let i = 0; i < width; i++) {
      const s = half[q * width + i]!
      if (s === 0) continue
      for (let j = 0; j < width; j++) own[i * width + j]! -= s * half[q * width + j]!
      ownGradient[i]! -= s * halfGradient[q]!
    }
  }
  for (let i = 0; i < width; i++) {
    const row = columns[i]! * activeCount
    gradient[columns[i]!]! += ownGradient[i]!
    for (let j = 0; j < width; j++) hessian[row + columns[j]!]! += own[i * width + j]!
  }
  return { columns, factor, gradient: localGradient, cross }
}
