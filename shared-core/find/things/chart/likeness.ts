import { chartColours } from '../../../capture/camera/chart.ts'
import { type Homography, mapPoint } from '../../../capture/geometry.ts'
import type { Triple } from '../../../capture/pixels.ts'
import { labToXyz } from '../../../colour/lab.ts'
import { apply3, invert3 } from '../../../colour/matrix.ts'
import type { RgbProfile } from '../../../colour/profile.ts'
import type { Point } from '../../../records/area.ts'
import { type Planes, valueAt } from '../planes.ts'

/** Where patch 1 lies in a lattice and which way the chart goes on from there. */
export type Placing = { corner: Point; right: Point; down: Point }

export const chartColumns = 6
export const chartRows = 4
/** Patches that a finger, a reflection or a leaf may cover. */
const mostHidden = 3
const window = [-0.16, 0, 0.16]

/** Cube roots of linear light, about as even to the eye as lightness is; patch by patch, red green blue. */
export type Seen = { colours: Triple[]; outside: number }

export function referenceFor(profile: RgbProfile): Triple[] {
  const toRgb = invert3(profile.toXyzD50)
  return chartColours('avg30').map((lab) => {
    const { x, y, z } = labToXyz(lab)
    return apply3(toRgb, [x, y, z]).map((v) => Math.cbrt(Math.max(0, v))) as Triple
  })
}

/** What stands where the patches would be. */
export function seenAt(planes: Planes, roots: Float64Array[], toPicture: Homography, placing: Placing): Seen {
  const colours: Triple[] = []
  let outside = 0
  for (let patch = 0; patch < chartColumns * chartRows; patch++) {
    const column = patch % chartColumns
    const row = Math.floor(patch / chartColumns)
    const sum: Triple = [0, 0, 0]
    const place = (dx: number, dy: number) => mapPoint(toPicture, inLattice(placing, column + dx, row + dy))
    const [mx, my] = place(0, 0)
    if (!(mx >= 0 && my >= 0 && mx <= planes.width && my <= planes.height)) outside++
    for (const dy of window) {
      for (const dx of window) {
        const [x, y] = place(dx, dy)
        planes.channels.forEach((channel, c) => {
          const code = valueAt(channel, planes.width, planes.height, x, y)
          sum[c]! += roots[c]![Math.round(code)]! / window.length ** 2
        })
      }
    }
    colours.push(sum)
  }
  return { colours, outside }
}

export const inLattice = ({ corner, right, down }: Placing, column: number, row: number): Point => [
  corner[0] + column * right[0] + row * down[0],
  corner[1] + column * right[1] + row * down[1],
]

/**
 * How much of the differences between patches the table explains, when each channel may be scaled and lifted on its own.
 * @returns 1 when all of it, 0 or below when nothing; the few patches that fit worst are left out
 */
export function likeness({ colours, outside }: Seen, reference: Triple[]): number {
  if (outside > mostHidden) return 0
  let kept = colours.map((_, patch) => patch)
  for (let hidden = 0; ; hidden++) {
    const fits = [0, 1, 2].map((c) => fitChannel(colours, reference, kept, c))
    const leftOf = (patch: number) => {
      let sum = 0
      for (let c = 0; c < 3; c++)
        sum += (colours[patch]![c]! - fits[c]!.lift - fits[c]!.gain * reference[patch]![c]!) ** 2
      return sum
    }
    const left = kept.map(leftOf)
    const total = fits.reduce((sum, { variation }) => sum + variation, 0)
    const unexplained = left.reduce((a, b) => a + b, 0)
    const worst = left.indexOf(Math.max(...left))
    // a patch is left out when it alone spoils the fit
    if (hidden >= mostHidden || left[worst]! < 0.25 * unexplained)
      return total > 0.02 ? (1 - unexplained / total) * (1 - 0.02 * hidden) : 0
    kept = kept.filter((_, n) => n !== worst)
  }
}

function fitChannel(colours: Triple[], reference: Triple[], kept: number[], c: number) {
  const mean = (values: Triple[]) => kept.reduce((sum, patch) => sum + values[patch]![c]!, 0) / kept.length
  const [meanSeen, meanReference] = [mean(colours), mean(reference)]
  let [both, own, variation] = [0, 0, 0]
  for (const patch of kept) {
    const [s, r] = [colours[patch]![c]! - meanSeen, reference[patch]![c]! - meanReference]
    both += s * r
    own += r * r
    variation += s * s
  }
  const gain = Math.max(0, both / own)
  return { gain, lift: meanSeen - gain * meanReference, variation }
}
