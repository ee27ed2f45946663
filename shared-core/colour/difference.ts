import type { Lab } from './lab.ts'

/** Parametric factors of CIEDE2000; 1 each for the reference conditions. */
export type DifferenceWeights = { readonly kL: number; readonly kC: number; readonly kH: number }

/** What a CIEDE2000 difference is made of; lightness, chroma and hue are signed, in units of dE00. */
export type DifferenceParts = {
  readonly de00: number
  /** ΔL′ / (kL SL): above 0 when the candidate is lighter. */
  readonly lightness: number
  /** ΔC′ / (kC SC): above 0 when the candidate is more colourful. */
  readonly chroma: number
  /** ΔH′ / (kH SH): above 0 when the candidate lies counter-clockwise (red → yellow → green → blue). */
  readonly hue: number
  /** RT · chroma · hue, the part that belongs to both: de00² = lightness² + chroma² + hue² + both. */
  readonly both: number
  /** SL, SC, SH, RT as used. */
  readonly sl: number
  readonly sc: number
  readonly sh: number
  readonly rt: number
  /** C′ of reference and candidate, and the mean hue angle h̄′ in degrees. */
  readonly chromaA: number
  readonly chromaB: number
  readonly meanHue: number
}

const unit: DifferenceWeights = { kL: 1, kC: 1, kH: 1 }
const degree = Math.PI / 180

function hueAngle(a: number, b: number): number {
  if (a === 0 && b === 0) return 0
  const angle = Math.atan2(b, a) / degree
  return angle < 0 ? angle + 360 : angle
}

/** Colours are nowhere near the numbers whose squares overflow: the root itself takes a tenth of `Math.hypot`. */
const length = (a: number, b: number): number => Math.sqrt(a * a + b * b)

/** c⁷ / (c⁷ + 25⁷) under the root. */
function chromaShare(c: number): number {
  const c3 = c * c * c
  const c7 = c3 * c3 * c
  return Math.sqrt(c7 / (c7 + 6_103_515_625))
}

/** 1 + G: how much CIEDE2000 stretches a* of colours of a mean chroma C*ab. */
export const stretchOfA = (meanChroma: number): number => 1 + 0.5 * (1 - chromaShare(meanChroma))

/**
 * CIEDE2000 taken apart: signed parts as `candidate` seen against `reference`.
 * Swapping the two changes the signs of lightness, chroma and hue and nothing else.
 * @param reference, candidate  CIELAB under the same white and observer
 * Source: Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21–30, eqs 2–22.
 */
export function differenceParts(reference: Lab, candidate: Lab, weights: DifferenceWeights = unit): DifferenceParts {
  const meanC = (length(reference.a, reference.b) + length(candidate.a, candidate.b)) / 2
  const stretch = stretchOfA(meanC)
  const a1 = reference.a * stretch
  const a2 = candidate.a * stretch
  const c1 = length(a1, reference.b)
  const c2 = length(a2, candidate.b)
  const h1 = hueAngle(a1, reference.b)
  const h2 = hueAngle(a2, candidate.b)

  const noHue = c1 * c2 === 0
  let turn = noHue ? 0 : h2 - h1
  if (turn > 180) turn -= 360
  else if (turn < -180) turn += 360
  let meanHue = h1 + h2
  if (!noHue) {
    if (Math.abs(h1 - h2) <= 180) meanHue /= 2
    else meanHue = meanHue < 360 ? (meanHue + 360) / 2 : (meanHue - 360) / 2
  }

  const meanL = (reference.l + candidate.l) / 2
  const meanC2 = (c1 + c2) / 2
  const t =
    1 -
    0.17 * Math.cos((meanHue - 30) * degree) +
    0.24 * Math.cos(2 * meanHue * degree) +
    0.32 * Math.cos((3 * meanHue + 6) * degree) -
    0.2 * Math.cos((4 * meanHue - 63) * degree)
  const fromMiddle = (meanL - 50) * (meanL - 50)
  const sl = 1 + (0.015 * fromMiddle) / Math.sqrt(20 + fromMiddle)
  const sc = 1 + 0.045 * meanC2
  const sh = 1 + 0.015 * meanC2 * t
  const fromBlue = (meanHue - 275) / 25
  const rt = -2 * chromaShare(meanC2) * Math.sin(60 * Math.exp(-(fromBlue * fromBlue)) * degree)

  const lightness = (candidate.l - reference.l) / (weights.kL * sl)
  const chroma = (c2 - c1) / (weights.kC * sc)
  const hue = (2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * degree)) / (weights.kH * sh)
  const both = rt * chroma * hue
  // rounding may leave the sum a hair below 0; NaN passes through
  const sum = lightness * lightness + chroma * chroma + hue * hue + both
  const de00 = Math.sqrt(sum < 0 ? 0 : sum)
  return { de00, lightness, chroma, hue, both, sl, sc, sh, rt, chromaA: c1, chromaB: c2, meanHue }
}

/**
 * Colour difference CIEDE2000.
 * @param a, b   CIELAB under the same white and observer; finite, any range
 * @returns      dE00, 0 or more, no unit; symmetric in a and b
 * @throws       never; NaN in, NaN out
 * Source: Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21–30, eqs 2–22; its 34 pairs are in test/published.
 */
export function differenceCiede2000(a: Lab, b: Lab, weights: DifferenceWeights = unit): number {
  return differenceParts(a, b, weights).de00
}
