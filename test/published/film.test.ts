/**
 * The film model against physics worked out here.
 * Beer and Lambert: absorbances of films in a row add, transmittances multiply.
 * Fresnel's equations, integrated: a surface of index 1.5 turns back 0.0918 of diffuse light from outside and 0.5963 from
 * within, and the second follows from the first as 1 − (1 − 0.0918) / 1.5² (D. Judd, J. Res. Natl. Bur. Stand. 29 (1942)
 * 329–332; J. Saunderson, J. Opt. Soc. Am. 32 (1942) 727–736; both figures from memory).
 * A ground that sends light every way, under a clear film with dye in it, lit at 45° and seen at 0°: followed by angle.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { spectrumToLab } from '../../shared-core/colour/spectrum.ts'
import { fitFilm } from '../../shared-core/film/fit.ts'
import { diffuseThroughFilm, filmAbsorbance, throughFilm, trappedShare } from '../../shared-core/film/forward.ts'
import { predictLab } from '../../shared-core/film/predict.ts'
import type { FilmRecipe } from '../../shared-core/film/recipe.ts'
import { rackOf } from '../worlds/rack.ts'
import { recipeOf } from '../worlds/recipes.ts'

const n = 1.5

/** Unpolarised, from index `from` into `to`, by the sine of the angle within `from`. */
function fresnel(from: number, to: number, sine: number): number {
  const beyond = (from / to) * sine
  if (beyond >= 1) return 1
  const c = Math.sqrt(1 - sine * sine)
  const d = Math.sqrt(1 - beyond * beyond)
  const s = (from * c - to * d) / (from * c + to * d)
  const p = (from * d - to * c) / (from * d + to * c)
  return (s * s + p * p) / 2
}

/** Mean over the directions of diffuse light: ∫ value sin 2θ dθ, by midpoints in sin² θ. */
function diffuseMean(value: (sine: number, cosine: number) => number, steps = 40_000): number {
  let sum = 0
  for (let i = 0; i < steps; i++) {
    const s2 = (i + 0.5) / steps
    sum += value(Math.sqrt(s2), Math.sqrt(1 - s2))
  }
  return sum / steps
}

/** Along 45° in and 0° out a film of absorbance 1 straight through takes this much. */
const cosIn = Math.sqrt(1 - 1 / (2 * n * n))
const roundTrip = 1 + 1 / cosIn
const within = diffuseMean((sine) => fresnel(n, 1, sine))
const pass = ((1 - fresnel(1, n, Math.SQRT1_2)) * (1 - fresnel(1, n, 0))) / (n * n)

/** Share of diffuse light from the ground that comes back to it, through the film there and back. */
const returned = (a: number) => diffuseMean((sine, cosine) => fresnel(n, 1, sine) * Math.exp((-2 * a) / cosine), 4000)

describe('diffuse reflection at a surface of index 1.5', () => {
  it('is 0.5963 from within and 0.0918 from outside, as published', () => {
    expect(within).toBeCloseTo(0.5963, 4)
    expect(diffuseMean((sine) => fresnel(1, n, sine))).toBeCloseTo(0.0918, 4)
  })

  it('is one and the same border from both sides', () => {
    const outside = diffuseMean((sine) => fresnel(1, n, sine))
    expect(within).toBeCloseTo(1 - (1 - outside) / (n * n), 5)
  })

  it('gives the 0.596 that a ground can trap at most', () => {
    expect(trappedShare(50)).toBeCloseTo(within, 3)
  })

  it('gives the 0.405 of the direct way, lit at 45° and seen at 0°', () => {
    // a ground of albedo 1 reads pass / (1 − within); there all it sends back can be trapped: h is then κ itself
    const brightest = pass / (1 - within)
    expect(pass).toBeCloseTo(0.405, 3)
    const thin = 1e-4
    const [seen] = throughFilm({ reflectance: [brightest], trapped: trappedShare(50) }, [thin])
    const slope = Math.log(brightest / seen!) / thin
    // d ln R / dA = 1 + h (−H′(0)) / (1 − h)
    const hSlope = (diffuseThroughFilm(0) - diffuseThroughFilm(thin)) / thin
    expect(slope).toBeCloseTo(1 + (within / (1 - within)) * hSlope, 1)
  })
})

describe('a diffuse return seen through a film', () => {
  it('is the integral over angles, to 0.005 for any absorbance', () => {
    for (let a = 0; a <= 6; a += 0.05) {
      const integral = returned(a / roundTrip) / within
      expect(Math.abs(diffuseThroughFilm(a) - integral)).toBeLessThan(0.005)
    }
  })
})

const albedo = fc.double({ min: 0.02, max: 0.97, noNaN: true })
const absorbance = fc.double({ min: 0, max: 5, noNaN: true })

describe('throughFilm', () => {
  it('is light followed by angle over a ground that sends it every way, to 0.6 % of itself or 1e-4', () => {
    fc.assert(
      fc.property(albedo, absorbance, (rho, a) => {
        const bare = (pass * rho) / (1 - within * rho)
        const exact = (pass * rho * Math.exp(-a)) / (1 - rho * returned(a / roundTrip))
        const [seen] = throughFilm({ reflectance: [bare], trapped: trappedShare(50) }, [a])
        expect(Math.abs(seen! - exact)).toBeLessThan(Math.max(1e-4, 0.006 * exact))
      }),
    )
  })

  it('is Beer and Lambert where nothing is trapped: absorbances add, transmittances multiply', () => {
    fc.assert(
      fc.property(albedo, absorbance, absorbance, (g, a, b) => {
        const through = (ground: number, x: number) => throughFilm({ reflectance: [ground], trapped: 0 }, [x])[0]!
        expect(through(g, a + b)).toBeCloseTo(through(through(g, a), b), 12)
        expect(through(g, a) / g).toBeCloseTo(Math.exp(-a), 12)
      }),
    )
  })

  it('never gets lighter at any wavelength with more dye, whatever is trapped', () => {
    const k = fc.double({ min: -5, max: 5, noNaN: true })
    fc.assert(
      fc.property(albedo, absorbance, absorbance, k, (g, a, b, logit) => {
        const ground = { reflectance: [g], trapped: trappedShare(logit) }
        expect(throughFilm(ground, [a + b])[0]!).toBeLessThanOrEqual(throughFilm(ground, [a])[0]! + 1e-12)
      }),
    )
  })
})

const spectra = fc.array(fc.double({ min: 0, max: 2, noNaN: true }), { minLength: 31, maxLength: 31 })
const load = fc.double({ min: 0, max: 6, noNaN: true })

describe('filmAbsorbance', () => {
  it('adds up dyes and coats in any order', () => {
    fc.assert(
      fc.property(spectra, spectra, load, load, (a, b, x, y) => {
        const both = filmAbsorbance([
          { absorbance: a, load: x },
          { absorbance: b, load: y },
        ])
        const turned = filmAbsorbance([
          { absorbance: b, load: y },
          { absorbance: a, load: x / 2 },
          { absorbance: a, load: x / 2 },
        ])
        both.forEach((value, i) => {
          expect(value).toBeCloseTo(x * a[i]! + y * b[i]!, 10)
          expect(value).toBeCloseTo(turned[i]!, 10)
        })
      }),
    )
  })
})

/** A fitted rack of a simulated shop: whatever it has learnt, it must keep to what films do. */
describe('a fitted rack', () => {
  const rack = rackOf('properties', {
    candies: 4,
    grounds: 3,
    midCoats: 1,
    under: true,
    over: true,
    noise: 1.5,
    scatterPerCoat: 0.1,
  })
  const fit = fitFilm(rack.library)
  const candy = fc.constantFrom(...rack.world.candies.keys())
  const ground = fc.constantFrom(...rack.world.grounds.keys())
  const parts = fc.integer({ min: 1, max: 12 })
  const carrierParts = fc.integer({ min: 0, max: 12 })
  const coats = fc.integer({ min: 1, max: 20 })
  const lab = (recipe: FilmRecipe) => predictLab(fit, recipe)!

  it('never gets lighter with more coats', () => {
    fc.assert(
      fc.property(candy, candy, ground, parts, carrierParts, coats, (a, b, on, p, carrier, count) => {
        const candies = [{ id: a, parts: p }, ...(a === b ? [] : [{ id: b, parts: 1 }])]
        const at = (c: number) => lab(recipeOf({ ground: on, candies, carrierParts: carrier, coats: c })).l
        expect(at(count + 1)).toBeLessThanOrEqual(at(count) + 1e-9)
      }),
    )
  })

  it('minds the ratio of parts and not their size', () => {
    fc.assert(
      fc.property(
        candy,
        candy,
        ground,
        parts,
        parts,
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        coats,
        (a, b, on, p, q, by, count) => {
          const at = (k: number) =>
            lab(
              recipeOf({
                ground: on,
                candies: [
                  { id: a, parts: k * p },
                  { id: b, parts: k * q },
                ],
                carrierParts: 5,
                coats: count,
              }),
            )
          expect(differenceCiede2000(at(1), at(by))).toBeLessThan(1e-6)
        },
      ),
    )
  })

  it('does not mind the order of candies, nor one candy named twice', () => {
    fc.assert(
      fc.property(candy, candy, ground, load, load, (a, b, on, x, y) => {
        const recipe = (dyes: FilmRecipe['dyes']): FilmRecipe => ({
          ...recipeOf({ ground: on, candies: [{ id: a, parts: 1 }], carrierParts: 5, coats: 3 }),
          dyes,
        })
        const one = lab(
          recipe([
            { id: a, load: x },
            { id: b, load: y },
          ]),
        )
        const other = lab(
          recipe([
            { id: b, load: y },
            { id: a, load: x / 3 },
            { id: a, load: (2 * x) / 3 },
          ]),
        )
        expect(differenceCiede2000(one, other)).toBeLessThan(1e-6)
      }),
    )
  })

  it('shows what forward.ts gives for the candies and grounds it found, under clear', () => {
    fc.assert(
      fc.property(candy, ground, carrierParts, coats, (id, on, carrier, count) => {
        const recipe = recipeOf({ ground: on, candies: [{ id, parts: 1 }], carrierParts: carrier, coats: count })
        const found = fit.grounds.get(on)!
        const seen = throughFilm(
          { reflectance: [...found.reflectance], trapped: found.trapped },
          filmAbsorbance([{ absorbance: [...fit.absorbance.get(id)!], load: recipe.dyes[0]!.load }]),
        )
        // flare, which is found too, is not among these numbers: it lifts everything by under 0.012
        const own = spectrumToLab(seen)
        const flared = spectrumToLab(seen.map((r) => r + 0.012))
        expect(lab(recipe).l).toBeGreaterThan(own.l - 1.5)
        expect(lab(recipe).l).toBeLessThan(flared.l + 0.1)
      }),
    )
  })
})
