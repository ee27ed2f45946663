import { srgb } from '../../colour/spaces.ts'
import type { Triple } from '../pixels.ts'

/**
 * A camera as far as a photo shows it: what happened between the light and the numbers of the file. Undone in this order:
 *
 * 1. tone: the camera bent each channel by an S-curve in its encoded numbers, e ↦ e + k (3e² − 2e³ − e), after a power p;
 * 2. exposure and white balance: a gain per channel, and flare, light that never came from the surface, taken off;
 * 3. colour: a root polynomial of the three channels, which keeps colours alike at any exposure.
 *
 * Sources: root-polynomial colour correction: Finlayson, Mackiewicz and Hurlbert, IEEE Trans. Image Process. 24 (2015)
 * 1460–1470 (second degree). The family of tone curves is our own: cubic smoothstep and power, which between them
 * follow the curves of the open chart photos.
 */
export type Camera = {
  /** k, −0.6 to 0.97: 0 leaves the numbers as they are, 1 would be flat at black and white. */
  contrast: number
  /** Natural logarithm of the exponent by which the encoded numbers were bent before the S-curve was laid over them. */
  power: number
  /** Linear light that is in every colour of the photo, 1 for white. */
  flare: number
  /** What the other channels add to each: green and blue to red, red and blue to green, red and green to blue. */
  cross: readonly number[]
  /** Of √rg, √gb and √rb to red, to green, to blue. Each channel's own share makes its terms add to 1. */
  root: readonly number[]
  /** Multiplies linear light per channel after the tone curve is undone. */
  gain: Triple
}

/** Numbers of `toVector` that belong to the camera; three for the gain (natural logarithms) follow. */
export const cameraTerms = 18
/** The first of them make the tone curve. */
export const toneTerms = 2
export const allTerms = cameraTerms + 3

export const toVector = (camera: Camera): number[] => [
  camera.contrast,
  camera.power,
  camera.flare,
  ...camera.cross,
  ...camera.root,
  ...camera.gain.map(Math.log),
]

export function fromVector(x: ArrayLike<number>): Camera {
  const at = (i: number) => x[i] ?? 0
  const range = (from: number, count: number) => Array.from({ length: count }, (_, i) => at(from + i))
  return {
    contrast: at(0),
    power: at(1),
    flare: at(2),
    cross: range(3, 6),
    root: range(9, 9),
    gain: [Math.exp(at(18)), Math.exp(at(19)), Math.exp(at(20))],
  }
}

/** A file that holds linear light as it was, at gain 1. */
export const plainCamera: Camera = {
  contrast: 0,
  power: 0,
  flare: 0,
  cross: Array<number>(6).fill(0),
  root: Array<number>(9).fill(0),
  gain: [1, 1, 1],
}

/**
 * Undoes the tone curve.
 * @param light  linear light by the file's profile, 0 to 1; beyond it is taken as it is at the end
 * @returns      linear light before the curve, 0 to 1, rising with `light`
 */
export function undoTone(light: number, { contrast, power }: Pick<Camera, 'contrast' | 'power'>): number {
  if (contrast === 0 && power === 0) return light
  const e = srgb.encode(Math.min(1, Math.max(0, light)))
  return srgb.decode(undoContrast(e, contrast) ** Math.exp(power))
}

/** The tone curve laid on again: what the file would say of light that `undoTone` gave. */
export function redoTone(light: number, { contrast, power }: Pick<Camera, 'contrast' | 'power'>): number {
  if (contrast === 0 && power === 0) return light
  const s = srgb.encode(Math.min(1, Math.max(0, light))) ** Math.exp(-power)
  return srgb.decode(s + contrast * s * (3 * s - 2 * s * s - 1))
}

/** Solves s + k (3s² − 2s³ − s) = e for s by Newton's steps kept inside a closing bracket. */
export function undoContrast(e: number, k: number): number {
  if (k === 0 || e <= 0 || e >= 1) return e
  let low = 0
  let high = 1
  let s = e
  for (let i = 0; i < 40; i++) {
    const over = s + k * s * (3 * s - 2 * s * s - 1) - e
    if (Math.abs(over) < 1e-9) return s
    if (over > 0) high = s
    else low = s
    const slope = 1 + k * (6 * s - 6 * s * s - 1)
    const next = slope > 1e-6 ? s - over / slope : Number.NaN
    s = next > low && next < high ? next : (low + high) / 2
  }
  return s
}

const least = 1e-6

/**
 * Light that a surface sends back, by what the file says.
 * @param light  linear light by the file's profile
 * @returns      linear RGB of the profile's primaries, 1 for white, never below 0
 */
export const surfaceLight = (light: Triple, camera: Camera): Triple => surfaceOf(undoTones(light, camera), camera)

/** The tone curve undone in each channel. */
export const undoTones = (light: Triple, camera: Pick<Camera, 'contrast' | 'power'>): Triple => [
  undoTone(light[0], camera),
  undoTone(light[1], camera),
  undoTone(light[2], camera),
]

/** As `surfaceLight`, by light that `undoTones` gave. */
export function surfaceOf(undone: Triple, camera: Camera): Triple {
  const { gain, flare } = camera
  return mix(
    [
      Math.max(least, undone[0] * gain[0] - flare),
      Math.max(least, undone[1] * gain[1] - flare),
      Math.max(least, undone[2] * gain[2] - flare),
    ],
    camera,
  )
}

/** The colour terms. A neutral stays as it is: each row adds to 1. */
function mix([r, g, b]: Triple, { cross, root }: Camera): Triple {
  const rg = Math.sqrt(r * g)
  const gb = Math.sqrt(g * b)
  const rb = Math.sqrt(r * b)
  const rooted = (row: number, own: number) =>
    root[row]! * (rg - own) + root[row + 1]! * (gb - own) + root[row + 2]! * (rb - own)
  return [
    Math.max(least, r + cross[0]! * (g - r) + cross[1]! * (b - r) + rooted(0, r)),
    Math.max(least, g + cross[2]! * (r - g) + cross[3]! * (b - g) + rooted(3, g)),
    Math.max(least, b + cross[4]! * (r - b) + cross[5]! * (g - b) + rooted(6, b)),
  ]
}

/**
 * The gain with which a known surface comes out as it is known.
 * @param light   what the file says of it, linear
 * @param target  what it is: linear RGB, 1 for white, about neutral
 */
export function gainFor(light: Triple, target: Triple, camera: Camera): Triple {
  // colour terms hardly move a neutral: a few rounds of correcting what they did to it settle it
  let wanted = target
  for (let i = 0; i < 12; i++) {
    const got = mix(wanted, camera)
    wanted = [(wanted[0] * target[0]) / got[0], (wanted[1] * target[1]) / got[1], (wanted[2] * target[2]) / got[2]]
  }
  const of = (c: 0 | 1 | 2) => (wanted[c] + camera.flare) / Math.max(least, undoTone(light[c], camera))
  return [of(0), of(1), of(2)]
}
