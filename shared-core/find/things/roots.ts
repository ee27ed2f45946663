import type { RgbProfile } from '../../colour/profile.ts'

/** Cube roots of the linear light of every 8-bit number of a picture, red green blue: about as even to the eye as lightness. */
export const rootsOf = (profile: RgbProfile): Float64Array[] =>
  profile.decode.map((curve) =>
    Float64Array.from({ length: 256 }, (_, code) => Math.cbrt(Math.max(0, curve(code / 255)))),
  )
