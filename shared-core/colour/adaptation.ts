import type { Xyz } from './lab.ts'
import { apply3, diagonal3, invert3, type Matrix3, multiply3 } from './matrix.ts'

/** Bradford cone responses. Source: ICC.1:2010 annex E; Lam, thesis, Bradford 1985. */
const bradford: Matrix3 = [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296]
const fromBradford = invert3(bradford)

/**
 * Linear Bradford adaptation of tristimulus values from one white to another.
 * @param from, to  whites of the same observer, all components above 0
 * Source: ICC.1:2010 annex E, equations E.1 to E.5.
 */
export function adaptationMatrix(from: Xyz, to: Xyz): Matrix3 {
  const a = apply3(bradford, [from.x, from.y, from.z])
  const b = apply3(bradford, [to.x, to.y, to.z])
  return multiply3(fromBradford, multiply3(diagonal3([b[0] / a[0], b[1] / a[1], b[2] / a[2]]), bradford))
}

export function adapt(xyz: Xyz, from: Xyz, to: Xyz): Xyz {
  const [x, y, z] = apply3(adaptationMatrix(from, to), [xyz.x, xyz.y, xyz.z])
  return { x, y, z }
}
