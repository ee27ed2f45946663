import { fitInto } from './gamut.ts'
import { type Lab, labToXyz } from './lab.ts'
import { invert3, type Matrix3 } from './matrix.ts'
import { displayP3, type RgbSpace, rgbToXyzD50Matrix, srgb, xyzToRgb } from './spaces.ts'

/** How a colour is painted on screen. What a screen cannot show is said, not clipped in silence. */
export type CssColour = {
  /** `color(display-p3 r g b)`, fitted into Display P3 where it lies outside. */
  readonly css: string
  /** The same for screens without it: `#rrggbb`, fitted into sRGB. */
  readonly hex: string
  readonly inSrgb: boolean
  readonly inP3: boolean
}

type Screen = { space: RgbSpace; fromXyz: Matrix3; fit: ReturnType<typeof fitInto> }

const screenOf = (space: RgbSpace): Screen => ({
  space,
  fromXyz: invert3(rgbToXyzD50Matrix(space)),
  fit: fitInto(space),
})
const p3 = screenOf(displayP3)
const usual = screenOf(srgb)

function encodedFor({ space, fromXyz, fit }: Screen, lab: Lab): { values: number[]; inside: boolean } {
  const { r, g, b } = xyzToRgb(fromXyz, labToXyz(lab))
  const light: [number, number, number] = [r, g, b]
  const inside = !fit(light)
  return { values: light.map(space.encode), inside }
}

const hexPair = (v: number) =>
  Math.round(v * 255)
    .toString(16)
    .padStart(2, '0')

/**
 * The screen colour of a Lab. One that lies outside keeps lightness and hue and loses chroma, see `fitInto`.
 * @param lab  CIELAB D50, 2°, finite; a white of L* 100 becomes the screen's white, and so does all that is lighter
 */
export function labToCssColour(lab: Lab): CssColour {
  const wide = encodedFor(p3, lab)
  const narrow = encodedFor(usual, lab)
  return {
    css: `color(display-p3 ${wide.values.map((v) => v.toFixed(4)).join(' ')})`,
    hex: `#${narrow.values.map(hexPair).join('')}`,
    inSrgb: narrow.inside,
    inP3: wide.inside,
  }
}
