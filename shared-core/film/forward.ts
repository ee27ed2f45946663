import { filmSampling, type Spectrum } from '../colour/spectrum.ts'

/**
 * The forward model of a transparent film over a ground, on 31-point spectra (400 to 700 nm in tens).
 * A candy has no hiding power: light passes the film, is sent back by the ground and passes again; part of it is turned
 * back at the film's surface from within and passes twice more.
 * Source of the mathematics: our own film model; internal return after Saunderson, J. Opt. Soc. Am. 32 (1942) 727–736,
 * with the ground's own return at a film of index 1.5 written as κG / (0.405 + 0.596 G).
 */

/** Share of diffuse light that a film of index 1.5 turns back at its surface from within. */
export const diffuseReturn = 0.596
export const directShare = 0.405

/** A dye and how much of it lies in the film; load 1 is one full cover at 6 carrier : 1 blend. */
export type DyeLoad = { absorbance: Spectrum; load: number }

/** The ground beneath a film: reflectance seen through clear, and how much of its light is trapped (κ, 0 to 0.596). */
export type FilmGround = { reflectance: Spectrum; trapped: number }

/**
 * Load of one dye in a film.
 * @param coats   full covers; a cross coat is two
 * @param share   the dye concentrate's share of the whole cup, 0 to 1, with carrier, hardener and reducer counted
 * @param build   film build of the gun set-up relative to the usual one
 */
export const dyeLoad = (coats: number, share: number, build = 1): number => 7 * coats * share * build

/** κ from k per ground: metallic grounds send light back in a lobe and trap little (k near −1.2), solids much (near 3). */
export const trappedShare = (k: number): number => diffuseReturn / (1 + Math.exp(-k))

/** Absorbance (natural, of the round trip) of all dyes in the film; loads of stacked candies add. */
export function filmAbsorbance(loads: readonly DyeLoad[], buildFactor = 1): number[] {
  return Array.from({ length: filmSampling.count }, (_, i) =>
    loads.reduce((sum, { absorbance, load }) => sum + load * buildFactor * (absorbance[i] ?? 0), 0),
  )
}

/** A diffuse return seen through a film of absorbance A, relative to no film: H(0) = 1. */
export const diffuseThroughFilm = (a: number): number => 0.738 * Math.exp(-1.505 * a) + 0.262 * Math.exp(-4.234 * a)

/**
 * Reflectance factor of a ground through a film.
 * @param absorbance  natural absorbance of the round trip, 0 or more; all 0 gives the ground itself
 * @param flare       f0: light that never met the film, added flat
 */
export function throughFilm(ground: FilmGround, absorbance: Spectrum, flare = 0): number[] {
  return ground.reflectance.map((g, i) => {
    const a = absorbance[i] ?? 0
    const h = (ground.trapped * g) / (directShare + diffuseReturn * g)
    return (g * Math.exp(-a) * (1 - h)) / (1 - h * diffuseThroughFilm(a)) + flare
  })
}

/**
 * A mid coat lying on something: pearl platelets cover a share of the surface, reflect in their own colour, and let the
 * rest through both ways. The same form serves a mid coat under candy (it makes a new ground) and over it.
 * @param beneath   reflectance of what the mid coat lies on
 * @param platelet  reflectance of a platelet, 0 to 1
 * @param coats     coats of mid coat; each covers `coverage` of what is still open
 * @param coverage  share of the surface that one coat covers, 0 to 1
 * Source: two layers stacked, Kubelka, J. Opt. Soc. Am. 38 (1948) 448–457: R = R1 + T1² R2 / (1 − R1 R2).
 */
export function underMidCoat(beneath: Spectrum, platelet: Spectrum, coats: number, coverage: number): number[] {
  const covered = 1 - (1 - coverage) ** coats
  return beneath.map((r, i) => {
    const own = covered * (platelet[i] ?? 0)
    return own + ((1 - covered) ** 2 * r) / (1 - own * r)
  })
}
