import { Matrix, solve } from 'ml-matrix'
import type { Random } from '../../electron/service/demonstration/random.ts'
import { illuminantA, illuminantD50, illuminantLedB3, observer2 } from '../../shared-core/colour/cie-tables.ts'
import { type Lab, whites, xyzToLab } from '../../shared-core/colour/lab.ts'
import { spectrumToLab } from '../../shared-core/colour/spectrum.ts'
import { type Stuff, sampling, type Values } from './spectra.ts'

/** What turns a spectrum into a colour, D50. */
export type Eye = (reflectance: Values) => Lab

export const standardEye: Eye = (reflectance) => spectrumToLab(reflectance, sampling)

/**
 * A camera: its curves are the observer's, moved and widened, in a light of its own (a mixture of lamps), brought back to
 * XYZ as well as one matrix can, learnt on paints. What is left is the camera's own way of seeing: it sees the same paint
 * always the same, but not as the observer does.
 */
export function cameraEye(random: Random, stuff: Stuff): Eye {
  const rows = sampling.count
  const shares = [random.between(0.3, 1), random.between(0, 0.3), random.between(0, 0.5)]
  const light = (w: number) =>
    shares[0]! * illuminantD50[w]! + shares[1]! * illuminantA[w]! + shares[2]! * illuminantLedB3[w]!
  const curves = [0, 1, 2].map((column) => {
    const moved = random.between(-1.2, 1.2)
    const wider = random.between(0.05, 0.3)
    const at = (w: number) => observer2[Math.min(rows - 1, Math.max(0, w))]![column]!
    const between = (t: number) => at(Math.floor(t)) + (t - Math.floor(t)) * (at(Math.floor(t) + 1) - at(Math.floor(t)))
    return Array.from({ length: rows }, (_, w) => {
      const t = w + moved
      return light(w) * ((1 - wider) * between(t) + (wider / 2) * (between(t - 3) + between(t + 3)))
    })
  })
  const seen = (reflectance: Values) =>
    curves.map((curve) => curve.reduce((sum, c, w) => sum + c * reflectance[w]!, 0) / curve.reduce((a, b) => a + b, 0))
  const truth = (reflectance: Values) =>
    [0, 1, 2].map((column) => {
      const weight = (w: number) => illuminantD50[w]! * observer2[w]![column]!
      const all = reflectance.reduce((sum, _, w) => sum + weight(w), 0)
      return reflectance.reduce((sum, r, w) => sum + r * weight(w), 0) / all
    })
  // the white counts most: a card is balanced on
  const paints = [
    ...Array.from({ length: 20 }, () => Array<number>(rows).fill(1)),
    ...stuff.dyes(random, 6).flatMap((dye) => [0.3, 1, 3].map((load) => dye.map((a) => 0.9 * Math.exp(-load * a)))),
  ]
  const matrix = solve(new Matrix(paints.map(seen)), new Matrix(paints.map(truth)))
  return (reflectance) => {
    const raw = seen(reflectance)
    const [x, y, z] = [0, 1, 2].map((column) => raw.reduce((sum, r, k) => sum + r * matrix.get(k, column), 0))
    const { D50 } = whites
    return xyzToLab({ x: x! * D50.x, y: y!, z: z! * D50.z }, D50)
  }
}
