import type { SpectralIlluminant, Spectrum } from '../../../../shared-core/colour/spectrum.ts'
import type { FilmGround } from '../../../../shared-core/film/forward.ts'
import type { View } from '../../../../shared-core/records/colour.ts'

/** One step of a panel, as light meets it. Plain data: it crosses to the worker that renders. */
export type Coating = {
  ground: FilmGround
  /** Natural absorbance of the round trip at the film's mean thickness. */
  absorbance: Spectrum
  /** A mid coat on top of the candy. */
  over: { platelet: Spectrum; coats: number; coverage: number } | null
}

export type PanelLook = {
  widthMm: number
  heightMm: number
  /** From the top down. */
  steps: Coating[]
  /** Where each step ends, as a share of the height; the last is 1. */
  ends: number[]
  grain: number
  sparkle: number
  lobe: number
  /** 0 dull, 1 cleared and polished. */
  gloss: number
  hole: boolean
}

export type Bench = 'mat' | 'paper' | 'board' | 'steel' | 'sheet'

export type Lamp = {
  illuminant: SpectralIlluminant
  /** Linear level that a perfect white gets in the middle of the photo. */
  level: number
  /** Change of the light over 100 mm, to the right and down. */
  gradient: [number, number]
  /** Where the light comes from, radians, 0 is the right, a quarter turn is below. */
  from: number
  /** The lamp's own image in the paint, in one corner of the panel; 0 is none. */
  glare: number
}

export type Camera = {
  space: 'sRGB' | 'Display P3'
  /** What the white balance leaves on each channel; 1, 1, 1 is perfect. */
  cast: [number, number, number]
  /** Strength of the tone curve's S; 0 is linear. */
  curve: number
  /** Standard deviation of the sensor's noise, in steps of 255. */
  noise: number
  /** Light lost in the corners, 0 to 1. */
  vignette: number
  /** Radians. */
  pitch: number
  yaw: number
  roll: number
  pixelsPerMm: number
}

/** Everything one photo shows. Millimetres from the middle of the picture, x right, y down. */
export type PhotoPlan = {
  seed: string
  width: number
  height: number
  view: View
  bench: Bench
  panel: PanelLook & { xMm: number; yMm: number; turn: number }
  card: { xMm: number; yMm: number; turn: number; widthMm: number; heightMm: number } | null
  /** A slip of paper with the code written on it. */
  tag: { text: string; xMm: number; yMm: number; turn: number } | null
  lamp: Lamp
  camera: Camera
}
