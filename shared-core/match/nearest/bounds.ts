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

/**
 * Between which L* colours lie that are within a difference of the reference, a hair wider: found by halving, since the bound
 * grows on either side. A reference so dark or light that this is not proven has no limits.
 */
export function lightnessRange(l: number, de00: number, kL: number): { from: number; to: number } {
  if (!(l > lightnessLimits.from && l < lightnessLimits.to)) {
    return { from: Number.NEGATIVE_INFINITY, to: Number.POSITIVE_INFINITY }
  }
  return { from: l - farthest(l, de00, kL, -1), to: l + farthest(l, de00, kL, 1) }
}

/** How far one way; for differences so large that the bound never reaches them, without end. */
function farthest(l: number, de00: number, kL: number, way: 1 | -1): number {
  let beyond = Math.max(1, de00 * kL)
  while (lightnessBound(l, l + way * beyond, kL) <= de00) {
    beyond *= 2
    if (beyond > 1e6) return Number.POSITIVE_INFINITY
  }
  let inside = 0
  for (let round = 0; round < 20; round++) {
    const middle = (inside + beyond) / 2
    if (lightnessBound(l, l + way * middle, kL) <= de00) inside = middle
    else beyond = middle
  }
  return beyond
}

/** What holds for every colour within a radius of the reference in (a*, b*). */
type Within = {
  /** |RT| at most. */
  turn: number
  /** T at most. */
  t: number
  /** 1 + G at most. */
  stretch: number
}

/** T at most, whatever the hue: 1 + 0.17 + 0.24 + 0.32 + 0.20. */
const mostT = 1.93
/** |dT/dh̄′| at most, for each radian: 0.17 + 2·0.24 + 3·0.32 + 4·0.20. */
const steepestT = 2.41
const anywhere: Within = { turn: mostTurn, t: mostT, stretch: 1.5 }

function within({ a, b }: Lab, radius: number): Within {
  const flat = Math.hypot(a, b)
  const [least, most] = [stretchOfA(flat + radius / 2), stretchOfA(Math.max(0, flat - radius / 2))]
  const chroma = Math.hypot(a * most, b) + (most * radius) / 2
  const c7 = chroma ** 7
  const share = Math.sqrt(c7 / (c7 + 25 ** 7))
  const nearest = Math.hypot(a * least, b)
  // a colour as far away as the reference is from grey may have any hue
  if (flat === 0 || most * radius >= nearest) return { turn: share * mostTurn, t: mostT, stretch: most }
  // a* stretched turns the hue one way, within its quadrant; the mean hue lies half way to the candidate's
  const [one, other] = [hueOf(a * least, b), hueOf(a * most, b)]
  const middle = (one + other) / 2
  const spread = Math.abs(one - other) / 2 + Math.asin((most * radius) / nearest) / degree / 2
  const away = Math.max(0, turnsFrom275(middle) - spread)
  return {
    turn: share * 2 * Math.sin(60 * Math.exp(-((away / 25) ** 2)) * degree),
    t: Math.min(mostT, tOf(middle) + steepestT * spread * degree),
    stretch: most,
  }
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

const tOf = (hue: number): number =>
  1 -
  0.17 * Math.cos((hue - 30) * degree) +
  0.24 * Math.cos(2 * hue * degree) +
  0.32 * Math.cos((3 * hue + 6) * degree) -
  0.2 * Math.cos((4 * hue - 63) * degree)

/** Where in (a*, b*) colours can lie that are within a difference of the reference, and what holds for all of them. */
export type Region = {
  /** √(Δa*² + Δb*²) at most. */
  readonly radius: number
  /** |RT| at most, below 2. */
  readonly turn: number
  /** T at most, above 0. */
  readonly t: number
}

/**
 * Proof of the radius: with D = √(Δa*² + Δb*²) and s = 1 + G ≥ 1, which is the same for both colours of a pair, the distance
 * in (a′, b*) is D′ = √(s²Δa*² + Δb*²) ≥ D, and D′² = ΔC′² + ΔH′². SH = 1 + 0.015·C̄′·T ≤ SC = 1 + 0.045·C̄′, for T < 3. C̄′ is at
 * most U + D′/2 with U = C′ of the reference, so de00 ≥ √γ·D′/(k·(1 + 0.045·(U + D′/2))), k the larger of kC and kH,
 * γ = 1 − |RT|/2; the right side grows with D′ and is therefore at least its value at D. Solving for D gives a radius for
 * given γ and U. Both are taken as the worst of all colours within a radius already proven, at first any; the smaller
 * radius that follows holds for them, and so again with the γ and U of that one.
 */
export function regionWithin(reference: Lab, de00: number, { kC, kH }: DifferenceWeights): Region {
  const reach = de00 * Math.max(kC, kH)
  let radius = Number.POSITIVE_INFINITY
  let all = anywhere
  for (let round = 0; round < 4; round++) {
    const slope = Math.sqrt(1 - all.turn / 2) - 0.0225 * reach
    if (!(slope > 0)) break
    const smaller = (reach * (1 + 0.045 * Math.hypot(all.stretch * reference.a, reference.b))) / slope
    if (smaller >= radius) break
    const isEnough = smaller > radius * 0.98
    radius = smaller
    all = within(reference, radius)
    if (isEnough) break
  }
  return { radius, turn: all.turn, t: all.t }
}

/**
 * The square of a lower bound of de00, without angles: for a colour inside the region. Lightness and chroma terms x and y are
 * exact, and so is ΔH′² = 2·(C′₁C′₂ − a′₁a′₂ − b₁b₂); of the hue term only T and RT are taken at their most.
 * Proof: with z₀ = |ΔH′|/(kH·(1 + 0.015·C̄′·t)) ≤ |z| and r = |RT| at most, de00² ≥ x² + y² + z² − r·|y·z|. As a function of |z| that
 * falls up to r·|y|/2 and grows beyond: its least value from z₀ on is at z₀, or at r·|y|/2 when z₀ lies before that.
 * Without the hue term it is at least x² + y²·(1 − r²/4).
 * @param chroma  C* of the reference
 * @param enough  a bound above this may be any such bound: the hue term is then left out
 */
export function squareAtLeast(
  reference: Lab,
  chroma: number,
  candidate: Lab,
  { turn, t }: Region,
  { kL, kC, kH }: DifferenceWeights,
  enough = Number.POSITIVE_INFINITY,
): number {
  const { b: b1 } = reference
  const { b: b2 } = candidate
  const x = lightnessBound(reference.l, candidate.l, kL)
  const stretch = stretchOfA((chroma + Math.sqrt(candidate.a * candidate.a + b2 * b2)) / 2)
  const [a1, a2] = [reference.a * stretch, candidate.a * stretch]
  const [c1, c2] = [Math.sqrt(a1 * a1 + b1 * b1), Math.sqrt(a2 * a2 + b2 * b2)]
  const mean = (c1 + c2) / 2
  const y = Math.abs(c2 - c1) / (kC * (1 + 0.045 * mean))
  const least = x * x + y * y * (1 - (turn * turn) / 4)
  if (least > enough) return least
  const hue = Math.sqrt(Math.max(0, 2 * (c1 * c2 - a1 * a2 - b1 * b2)))
  const z = Math.max(hue / (kH * (1 + 0.015 * mean * t)), (turn * y) / 2)
  return x * x + y * y + z * z - turn * y * z
}
