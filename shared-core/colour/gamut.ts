import { invert3, type Matrix3, multiply3 } from './matrix.ts'
import { type RgbSpace, rgbToXyzMatrix } from './spaces.ts'

/**
 * Oklab of tristimulus values under D65: cone responses, then their cube roots to lightness, green–red and blue–yellow.
 * Source: B. Ottosson, A perceptual color space for image processing (2020), the matrices as CSS Color Module Level 4
 * (section 18, sample code) gives them to more digits.
 */
const xyzToCones: Matrix3 = [
  0.819022437996703, 0.3619062600528904, -0.1288737815209879, 0.0329836539323885, 0.9292868615863434,
  0.0361446663506424, 0.0481771893596242, 0.2642395317527308, 0.6335478284694309,
]
const conesToOklab: Matrix3 = [
  0.210454268309314, 0.7936177747023054, -0.0040720430116193, 1.9779985324311684, -2.4285922420485799,
  0.450593709617411, 0.0259040424655478, 0.7827717124575296, -0.8086757549230774,
]
const oklabToCones = invert3(conesToOklab)

/** Linear red, green, blue; altered in place. */
export type Light = [number, number, number] | Float64Array

/** Half a step of an 8-bit channel: nearer to an edge nobody could draw it otherwise. */
const halfStep = 1 / 510
/** How much steeper the curve of sRGB is than linear light at black, and at white: its slopes there. */
const slopes = { black: 12.92, white: 1.055 / 2.4 }

/** 1 / 65,536 of the chroma: finer than a step of 8 bits. */
const halvings = 16

/**
 * Makes a function that brings colours into a space of a screen with as little change as the eye takes for the same colour:
 * lightness and hue (of Oklab) stay, chroma is taken back until the colour fits. What is lighter than the space's white is
 * white, what is darker than black is black.
 * Source: CSS Color Module Level 4, section 13.2 (gamut mapping by reducing chroma in OKLCh), without its last step, which
 * lets a channel be clipped where nobody could see it.
 * @param space      its curve is not used: colours are linear light, 0..1 inside
 * @param tolerance  so far outside, in an encoded channel, a colour still counts as inside and is clipped
 * @returns          alters a colour in place and says whether it lay outside; NaN in, NaN out
 */
export function fitInto(space: RgbSpace, tolerance = halfStep): (light: Light) => boolean {
  const least = -tolerance / slopes.black
  const most = 1 + tolerance / slopes.white
  // by place: taking a typed array apart goes through its iterator, for every pixel of a picture
  const isInside = (light: Light) => within(light[0]) && within(light[1]) && within(light[2])
  const within = (v: number) => v >= least && v <= most
  const toCones = multiply3(xyzToCones, rgbToXyzMatrix(space))
  const fromCones = invert3(toCones)
  const trial = new Float64Array(3)
  return (light) => {
    if (isInside(light)) {
      for (let c = 0; c < 3; c++) light[c] = clip(light[c]!)
      return false
    }
    const [r = 0, g = 0, b = 0] = light
    const l = Math.cbrt(toCones[0] * r + toCones[1] * g + toCones[2] * b)
    const m = Math.cbrt(toCones[3] * r + toCones[4] * g + toCones[5] * b)
    const s = Math.cbrt(toCones[6] * r + toCones[7] * g + toCones[8] * b)
    const lightness = conesToOklab[0] * l + conesToOklab[1] * m + conesToOklab[2] * s
    if (lightness >= 1 || lightness <= 0) {
      light.fill(lightness >= 1 ? 1 : 0)
      return true
    }
    // along one lightness and hue the roots of the cones run straight from the grey (all alike) to the colour
    const at = (share: number) => {
      const root = (cone: number, own: number) => {
        const grey = lightness * (oklabToCones[3 * cone] ?? 1)
        return (grey + share * (own - grey)) ** 3
      }
      const [x, y, z] = [root(0, l), root(1, m), root(2, s)]
      trial[0] = fromCones[0] * x + fromCones[1] * y + fromCones[2] * z
      trial[1] = fromCones[3] * x + fromCones[4] * y + fromCones[5] * z
      trial[2] = fromCones[6] * x + fromCones[7] * y + fromCones[8] * z
    }
    let inside = 0
    let outside = 1
    for (let i = 0; i < halvings; i++) {
      const middle = (inside + outside) / 2
      at(middle)
      if (isInside(trial)) inside = middle
      else outside = middle
    }
    at(inside)
    for (let c = 0; c < 3; c++) light[c] = clip(trial[c]!)
    return true
  }
}

const clip = (v: number): number => Math.min(1, Math.max(0, v))
