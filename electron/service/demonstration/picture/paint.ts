import { adapt } from '../../../../shared-core/colour/adaptation.ts'
import { type Lab, whites } from '../../../../shared-core/colour/lab.ts'
import { apply3, invert3, type Matrix3, type Vector3 } from '../../../../shared-core/colour/matrix.ts'
import { displayP3, rgbToXyzD50Matrix, srgb } from '../../../../shared-core/colour/spaces.ts'
import {
  type SpectralIlluminant,
  type Spectrum,
  spectralWhite,
  spectrumToLab,
  spectrumToXyz,
} from '../../../../shared-core/colour/spectrum.ts'
import { throughFilm, underMidCoat } from '../../../../shared-core/film/forward.ts'
import type { View } from '../../../../shared-core/records/colour.ts'
import type { Camera, Coating } from './plan.ts'

/** Light that meets a clear surface and never the film. */
const surfaceFlare = 0.001

/** How much of a metallic ground's light goes this way, and how much longer its way through the film is. */
const angles: Record<View, { lobe: number; path: number }> = {
  'near-glare': { lobe: 0.42, path: 0.96 },
  face: { lobe: 0, path: 1 },
  flop: { lobe: -0.55, path: 1.18 },
}

/** What of a coating's light reaches the lens, at `thickness` times its mean film. */
export function coatingReflectance(coating: Coating, lobe: number, view: View, thickness = 1): number[] {
  const angle = angles[view]
  const level = 1 + angle.lobe * Math.min(1, lobe)
  const reflectance = coating.ground.reflectance.map((r) => r * level)
  const absorbance = coating.absorbance.map((a) => a * thickness * angle.path)
  const candy = throughFilm({ ...coating.ground, reflectance }, absorbance, surfaceFlare)
  if (!coating.over) return candy
  const platelet = coating.over.platelet.map((r) => Math.min(1, r * level))
  return underMidCoat(candy, platelet, coating.over.coats, coating.over.coverage)
}

/** Lab (D50, 2°) of a coating by the forward model, flat and without any camera. */
export const coatingLab = (coating: Coating, lobe: number, view: View): Lab =>
  spectrumToLab(coatingReflectance(coating, lobe, view))

/** From a reflectance to the camera's linear RGB: white balanced on the lamp (Bradford), then the camera's cast. */
export function developer(illuminant: SpectralIlluminant, camera: Camera): (reflectance: Spectrum) => Vector3 {
  const space = camera.space === 'sRGB' ? srgb : displayP3
  const toRgb: Matrix3 = invert3(rgbToXyzD50Matrix(space))
  const white = spectralWhite(illuminant)
  const [castR, castG, castB] = camera.cast
  return (reflectance) => {
    const xyz = adapt(spectrumToXyz(reflectance, illuminant), white, whites.D50)
    const [r, g, b] = apply3(toRgb, [xyz.x, xyz.y, xyz.z])
    return [r * castR, g * castG, b * castB]
  }
}

/** Film thickness runs from `thinnest` in `thicknessSteps` equal steps to 2 − `thinnest`. */
export const thinnest = 0.7
export const thicknessSteps = 96

/** Linear RGB of a coating by film thickness, three values each. */
export function thicknessTable(
  coating: Coating,
  lobe: number,
  view: View,
  develop: (reflectance: Spectrum) => Vector3,
): Float32Array {
  const table = new Float32Array(3 * thicknessSteps)
  for (let i = 0; i < thicknessSteps; i++) {
    const thickness = thinnest + ((2 - 2 * thinnest) * i) / (thicknessSteps - 1)
    table.set(develop(coatingReflectance(coating, lobe, view, thickness)), 3 * i)
  }
  return table
}

/** Linear light to steps of 255, by the square root of the light: the camera's tone curve, then the space's. */
export const toneSteps = 4096
export function toneTable(curve: number): Float32Array {
  return Float32Array.from({ length: toneSteps }, (_, i) => {
    const v = srgb.encode((i / (toneSteps - 1)) ** 2)
    // An S that leaves black, white and a mid grey (0.46 encoded) where they are.
    return 255 * (v + 4 * curve * (v - 0.46) * v * (1 - v))
  })
}
