import { filmSampling } from '../../colour/spectrum.ts'
import { diffuseReturn, directShare } from '../forward.ts'
import type { FilmRecipe } from '../recipe.ts'
import { labOfSpectrum } from '../spectral.ts'
import type { FilmState, MidCoatState } from '../unknowns.ts'

const n = filmSampling.count

/** All of a recipe but its dyes, worked out as far as it goes: what thousands of loads are tried over. */
export type OverGround = {
  on: Omit<FilmRecipe, 'dyes' | 'coats'>
  /** Film build of the gun set-up. */
  build: number
  /** Reflectance beneath the film, and how much of it is turned back at the surface. */
  base: Float64Array
  turned: Float64Array
  /** A mid coat over the film: r becomes `added` + `passed` r / (1 − `back` r). */
  over: { added: Float64Array; passed: Float64Array; back: Float64Array } | null
  /** The surface and flare: r becomes `flat` + `seen` r. */
  flat: number
  seen: number
}

/** Room for one evaluation. */
export type Room = {
  lab: Float64Array
  /** dLab by load: three rows, one entry per dye. */
  slopes: Float64Array
  spectrum: Float64Array
  perAbsorbance: Float64Array
  perValue: Float64Array
}
export const newRoom = (): Room => ({
  lab: new Float64Array(3),
  slopes: new Float64Array(9),
  spectrum: new Float64Array(n),
  perAbsorbance: new Float64Array(n),
  perValue: new Float64Array(3 * n),
})

function veil(mid: MidCoatState, coats: number) {
  const back = mid.platelet.map((value) => 1 - (1 - value) ** coats)
  return {
    back,
    added: back.map((value) => mid.lobe * value),
    passed: back.map((value, i) => (1 - value) ** 2 * mid.through[i]! ** coats),
  }
}

/** @returns null where the state does not know the ground or a mid coat */
export function overGround(state: FilmState, on: OverGround['on']): OverGround | null {
  const ground = state.grounds.get(on.ground)
  const under = on.under ? state.midCoats.get(on.under.id) : null
  const over = on.over ? state.midCoats.get(on.over.id) : null
  if (!ground || under === undefined || over === undefined) return null
  const beneath = under && veil(under, on.under?.coats ?? 0)
  const base = beneath
    ? ground.reflectance.map((r, i) => beneath.added[i]! + (beneath.passed[i]! * r) / (1 - beneath.back[i]! * r))
    : ground.reflectance
  const isRaw = on.finish === 'uncleared'
  return {
    on,
    build: on.gun === null ? 1 : (state.guns.get(on.gun)?.build ?? 1),
    base,
    turned: base.map((r) => (ground.trapped * r) / (directShare + diffuseReturn * r)),
    over: over && veil(over, on.over?.coats ?? 0),
    flat: state.flare + (isRaw ? state.haze : 0),
    seen: isRaw ? state.dull : 1,
  }
}

/**
 * The colour of dyes over a ground, and how it moves with their loads. The same as `evaluate` on one recipe, without the
 * slopes by the unknowns: this is what a search spends its time in.
 * @param dyes  absorbance at load 1, `count` of them
 */
export function labOver(
  ground: OverGround,
  dyes: readonly Float64Array[],
  loads: Float64Array,
  count: number,
  room: Room,
  sloped: boolean,
): void {
  const { base, turned, over, build, flat, seen } = ground
  const { spectrum, perAbsorbance, perValue, slopes } = room
  const [d0, d1, d2] = dyes
  const x0 = build * loads[0]!
  const x1 = count > 1 ? build * loads[1]! : 0
  const x2 = count > 2 ? build * loads[2]! : 0
  for (let i = 0; i < n; i++) {
    let a = x0 * d0![i]!
    if (count > 1) a += x1 * d1![i]!
    if (count > 2) a += x2 * d2![i]!
    const h = turned[i]!
    const e1 = 0.738 * Math.exp(-1.505 * a)
    const e2 = 0.262 * Math.exp(-4.234 * a)
    const again = 1 / (1 - h * (e1 + e2))
    let r = base[i]! * Math.exp(-a) * (1 - h) * again
    let slope = -r * (1 + h * (1.505 * e1 + 4.234 * e2) * again)
    if (over) {
      const open = 1 / (1 - over.back[i]! * r)
      slope *= over.passed[i]! * open * open
      r = over.added[i]! + over.passed[i]! * r * open
    }
    spectrum[i] = flat + seen * r
    perAbsorbance[i] = seen * build * slope
  }
  labOfSpectrum(spectrum, room.lab, sloped ? perValue : null)
  if (!sloped) return
  for (let c = 0; c < 3; c++) {
    let s0 = 0
    let s1 = 0
    let s2 = 0
    for (let i = 0, at = c * n; i < n; i++, at++) {
      const by = perValue[at]! * perAbsorbance[i]!
      s0 += by * d0![i]!
      if (count > 1) s1 += by * d1![i]!
      if (count > 2) s2 += by * d2![i]!
    }
    slopes[3 * c] = s0
    slopes[3 * c + 1] = s1
    slopes[3 * c + 2] = s2
  }
}
