import type { Random } from '../../electron/service/demonstration/random.ts'
import { differenceCiede2000, differenceParts } from '../../shared-core/colour/difference.ts'
import { type Lab, labToXyz, xyzToLab } from '../../shared-core/colour/lab.ts'

/** Mean length of a normal vector in space with standard deviation 1 along each axis: √(8/π). */
const meanLength = Math.sqrt(8 / Math.PI)

/**
 * A reading with an error of its own: even in all directions as CIEDE2000 measures them (lightness, chroma and hue each
 * divided by its S), `mean` dE00 long on average.
 */
export function misread(random: Random, lab: Lab, mean: number): Lab {
  if (mean === 0) return lab
  const { sl, sc, sh } = differenceParts(lab, lab)
  const c = Math.hypot(lab.a, lab.b)
  const c7 = c ** 7
  const stretch = 1.5 - 0.5 * Math.sqrt(c7 / (c7 + 25 ** 7))
  const sd = mean / meanLength
  const stretched = Math.hypot(lab.a * stretch, lab.b)
  const [ux, uy] = stretched > 0 ? [(lab.a * stretch) / stretched, lab.b / stretched] : [1, 0]
  const [l, chroma, hue] = [sd * sl * random.normal(), sd * sc * random.normal(), sd * sh * random.normal()]
  return {
    l: lab.l + l,
    a: (lab.a * stretch + chroma * ux - hue * uy) / stretch,
    b: lab.b + chroma * uy + hue * ux,
  }
}

/** What all readings of one photo share: its white balance and exposure are a little off. */
export type PhotoError = (lab: Lab) => Lab

const gains =
  (x: number, y: number, z: number): PhotoError =>
  (lab) => {
    const xyz = labToXyz(lab)
    return xyzToLab({ x: xyz.x * Math.exp(x), y: xyz.y * Math.exp(y), z: xyz.z * Math.exp(z) })
  }

/** Errors of photos whose mean dE00 over the given colours is `mean`. */
export function photoErrors(random: Random, over: readonly Lab[], mean: number): () => PhotoError {
  const drawn = (size: number) => gains(size * random.normal(), size * random.normal(), size * random.normal())
  if (mean === 0 || over.length === 0) return () => (lab) => lab
  const trial = 0.02
  let total = 0
  for (let i = 0; i < 40; i++) {
    const error = drawn(trial)
    for (const lab of over) total += differenceCiede2000(lab, error(lab)) / over.length
  }
  const size = (trial * mean) / (total / 40)
  return () => drawn(size)
}
