import { adaptationMatrix } from './adaptation.ts'
import { type Rgb, whiteOfChromaticity, whites, type Xyz } from './lab.ts'
import { apply3, invert3, type Matrix3, multiply3 } from './matrix.ts'

/** From encoded (0..1) to linear light (0..1), or back. */
export type Curve = (value: number) => number

type Chromaticity = readonly [x: number, y: number]

/** An RGB space as its standard writes it. */
export type RgbSpace = {
  readonly name: string
  readonly red: Chromaticity
  readonly green: Chromaticity
  readonly blue: Chromaticity
  readonly white: Chromaticity
  readonly decode: Curve
  readonly encode: Curve
}

/** Curves continue below 0 as their mirror image, so that colours outside a space survive a round trip. */
function mirrored(curve: Curve): Curve {
  return (v) => (v < 0 ? -curve(-v) : curve(v))
}

function power(gamma: number): { decode: Curve; encode: Curve } {
  return { decode: mirrored((v) => v ** gamma), encode: mirrored((v) => v ** (1 / gamma)) }
}

const srgbCurve = {
  decode: mirrored((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)),
  encode: mirrored((v) => (v <= 0.0031308 ? v * 12.92 : 1.055 * v ** (1 / 2.4) - 0.055)),
}

const rec2020Alpha = 1.09929682680944
const rec2020Beta = 0.018053968510807
const d65: Chromaticity = [0.3127, 0.329]

/** IEC 61966-2-1:1999. */
export const srgb: RgbSpace = {
  name: 'sRGB',
  red: [0.64, 0.33],
  green: [0.3, 0.6],
  blue: [0.15, 0.06],
  white: d65,
  ...srgbCurve,
}

/** Primaries of SMPTE EG 432-1, white D65, curve of sRGB; as ICC registers "Display P3". */
export const displayP3: RgbSpace = {
  name: 'Display P3',
  red: [0.68, 0.32],
  green: [0.265, 0.69],
  blue: [0.15, 0.06],
  white: d65,
  ...srgbCurve,
}

/** Adobe RGB (1998) Color Image Encoding, 2005-05; its gamma is exactly 2 + 51/256. */
export const adobeRgb: RgbSpace = {
  name: 'Adobe RGB (1998)',
  red: [0.64, 0.33],
  green: [0.21, 0.71],
  blue: [0.15, 0.06],
  white: d65,
  ...power(563 / 256),
}

/** ISO 22028-2:2013 (ROMM RGB). */
export const proPhotoRgb: RgbSpace = {
  name: 'ProPhoto RGB',
  red: [0.734699, 0.265301],
  green: [0.159597, 0.840403],
  blue: [0.036598, 0.000105],
  white: [0.3457, 0.3585],
  decode: mirrored((v) => (v < 16 / 512 ? v / 16 : v ** 1.8)),
  encode: mirrored((v) => (v < 1 / 512 ? v * 16 : v ** (1 / 1.8))),
}

/** ITU-R BT.2020-2 (2015), camera curve. */
export const rec2020: RgbSpace = {
  name: 'Rec. 2020',
  red: [0.708, 0.292],
  green: [0.17, 0.797],
  blue: [0.131, 0.046],
  white: d65,
  decode: mirrored((v) => (v < rec2020Beta * 4.5 ? v / 4.5 : ((v + rec2020Alpha - 1) / rec2020Alpha) ** (1 / 0.45))),
  encode: mirrored((v) => (v < rec2020Beta ? v * 4.5 : rec2020Alpha * v ** 0.45 - (rec2020Alpha - 1))),
}

export const rgbSpaces: readonly RgbSpace[] = [srgb, displayP3, adobeRgb, proPhotoRgb, rec2020]

/**
 * Linear RGB to tristimulus values under the space's own white.
 * Source: SMPTE RP 177:1993 (primaries scaled so that equal amounts give the white).
 */
export function rgbToXyzMatrix(space: RgbSpace): Matrix3 {
  const [r, g, b] = [space.red, space.green, space.blue].map(([x, y]) => whiteOfChromaticity(x, y)) as [Xyz, Xyz, Xyz]
  const primaries: Matrix3 = [r.x, g.x, b.x, r.y, g.y, b.y, r.z, g.z, b.z]
  const white = whiteOfChromaticity(...space.white)
  const [sr, sg, sb] = apply3(invert3(primaries), [white.x, white.y, white.z])
  return [r.x * sr, g.x * sg, b.x * sb, r.y * sr, g.y * sg, b.y * sb, r.z * sr, g.z * sg, b.z * sb]
}

/** Linear RGB to tristimulus values under D50 (that of ICC profiles), Bradford adapted. */
export function rgbToXyzD50Matrix(space: RgbSpace): Matrix3 {
  return multiply3(adaptationMatrix(whiteOfChromaticity(...space.white), whites.D50), rgbToXyzMatrix(space))
}

/** @param matrix  such as `rgbToXyzD50Matrix(space)` or a profile's `toXyzD50` */
export function rgbToXyz(matrix: Matrix3, rgb: Rgb): Xyz {
  const [x, y, z] = apply3(matrix, [rgb.r, rgb.g, rgb.b])
  return { x, y, z }
}

/** @param inverse  the inverse of the matrix given to `rgbToXyz` */
export function xyzToRgb(inverse: Matrix3, xyz: Xyz): Rgb {
  const [r, g, b] = apply3(inverse, [xyz.x, xyz.y, xyz.z])
  return { r, g, b }
}

export function decodeRgb(space: RgbSpace, encoded: Rgb): Rgb {
  return { r: space.decode(encoded.r), g: space.decode(encoded.g), b: space.decode(encoded.b) }
}

export function encodeRgb(space: RgbSpace, linear: Rgb): Rgb {
  return { r: space.encode(linear.r), g: space.encode(linear.g), b: space.encode(linear.b) }
}
