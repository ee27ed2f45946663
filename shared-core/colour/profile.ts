import type { Matrix3 } from './matrix.ts'
import {
  adobeRgb,
  type Curve,
  displayP3,
  proPhotoRgb,
  type RgbSpace,
  rec2020,
  rgbToXyzD50Matrix,
  srgb,
} from './spaces.ts'

/** How a file's numbers become colour: one curve per channel, then a matrix. */
export type RgbProfile = {
  readonly name: string
  /** Encoded 0..1 → linear 0..1, red, green, blue. */
  readonly decode: readonly [Curve, Curve, Curve]
  /** Linear RGB → XYZ under D50 (ICC), Y of white 1. */
  readonly toXyzD50: Matrix3
}

export type DecodeTables = readonly [Float64Array, Float64Array, Float64Array]

function profileOf(space: RgbSpace): RgbProfile {
  return { name: space.name, decode: [space.decode, space.decode, space.decode], toXyzD50: rgbToXyzD50Matrix(space) }
}

export const srgbProfile: RgbProfile = profileOf(srgb)
export const displayP3Profile: RgbProfile = profileOf(displayP3)
export const adobeRgbProfile: RgbProfile = profileOf(adobeRgb)
export const proPhotoRgbProfile: RgbProfile = profileOf(proPhotoRgb)
export const rec2020Profile: RgbProfile = profileOf(rec2020)

const wellKnown = [srgbProfile, displayP3Profile, adobeRgbProfile, proPhotoRgbProfile, rec2020Profile]

/**
 * Linear light for every code of a file with 8 or 16 bits per channel.
 * @returns  red, green, blue; 256 or 65,536 entries each; one array serves several channels that share a curve
 */
export function decodeTable(profile: RgbProfile, bits: 8 | 16): DecodeTables {
  const top = 2 ** bits - 1
  const made = new Map<Curve, Float64Array>()
  const [r, g, b] = profile.decode.map((curve) => {
    let table = made.get(curve)
    if (table === undefined) {
      table = Float64Array.from({ length: top + 1 }, (_, code) => curve(code / top))
      made.set(curve, table)
    }
    return table
  })
  return [r, g, b] as DecodeTables
}

/** Profiles differ in the last digits of their primaries (how D65 was rounded) and in how finely curves are tabled. */
const matrixTolerance = 0.002
const curveTolerance = 0.003
const probes = Array.from({ length: 33 }, (_, i) => i / 32)

/**
 * The well-known name of a profile, when its primaries and its curves both are those of that space.
 * @returns  "sRGB", "Display P3", "Adobe RGB (1998)", "ProPhoto RGB", "Rec. 2020" or null
 */
export function recogniseProfile(decode: RgbProfile['decode'], toXyzD50: Matrix3): string | null {
  const found = wellKnown.find(
    (known) =>
      known.toXyzD50.every((v, i) => Math.abs(v - (toXyzD50[i] ?? Number.NaN)) <= matrixTolerance) &&
      decode.every((curve) => probes.every((p) => Math.abs(curve(p) - known.decode[0](p)) <= curveTolerance)),
  )
  return found?.name ?? null
}
