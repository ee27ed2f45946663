import { stretchOfA } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'

/** A colour as a point whose plain distances are near CIEDE2000: for finding, not for saying, how far colours lie apart. */
export type Place = readonly [l: number, a: number, b: number]

/**
 * a* is stretched as CIEDE2000 does; chroma is drawn in as S_C = 1 + 0.045 C* asks, ∫ dC / S_C, and hue with it; lightness by S_L likewise, from its middle.
 * Source of the weights: Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21–30, eqs 15 and 16.
 */
export function placeOf({ l, a, b }: Lab): Place {
  const stretched = a * stretchOfA(Math.hypot(a, b))
  const chroma = Math.hypot(stretched, b)
  const drawn = chroma > 1e-6 ? Math.log1p(0.045 * chroma) / (0.045 * chroma) : 1
  return [lightnessPlace(l), stretched * drawn, b * drawn]
}

/** ∫ dL / S_L from 50, in closed form for S_L ≈ 1 + 0.015 |L − 50|, which it comes to away from the middle. */
const lightnessPlace = (l: number): number => (Math.sign(l - 50) * Math.log1p(0.015 * Math.abs(l - 50))) / 0.015

export const between = (p: Place, q: Place): number => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2])

/** Distance of each place to the nearest of the others; infinite where there are none. */
export const nearestOf = (places: readonly Place[], others: readonly Place[]): Float64Array =>
  Float64Array.from(places, (place) => {
    let least = Number.POSITIVE_INFINITY
    for (const other of others) {
      const squared = (place[0] - other[0]) ** 2 + (place[1] - other[1]) ** 2 + (place[2] - other[2]) ** 2
      if (squared < least) least = squared
    }
    return Math.sqrt(least)
  })
