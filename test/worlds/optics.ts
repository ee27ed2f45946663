import { type Film, type Spread, zoneCount } from './angles.ts'
import { sampling, type Values } from './spectra.ts'

/** A part of a surface: how much it sends back at each wavelength, and where to. */
export type Part = { reflectance: Values; spread: Spread }

/** A mid coat on top of a film: it sends back some light by itself and lets the rest through. */
export type Veil = { own: Values; spread: Spread }

/** A platelet loses this much of what it does not let through. */
const lostByPlatelet = 1.02

const bounces = 4

/**
 * Reflectance factor (45° in, 0° out) of a ground under a dyed film, by following light by angle: in along 45° refracted,
 * sent back by the ground, turned back in part at the surface from within, through the film again, and so on. After four
 * returns the rest is a geometric series.
 * @param dye   natural absorbance of the film straight through, once
 * @param veil  a mid coat between film and clear; null: none
 */
export function reflectanceOf(film: Film, parts: readonly Part[], dye: Values, veil: Veil | null): number[] {
  const seen = new Float64Array(zoneCount)
  const back = new Float64Array(zoneCount)
  let flux = new Float64Array(zoneCount)
  let next = new Float64Array(zoneCount)
  return Array.from({ length: sampling.count }, (_, w) => {
    const a = dye[w]!
    const own = veil ? veil.own[w]! : 0
    const through = 1 - lostByPlatelet * own
    seen.fill(0)
    flux.fill(0)
    let sum = 0
    for (const { reflectance, spread } of parts) {
      const r = reflectance[w]!
      sum += r * spread.first
      for (let z = 0; z < zoneCount; z++) {
        seen[z]! += r * spread.seen[z]!
        flux[z]! += r * spread.from[z]!
      }
    }
    for (let z = 0; z < zoneCount; z++) {
      const f = film.back[z]!
      back[z] = Math.exp((-2 * a) / film.cos[z]!) * (own + (through * through * f) / (1 - own * f))
    }
    let [before, gained] = [0, 0]
    for (let k = 0; k < bounces; k++) {
      before = gained
      gained = 0
      next.fill(0)
      for (let z = 0; z < zoneCount; z++) {
        flux[z]! *= back[z]!
        gained += flux[z]! * seen[z]!
      }
      for (const part of parts) sendOn(part.spread, part.reflectance[w]!, flux, next)
      ;[flux, next] = [next, flux]
      sum += gained
    }
    const ratio = before > 0 ? Math.min(0.98, gained / before) : 0
    sum += (gained * ratio) / (1 - ratio)
    const beneath = Math.exp(-a / film.cosIn - a) * through * through * sum
    return film.pass * (beneath + (veil ? own * veil.spread.first : 0))
  })
}

function sendOn(spread: Spread, reflectance: number, from: Float64Array, to: Float64Array): void {
  const { again } = spread
  if (again === null) {
    let all = 0
    for (let z = 0; z < zoneCount; z++) all += from[z]!
    for (let z = 0; z < zoneCount; z++) to[z]! += reflectance * all * spread.from[z]!
    return
  }
  for (let o = 0; o < zoneCount; o++) {
    let sum = 0
    for (let i = 0; i < zoneCount; i++) sum += again[o * zoneCount + i]! * from[i]!
    to[o]! += reflectance * sum
  }
}

/** A mid coat on a ground: platelets cover some of it, the ground is seen through the rest both ways. */
export function veiled(parts: readonly Part[], veil: Veil): Part[] {
  const beneath = parts.map(({ reflectance, spread }) => ({
    spread,
    reflectance: reflectance.map((r, w) => {
      const own = veil.own[w]!
      const all = parts.reduce((sum, part) => sum + part.reflectance[w]!, 0)
      return ((1 - lostByPlatelet * own) ** 2 * r) / (1 - own * all)
    }),
  }))
  return [...beneath, { reflectance: veil.own, spread: veil.spread }]
}
