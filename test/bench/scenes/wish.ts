import type { Lab } from '../../../shared-core/colour/lab.ts'
import type { RgbProfile } from '../../../shared-core/colour/profile.ts'
import type { Layout } from '../../../shared-core/records/area.ts'
import type { Shot } from './picture/shot.ts'
import type { Camera } from './spectra/camera.ts'
import type { Light } from './spectra/lights.ts'
import type { Paint } from './spectra/paints.ts'

export type Trouble =
  | 'overexposed'
  | 'too-dark'
  | 'mixed-light'
  | 'blurred'
  | 'card-half-shadow'
  | 'panel-mostly-glare'
  | 'tiny-area'
export const troubles: readonly Trouble[] = [
  'overexposed',
  'too-dark',
  'mixed-light',
  'blurred',
  'card-half-shadow',
  'panel-mostly-glare',
  'tiny-area',
]

/** What a photo is to show. */
export type Wish = {
  seed: string
  camera: Camera
  light: Light
  paints: Paint[]
  chart?: boolean
  tiles?: boolean
  /** Ideal colour: the white balance's error comes after the matrix, so that the card takes it out exactly. */
  ideal?: boolean
  /** Error of the white balance, natural logarithm: red and blue against green. */
  balance: readonly [red: number, blue: number]
  trouble?: Trouble | null
  /** Standard deviation of how far the camera leans either way, radians. */
  tilt?: number
}

export type Planned = { shot: Shot; layout: Layout; truth: Lab[]; profile: RgbProfile; facts: Facts }

/** What the generator knows about a photo. */
export type Facts = {
  group?: string
  trouble: Trouble | null
  tone: string
  light: string
  space: string
  kinds: string[]
  flare: number
  /** The paint itself runs into the limit of the file in some channel. */
  clipped: boolean
  /** Light on the middle of each panel against that on the card, relative. */
  unevenness: number[]
}
