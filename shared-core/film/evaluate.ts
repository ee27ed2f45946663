import { filmSampling } from '../colour/spectrum.ts'
import { diffuseReturn, directShare } from './forward.ts'
import { candyBasis, groundBasis, lossBasis, plateletBasis } from './priors.ts'
import type { FilmRecipe } from './recipe.ts'
import { labOfSpectrum } from './spectral.ts'
import {
  type Candy,
  type FilmState,
  type GroundState,
  type GunState,
  gunSpread,
  type MidCoatState,
  midCoatWidth,
  rackSpreads,
} from './unknowns.ts'

const n = filmSampling.count
const groundCount = groundBasis(1).count

/** A recipe with its things looked up: what is evaluated many times. */
export type Compiled = {
  recipe: FilmRecipe
  ground: GroundState
  under: MidCoatState | null
  over: MidCoatState | null
  dyes: readonly { candy: Candy; load: number }[]
  gun: GunState | null
  /** Which unknowns the colour depends on, in the order of the rows' entries. */
  columns: Int32Array
}

/** @returns null where the state does not know the ground, a candy or a mid coat; an unknown gun is the usual one */
export function compile(state: FilmState, recipe: FilmRecipe): Compiled | null {
  const ground = state.grounds.get(recipe.ground)
  const under = recipe.under ? state.midCoats.get(recipe.under.id) : null
  const over = recipe.over ? state.midCoats.get(recipe.over.id) : null
  if (!ground || under === undefined || over === undefined) return null
  const dyes: { candy: Candy; load: number }[] = []
  for (const { id, load } of recipe.dyes) {
    const candy = state.candies.get(id)
    if (!candy) return null
    dyes.push({ candy, load })
  }
  const gun = dyes.length > 0 && recipe.gun !== null ? (state.guns.get(recipe.gun) ?? null) : null
  const columns: number[] = []
  const take = (from: number, count: number) => {
    for (let k = 0; k < count; k++) columns.push(from + k)
  }
  take(ground.column, groundCount)
  take(ground.trapColumn, 1)
  for (const { candy } of dyes) take(candy.column, candyBasis.count)
  if (under) take(under.column, midCoatWidth)
  if (over) take(over.column, midCoatWidth)
  if (gun && gun.column !== null) take(gun.column, 1)
  take(state.rackColumn, 3)
  return { recipe, ground, under, over, dyes, gun, columns: Int32Array.from(columns) }
}

/** Room for one evaluation; one per caller, so that nothing is allocated in the loops. */
export type Bench = {
  lab: Float64Array
  /** dLab by ln of the film build. */
  perBuild: Float64Array
  /** Three rows of as many entries as the recipe has columns. */
  rows: Float64Array
  spectrum: Float64Array
  film: Float64Array
  slopes: Float64Array
  by: { film: Float64Array; base: Float64Array; trap: Float64Array; under: ByMidCoat; over: ByMidCoat }
}
/** Reflectance above a mid coat, and its slopes by what lies beneath, lobe, ln of platelet and ln of passage. */
type ByMidCoat = { beneath: Float64Array; lobe: Float64Array; platelet: Float64Array; loss: Float64Array }
const room = (count: number) => new Float64Array(count)
const byMidCoat = (): ByMidCoat => ({ beneath: room(n), lobe: room(n), platelet: room(n), loss: room(n) })
export const newBench = (): Bench => ({
  lab: room(3),
  perBuild: room(3),
  rows: room(3 * 128),
  spectrum: room(n),
  film: room(n),
  slopes: room(3 * n),
  by: { film: room(n), base: room(n), trap: room(n), under: byMidCoat(), over: byMidCoat() },
})

/**
 * A mid coat on something, at one wavelength.
 * @returns  reflectance above it; the slopes are written into `by` at `i`
 * Two layers stacked, Kubelka, J. Opt. Soc. Am. 38 (1948) 448–457, with platelets that send back what they do not let
 * through; the light that they send back themselves is seen as their lobe has it.
 */
function onTop(mid: MidCoatState, coats: number, r: number, i: number, by: ByMidCoat | null): number {
  const one = 1 - mid.platelet[i]!
  const open = one ** coats
  const own = 1 - open
  const through = mid.through[i]! ** coats
  const again = 1 / (1 - own * r)
  const passed = open * open * through * again
  if (by) {
    const byOwn = mid.lobe + through * r * again * (open * open * r * again - 2 * open)
    by.beneath[i] = passed * again
    by.lobe[i] = own * mid.lobe
    by.platelet[i] = ((byOwn * coats * open) / one) * mid.platelet[i]!
    by.loss[i] = coats * passed * r
  }
  return mid.lobe * own + passed * r
}

/**
 * The colour of a recipe, and how it moves with the unknowns.
 * @param build   factor of the film build beside the gun's own: exp(δ)
 * @param sloped  fills `rows` and `perBuild` too
 * Layers from below: ground, mid coat, film (see `throughFilm`), mid coat, surface, flare.
 */
export function evaluate(state: FilmState, compiled: Compiled, build: number, bench: Bench, sloped: boolean): void {
  const { recipe, ground, under, over, dyes, gun } = compiled
  const { spectrum, film, by } = bench
  const factor = build * (gun?.build ?? 1)
  film.fill(0)
  for (const { candy, load } of dyes) {
    const { absorbance } = candy
    for (let i = 0; i < n; i++) film[i]! += factor * load * absorbance[i]!
  }
  const { reflectance, trapped } = ground
  const uncleared = recipe.finish === 'uncleared'
  const byUnder = sloped ? by.under : null
  const byOver = sloped ? by.over : null
  for (let i = 0; i < n; i++) {
    let base = reflectance[i]!
    if (under) base = onTop(under, recipe.under?.coats ?? 0, base, i, byUnder)
    const a = film[i]!
    const below = 1 / (directShare + diffuseReturn * base)
    const h = trapped * base * below
    const t = Math.exp(-a)
    const e1 = 0.738 * Math.exp(-1.505 * a)
    const e2 = 0.262 * Math.exp(-4.234 * a)
    const through = e1 + e2
    const again = 1 / (1 - h * through)
    let r = base * t * (1 - h) * again
    if (sloped) {
      const rByH = base * t * again * again * (through - 1)
      by.film[i] = -r * (1 + h * (1.505 * e1 + 4.234 * e2) * again)
      by.trap[i] = rByH * base * below
      by.base[i] = t * (1 - h) * again + rByH * trapped * directShare * below * below
    }
    if (over) {
      r = onTop(over, recipe.over?.coats ?? 0, r, i, byOver)
      if (sloped) {
        const pass = by.over.beneath[i]!
        by.film[i]! *= pass
        by.trap[i]! *= pass
        by.base[i]! *= pass
      }
    }
    beneath[i] = r
    spectrum[i] = (uncleared ? state.haze + state.dull * r : r) + state.flare
  }
  labOfSpectrum(spectrum, bench.lab, sloped ? bench.slopes : null)
  if (sloped) fillRows(state, compiled, factor, bench)
}
const beneath = room(n)
const weighed = room(n)

/** Chain rule from spectra to the unknowns. */
function fillRows(state: FilmState, compiled: Compiled, factor: number, bench: Bench): void {
  const { recipe, ground, under, over, dyes, gun, columns } = compiled
  const { slopes, by, film, perBuild } = bench
  const width = columns.length
  if (bench.rows.length < 3 * width) bench.rows = room(3 * width)
  const rows = bench.rows
  const uncleared = recipe.finish === 'uncleared'
  const scale = uncleared ? state.dull : 1
  for (let c = 0; c < 3; c++) {
    const lab = slopes.subarray(c * n, (c + 1) * n)
    let at = c * width
    for (let i = 0; i < n; i++) {
      const pass = under ? by.under.beneath[i]! : 1
      weighed[i] = scale * lab[i]! * by.base[i]! * pass * ground.reflectance[i]!
    }
    at = project(weighed, ground.shapes, groundCount, rows, at)
    rows[at++] = scale * ground.trapSlope * dot(lab, by.trap)
    for (const { candy, load } of dyes) {
      const by1 = scale * factor * load
      for (let i = 0; i < n; i++) weighed[i] = by1 * lab[i]! * by.film[i]! * candy.absorbance[i]!
      at = project(weighed, candyBasis.shapes, candyBasis.count, rows, at)
    }
    if (under) at = midCoatRow(lab, by.under, by.base, scale, rows, at)
    if (over) at = midCoatRow(lab, by.over, null, scale, rows, at)
    let byBuild = 0
    for (let i = 0; i < n; i++) byBuild += lab[i]! * by.film[i]! * film[i]!
    perBuild[c] = scale * byBuild
    if (gun && gun.column !== null) rows[at++] = gunSpread * scale * byBuild
    let flat = 0
    for (let i = 0; i < n; i++) flat += lab[i]!
    rows[at++] = rackSpreads.flare * flat
    rows[at++] = uncleared ? rackSpreads.haze * flat : 0
    rows[at++] = uncleared ? rackSpreads.dull * state.dull * dot(lab, beneath) : 0
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < n; i++) sum += a[i]! * b[i]!
  return sum
}

/** @param above  slope of what is seen by the reflectance above the mid coat; null: nothing lies above */
function midCoatRow(
  lab: Float64Array,
  by: ByMidCoat,
  above: Float64Array | null,
  scale: number,
  rows: Float64Array,
  from: number,
): number {
  const pass = (i: number) => scale * lab[i]! * (above ? above[i]! : 1)
  let sum = 0
  for (let i = 0; i < n; i++) {
    sum += pass(i) * by.lobe[i]!
    weighed[i] = pass(i) * by.platelet[i]!
  }
  rows[from] = rackSpreads.lobe * sum
  const at = project(weighed, plateletBasis.shapes, plateletBasis.count, rows, from + 1)
  for (let i = 0; i < n; i++) weighed[i] = pass(i) * by.loss[i]!
  return project(weighed, lossBasis.shapes, lossBasis.count, rows, at)
}

/** Σ over wavelength of `values` times each shape, written from `at` on. */
function project(values: Float64Array, shapes: Float64Array, count: number, rows: Float64Array, at: number): number {
  for (let k = 0; k < count; k++) {
    let sum = 0
    for (let i = 0, from = k * n; i < n; i++) sum += values[i]! * shapes[from + i]!
    rows[at + k] = sum
  }
  return at + count
}
