import { type DifferenceWeights, stretchOfA } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'

/*
 * Two lower bounds of CIEDE2000 that cost less than the formula, each with its proof. Notation as in Sharma, Wu, Dalal,
 * Color Res. Appl. 30 (2005) 21–30: de00² = x² + y² + z² + RT·y·z with x = ΔL′/(kL SL), y = ΔC′/(kC SC), z = ΔH′/(kH SH).
 * |RT| ≤ 2·sin 60° = 1.733 < 2, so y² + z² + RT·y·z ≥ (1 − |RT|/2)(y² + z²) ≥ 0.
 */

const degree = Math.PI / 180
/** |RT| = 2·RC′·sin(2Δθ), RC′ < 1 and Δθ ≤ 30°. */
const mostTurn = 2 * Math.sin(60 * degree)
/** In these limits of the reference's L* the lightness bound grows with the distance: see `lightnessBound`. */
export const lightnessLimits = { from: -9, to: 109 } as const

/**
 * The lightness term alone: a lower bound of de00, since the other terms together are never below 0.
 * It grows with |ΔL*| on either side of the reference, so that a search in order of L* may stop at the first that is too
 * far. Proof, for lighter candidates (darker ones are the mirror image): with t = ΔL*, u = L*₀ − 50 and m = u + t/2, the
 * bound is t/(kL·S(m)), S(m) = 1 + 0.015·g(m), g(m) = m²/√(20 + m²), and it grows where S(m) − (t/2)·S′(m) > 0. For m ≤ 0,
 * S′ ≤ 0. For m > 0 that is S(m) − m·S′(m) + u·S′(m), with g(m) − m·g′(m) = −20·m²/(20 + m²)^(3/2) ≥ −1.73 (at m² = 40)
 * and 0 < g′(m) ≤ 1.09, so it is at least 1 − 0.026 + 0.0164·min(u, 0) > 0 for u > −59.
 */
export function lightnessBound(l: number, candidateL: number, kL: number): number {
  const apart = candidateL - l
  const fromMiddle = (l + apart / 2 - 50) ** 2
  return Math.abs(apart) / (kL * (1 + (0.015 * fromMiddle) / Math.sqrt(20 + fromMiddle)))
}

/** |RT| at most, for candidates within `radius` in (a*, b*). */
function turnWithin({ a, b }: Lab, chroma: number, stretches: readonly [number, number], radius: number): number {
  const [least, most] = stretches
  const farthest = Math.hypot(a * most, b) + (most * radius) / 2
  const c7 = farthest ** 7
  const share = Math.sqrt(c7 / (c7 + 25 ** 7))
  const nearest = Math.hypot(a * least, b)
  // a colour as far away as the reference is from grey may have any hue
  if (chroma === 0 || most * radius >= nearest) return share * mostTurn
  // the mean hue lies half way
  const swing = Math.asin((most * radius) / nearest) / degree / 2
  // a* stretched turns the hue one way, within its quadrant, so that every hue lies between these two
  const [one, other] = [hueOf(a * least, b), hueOf(a * most, b)]
  const away = Math.max(0, turnsFrom275((one + other) / 2) - Math.abs(one - other) / 2 - swing)
  return share * 2 * Math.sin(60 * Math.exp(-((away / 25) ** 2)) * degree)
}

/** The shorter way round, in degrees; the formula's own term falls off at least as fast. */
const turnsFrom275 = (hue: number): number => {
  const apart = Math.abs(hue - 275)
  return Math.min(apart, 360 - apart)
}

const hueOf = (a: number, b: number): number => {
  const angle = Math.atan2(b, a) / degree
  return angle < 0 ? angle + 360 : angle
}

/**
 * How far from the reference a colour can lie in (a*, b*) that is within `de00` of it: √(Δa*² + Δb*²) ≤ radius.
 * Proof: with D = √(Δa*² + Δb*²) and s = 1 + G ≥ 1, which is the same for both colours of a pair, the distance in (a′, b*) is
 * D′ = √(s²Δa*² + Δb*²) ≥ D, and D′² = ΔC′² + ΔH′². SH = 1 + 0.015·C̄′·T ≤ 1 + 0.029·C̄′ ≤ SC = 1 + 0.045·C̄′, for T ≤ 1.93. C̄′
 * is at most U + D′/2 with U = C′ of the reference, so de00 ≥ √γ·D′/(k·(1 + 0.045·(U + D′/2))), k the larger of kC and
 * kH, γ = 1 − |RT|/2; the right side grows with D′ and is therefore at least its value at D. Solving for D gives a radius
 * for given γ and U. Both are taken as the worst of all colours within a radius already proven, at first any; the smaller
 * radius that follows holds for them, and so again with the γ and U of that one.
 */
export function discRadius(reference: Lab, de00: number, { kC, kH }: DifferenceWeights): number {
  const reach = de00 * Math.max(kC, kH)
  const chroma = Math.hypot(reference.a, reference.b)
  let radius = Number.POSITIVE_INFINITY
  for (let round = 0; round < 4; round++) {
    const isAny = radius === Number.POSITIVE_INFINITY
    const most = isAny ? 1.5 : stretchOfA(Math.max(0, chroma - radius / 2))
    const least = isAny ? 1 : stretchOfA(chroma + radius / 2)
    const turn = isAny ? mostTurn : turnWithin(reference, chroma, [least, most], radius)
    const root = Math.sqrt(1 - turn / 2)
    const slope = root - 0.0225 * reach
    const smaller = slope > 0 ? (reach * (1 + 0.045 * Math.hypot(most * reference.a, reference.b))) / slope : radius
    if (smaller >= radius * 0.98) return Math.min(smaller, radius)
    radius = smaller
  }
  return radius
}
