/** CIELAB. The white and observer are said by whoever holds it; D50, 2° unless a name says otherwise. */
export type Lab = { readonly l: number; readonly a: number; readonly b: number }

/** Tristimulus values, Y of the white is 1. D50, 2° unless a name says otherwise. */
export type Xyz = { readonly x: number; readonly y: number; readonly z: number }

/** Linear light, 0..1 inside the space; outside it values go below 0 or above 1. */
export type Rgb = { readonly r: number; readonly g: number; readonly b: number }

/** Lightness, chroma, hue angle in degrees 0..360. */
export type Lch = { readonly l: number; readonly c: number; readonly h: number }

/** White with Y = 1 from its chromaticity. */
export function whiteOfChromaticity(x: number, y: number): Xyz {
  return { x: x / y, y: 1, z: (1 - x - y) / y }
}

/**
 * Whites for the CIE 1931 (2°) observer, Y = 1.
 * D50: the profile connection space of ICC.1:2010 clause 7.2.16, exactly, because profiles and Lab D50 are stated in it
 *   (ASTM E308 prints 0.96422, 1, 0.82521).
 * D65, A, C, F2, F11: ASTM E308-01 table 5.
 * LED-B3: CIE 15:2018 table 12, chromaticity 0.3756, 0.3723.
 */
export const whites = {
  D50: { x: 0.9642, y: 1, z: 0.8249 },
  D65: { x: 0.95047, y: 1, z: 1.08883 },
  A: { x: 1.0985, y: 1, z: 0.35585 },
  C: { x: 0.98074, y: 1, z: 1.18232 },
  F2: { x: 0.99186, y: 1, z: 0.67393 },
  F11: { x: 1.00962, y: 1, z: 0.6435 },
  'LED-B3': whiteOfChromaticity(0.3756, 0.3723),
} as const satisfies Record<string, Xyz>
export type WhiteName = keyof typeof whites

/** CIE 15: below `epsilon` the cube root gives way to a straight line of slope `kappa` / 116. */
const epsilon = 216 / 24389
const kappa = 24389 / 27

function compress(t: number): number {
  return t > epsilon ? Math.cbrt(t) : (kappa * t + 16) / 116
}

function expand(f: number): number {
  const cube = f * f * f
  return cube > epsilon ? cube : (116 * f - 16) / kappa
}

/**
 * CIE L* of a relative luminance.
 * @param y  1 is the white; above 1 and below 0 are continued
 * Source: CIE 15:2018 eq. 8.6.
 */
export function lightnessOf(y: number): number {
  return 116 * compress(y) - 16
}

/**
 * Tristimulus values to CIELAB, both relative to `white`.
 * @returns L* above 100 for anything brighter than the white; NaN in, NaN out
 * Source: CIE 15:2018 section 8.2.1.
 */
export function xyzToLab(xyz: Xyz, white: Xyz = whites.D50): Lab {
  const fx = compress(xyz.x / white.x)
  const fy = compress(xyz.y / white.y)
  const fz = compress(xyz.z / white.z)
  return { l: 116 * fy - 16, a: 500 * (fx - fy), b: 200 * (fy - fz) }
}

/** CIELAB to tristimulus values, both relative to `white`; the inverse of `xyzToLab`. */
export function labToXyz(lab: Lab, white: Xyz = whites.D50): Xyz {
  const fy = (lab.l + 16) / 116
  return {
    x: white.x * expand(fy + lab.a / 500),
    y: white.y * expand(fy),
    z: white.z * expand(fy - lab.b / 200),
  }
}

/** Chroma and hue angle (degrees, 0 towards +a, 90 towards +b); the hue of an exact grey is 0. */
export function labToLch(lab: Lab): Lch {
  const angle = (Math.atan2(lab.b, lab.a) * 180) / Math.PI
  return { l: lab.l, c: Math.hypot(lab.a, lab.b), h: angle < 0 ? angle + 360 : angle }
}
