import { differenceFrame } from '../../colour/difference-frame.ts'
import type { Lab } from '../../colour/lab.ts'
import { framed } from '../doubt.ts'
import type { FilmFit, FilmSlope } from '../fitted.ts'
import { spreadOf } from '../predict.ts'
import { meanLength } from '../problem.ts'

type Vector = readonly [number, number, number]

/**
 * How sure it is that one recipe comes nearer to an aim than another, in standard deviations.
 *
 * With d and d′ their distances from the aim and e, e′ what both are wrong by, |d + e|² − |d′ + e′|² is to first order
 * normal around |d|² + tr C − |d′|² − tr C′ with the variance of 2 (d · e − d′ · e′). The aim's error is the same for both,
 * and most of the model's is: what cannot be told of either may well be told of the two beside each other.
 * @param aim            noise: mean length of its error, dE00
 * @param buildVariance  of ln of the build that both will have
 * @returns              0: as likely nearer as farther; above 0: nearer
 */
export function surenessOf(
  fit: FilmFit,
  kept: FilmSlope,
  changed: FilmSlope,
  aim: { lab: Lab; noise: number },
  buildVariance: number,
): number {
  const frame = differenceFrame(aim.lab)
  const from = ({ lab }: FilmSlope): Vector => times(frame, [lab.l - aim.lab.l, lab.a - aim.lab.a, lab.b - aim.lab.b])
  const [d, changedD] = [from(kept), from(changed)]
  const size = ({ columns, rows, perBuild }: FilmSlope): number => {
    const spread = framed(frame, spreadOf(fit, { columns, rows }))
    return spread[0]! + spread[4]! + spread[8]! + squared(times(frame, perBuild)) * buildVariance
  }
  const gain = squared(d) + size(kept) - squared(changedD) - size(changed)
  // d · e of the unknowns that either recipe rests on, as one row over them
  const row = new Map<number, number>()
  const add = ({ columns, rows }: FilmSlope, along: Vector, sign: number): void => {
    const width = columns.length
    const back = timesBack(frame, along)
    columns.forEach((column, k) => {
      const by = back[0] * rows[k]! + back[1] * rows[width + k]! + back[2] * rows[2 * width + k]!
      row.set(column, (row.get(column) ?? 0) + sign * by)
    })
  }
  add(kept, d, 1)
  add(changed, changedD, -1)
  const n = Math.round(Math.sqrt(fit.covariance.length))
  let variance = 0
  for (const [i, a] of row) for (const [j, b] of row) variance += a * b * fit.covariance[i * n + j]!
  const byBuild = dot(d, times(frame, kept.perBuild)) - dot(changedD, times(frame, changed.perBuild))
  variance += byBuild ** 2 * buildVariance
  const apart: Vector = [d[0] - changedD[0], d[1] - changedD[1], d[2] - changedD[2]]
  variance += squared(apart) * (aim.noise / meanLength) ** 2
  // nothing to tell them apart by: they are one recipe
  return variance > 0 ? gain / (2 * Math.sqrt(variance)) : 0
}

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const squared = (a: Vector): number => dot(a, a)

const times = (m: Float64Array, [x, y, z]: Vector): Vector => [
  m[0]! * x + m[1]! * y + m[2]! * z,
  m[3]! * x + m[4]! * y + m[5]! * z,
  m[6]! * x + m[7]! * y + m[8]! * z,
]
const timesBack = (m: Float64Array, [x, y, z]: Vector): Vector => [
  m[0]! * x + m[3]! * y + m[6]! * z,
  m[1]! * x + m[4]! * y + m[7]! * z,
  m[2]! * x + m[5]! * y + m[8]! * z,
]
