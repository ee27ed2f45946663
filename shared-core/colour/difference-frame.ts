import { type DifferenceWeights, differenceParts, stretchOfA } from './difference.ts'
import type { Lab } from './lab.ts'

const unit: DifferenceWeights = { kL: 1, kC: 1, kH: 1 }

/**
 * CIEDE2000 around one colour as a linear frame: F (3 × 3, row by row) with |F · ΔLab| = dE00 for small differences.
 * Rows run along lightness, chroma and hue, each divided by its S; the rotation term of blues is mixed into the hue row.
 * @param at  CIELAB, finite
 * Source: Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21–30, eqs 2–22, linearised.
 */
export function differenceFrame(at: Lab, { kL, kC, kH }: DifferenceWeights = unit): Float64Array {
  const { sl, sc, sh, rt } = differenceParts(at, at)
  const stretch = stretchOfA(Math.hypot(at.a, at.b))
  const chroma = Math.hypot(at.a * stretch, at.b)
  const [cos, sin] = chroma < 1e-9 ? [1, 0] : [(at.a * stretch) / chroma, at.b / chroma]
  // dC/SC = p and dH/SH = q: p² + q² + RT p q = (p + RT q / 2)² + (1 − RT² / 4) q²
  const mixed = rt / 2
  const rest = Math.sqrt(1 - mixed ** 2)
  const [pa, pb] = [(cos * stretch) / (kC * sc), sin / (kC * sc)]
  const [qa, qb] = [(-sin * stretch) / (kH * sh), cos / (kH * sh)]
  return Float64Array.from([1 / (kL * sl), 0, 0, 0, pa + mixed * qa, pb + mixed * qb, 0, rest * qa, rest * qb])
}
