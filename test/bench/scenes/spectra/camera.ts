import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { observer2 } from '../../../../shared-core/colour/cie-tables.ts'
import { labToXyz, whites } from '../../../../shared-core/colour/lab.ts'
import {
  apply3,
  diagonal3,
  invert3,
  type Matrix3,
  multiply3,
  type Vector3,
} from '../../../../shared-core/colour/matrix.ts'
import { displayP3Profile, type RgbProfile, srgbProfile } from '../../../../shared-core/colour/profile.ts'
import { sampling, sceneData, spectrumOf, type Values, valueAt, wavelengthNm } from './data.ts'
import { type Light, lightNamed, mixLights } from './lights.ts'
import { wavy } from './paints.ts'
import { anyTone, type Tone } from './tone.ts'

/** What stays the same from photo to photo of one camera in one light. */
export type Camera = {
  space: 'sRGB' | 'Display P3'
  profile: RgbProfile
  /** Sensitivities: red, green, blue. */
  sensor: readonly [Values, Values, Values]
  /** From white-balanced raw to linear RGB of the space; its rows sum to 1. */
  matrix: Matrix3
  tone: Tone
  /** Variance of raw light is `shot` · light + `read`². */
  shot: number
  read: number
  /** How far noise is smeared by the camera's own cleaning, 0 to 1. */
  cleaning: number
}

const gaussSum = (a: Values, b: Values): number => a.reduce((sum, v, i) => sum + v * b[i]!, 0)

/** What a surface gives each channel under a light. */
export const rawOf = (sensor: Camera['sensor'], light: Light, reflectance: Values | null): Vector3 => {
  const reaching = reflectance ? light.power.map((p, i) => p * reflectance[i]!) : light.power
  return [gaussSum(sensor[0], reaching), gaussSum(sensor[1], reaching), gaussSum(sensor[2], reaching)]
}

/**
 * Another camera: the first measured one and a part of the second (whose channels overlap far more than those of phones),
 * each channel shifted, widened and leaking.
 */
function anySensor(random: Random): Camera['sensor'] {
  const { cameras } = sceneData()
  const t = random.between(-0.12, 0.4)
  const plain = [0, 1, 2].map((c) =>
    spectrumOf((_, i) => Math.max(0, (1 - t) * cameras[0]![i]![c]! + t * cameras[1]![i]![c]!)),
  )
  const moved = plain.map((values) => {
    const peak = wavelengthNm(values.indexOf(Math.max(...values)))
    const shift = 4 * random.normal()
    const width = Math.exp(0.06 * random.normal())
    const drift = wavy(random, 0.05)
    const own = spectrumOf((nm) => valueAt(values, peak + (nm - peak - shift) / width) * drift(nm))
    const total = own.reduce((a, b) => a + b, 0)
    return own.map((v) => v / total)
  })
  const leak = () => random.between(0, 0.04)
  const mixed = [0, 1, 2].map((c) => {
    const [near, far] = [leak(), leak()]
    return spectrumOf((_, i) => moved[c]![i]! + near * moved[(c + 1) % 3]![i]! + far * moved[(c + 2) % 3]![i]!)
  })
  return [mixed[0]!, mixed[1]!, mixed[2]!]
}

/**
 * The matrix as a maker fits it: least squares over the patches of a chart, white kept white, under a light that is not
 * quite the painter's, then bent a little to taste.
 */
function makersMatrix(random: Random, sensor: Camera['sensor'], light: Light, profile: RgbProfile): Matrix3 {
  const { chart, chartLab } = sceneData()
  const known = mixLights(light, lightNamed(random.pick(['D65', 'D50', 'A', 'LED-B3', 'FL2'])), random.between(0, 0.7))
  const white = rawOf(sensor, known, null)
  const toRgb = invert3(profile.toXyzD50)
  const samples = chart.map((reflectance, i) => {
    const raw = rawOf(sensor, known, reflectance)
    const [l, a, b] = chartLab[i]!
    const xyz = labToXyz({ l, a, b })
    const balanced: Vector3 = [raw[0] / white[0], raw[1] / white[1], raw[2] / white[2]]
    // Errors of dark patches show more: weigh by the slope of lightness.
    return { balanced, target: apply3(toRgb, [xyz.x, xyz.y, xyz.z]), weight: 1 / (0.05 + xyz.y) }
  })
  const rows = [0, 1, 2].map((c): Vector3 => {
    let [pp, pq, qq, py, qy] = [0, 0, 0, 0, 0]
    for (const { balanced, target, weight } of samples) {
      // The row sums to 1, so two entries say it all.
      const p = balanced[0] - balanced[2]
      const q = balanced[1] - balanced[2]
      const y = target[c]! - balanced[2]
      pp += weight * p * p
      pq += weight * p * q
      qq += weight * q * q
      py += weight * p * y
      qy += weight * q * y
    }
    const det = pp * qq - pq * pq
    const first = (py * qq - qy * pq) / det
    const second = (pp * qy - pq * py) / det
    const [e, f] = [0.02 * random.normal(), 0.02 * random.normal()]
    return [first + e, second + f, 1 - first - second - e - f]
  })
  return [...rows[0]!, ...rows[1]!, ...rows[2]!] as unknown as Matrix3
}

export function anyCamera(random: Random, light: Light): Camera {
  const space = random.chance(0.5) ? 'Display P3' : 'sRGB'
  const profile = space === 'sRGB' ? srgbProfile : displayP3Profile
  let sensor = anySensor(random)
  let matrix = makersMatrix(random, sensor, light, profile)
  // No maker would sell a camera whose noise is multiplied more than this.
  while (matrix.some((entry) => Math.abs(entry) > 2.7)) {
    sensor = anySensor(random)
    matrix = makersMatrix(random, sensor, light, profile)
  }
  return {
    space,
    profile,
    sensor,
    matrix,
    tone: anyTone(random, true),
    shot: 3e-5 * 8 ** random.next(),
    read: random.between(0.0003, 0.0012),
    cleaning: random.chance(0.6) ? random.between(0, 1) : 0,
  }
}

/** A camera that sees as the observer does, without tone curve or matrix error: what is left is the sampling. */
export function idealCamera(random: Random): Camera {
  const space = random.chance(0.5) ? 'Display P3' : 'sRGB'
  const profile = space === 'sRGB' ? srgbProfile : displayP3Profile
  const sensor = [0, 1, 2].map((c) => observer2.slice(0, sampling.count).map((row) => row[c]!))
  return {
    space,
    profile,
    sensor: [sensor[0]!, sensor[1]!, sensor[2]!],
    matrix: multiply3(invert3(profile.toXyzD50), diagonal3([whites.D50.x, whites.D50.y, whites.D50.z])),
    tone: anyTone(random, false),
    shot: 2e-5 * 6 ** random.next(),
    read: random.between(0.0002, 0.0008),
    cleaning: random.chance(0.6) ? random.between(0, 1) : 0,
  }
}
