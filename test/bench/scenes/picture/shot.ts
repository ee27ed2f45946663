import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Matrix3, Vector3 } from '../../../../shared-core/colour/matrix.ts'
import type { Camera } from '../spectra/camera.ts'
import type { Values } from '../spectra/data.ts'
import type { Light } from '../spectra/lights.ts'
import type { Paint } from '../spectra/paints.ts'
import type { PageRaster } from './things/page-raster.ts'

/** Millimetres on the bench: from the middle of the picture, x right, y down. */
export type Mm = readonly [x: number, y: number]

export type Thing =
  | { what: 'panel'; on: Rectangle; paint: Paint; strips?: Strips; glares: Glare[]; haze: number }
  | { what: 'flat'; on: Rectangle; reflectance: Values; sheen: number }
  | { what: 'chart'; on: Rectangle; patches: Values[]; frame: Values; frameMm: number; fill: number }
  | Page
  | Clutter
  /** The shadow that a thing of some thickness throws beside itself. */
  | { what: 'cast'; on: Rectangle; depth: number; softMm: number }

/** A printed page; a reflectance for each ink of its raster. */
export type Page = {
  what: 'page'
  on: Rectangle
  raster: PageRaster
  reflectances: Values[]
  grain: number
  glares: Glare[]
  bend: Bend | null
}

/** Paper that does not lie flat: beyond a line through `from` it seems moved by the square of the distance, `byMm` at `reachMm`. */
export type Bend = { from: Mm; towards: number; reachMm: number; byMm: number }

/** A hand, a tool, a cable, a washer: thick lines, darker towards their edges; millimetres from the rectangle's middle. */
export type Clutter = {
  what: 'clutter'
  on: Rectangle
  lines: { from: Mm; to: Mm; radius: number }[]
  reflectance: Values
  round: number
}

/** A panel that was taped between coats: paints side by side from left to right, or from top to bottom. */
export type Strips = {
  across: 'width' | 'height'
  paints: Values[]
  /** Where one goes over into the next: millimetres from the panel's middle, how far it leans over the panel's width, how soft. */
  edges: { atMm: number; lean: number; softMm: number }[]
  /** How much brighter or darker paint stands that piled up at the tape, relative. */
  ridge: number
}

/** A lamp's or tube's image in the clear: an ellipse on the panel with soft edges, in its own millimetres. */
export type Glare = {
  x: number
  y: number
  turn: number
  halfLength: number
  halfWidth: number
  /** Share of the half width over which it fades. */
  softness: number
  /** Light in parts of a perfect white's. */
  strength: number
}

/** Something between lamp and bench: a straight edge, or an arm and a hand as thick lines; both with soft borders. */
export type Shadow = {
  lines: { from: Mm; to: Mm; radius: number }[]
  half: { at: Mm; turn: number } | null
  soft: number
  depth: number
}

/** A speck, a fibre's piece or a drop on whatever lies there. */
export type Speck = { x: number; y: number; radius: number; reflectance: number; opacity: number }

/** How light falls over the bench, 1 in the middle. */
export type Field = {
  /** A lamp at a height over a place. */
  lamp: { at: Mm; heightMm: number }
  /** Relative change over 100 mm to the right and down. */
  slope: Mm
}

/** Everything that one photo shows and what takes it. */
export type Shot = {
  seed: string
  width: number
  height: number
  pixelsPerMm: number
  toPhoto: Matrix3
  toBench: Matrix3
  camera: Camera
  light: Light
  field: Field
  /** Another light from somewhere else, and its strength in the middle in parts of the first. */
  second: { light: Light; field: Field; strength: number } | null
  bench: Values
  benchGrain: number
  things: Thing[]
  shadows: Shadow[]
  specks: Speck[]
  /** What the white balance got wrong, per channel; and whether it is made up for after the matrix, as no real camera does. */
  balance: Vector3
  balanceLast: boolean
  /** Raw white that the camera balances on. */
  white: Vector3
  /** Balanced linear light of a perfect white in the middle. */
  exposure: number
  flare: number
  vignette: number
  /** Share by which the lens moves a corner of the picture outwards: see `throughLens`; none for 0 or nothing. */
  lensBends?: number
  /** Radius of the blur in pixels: lens and hand. */
  blur: number
  noise: number
  quality: number
}
