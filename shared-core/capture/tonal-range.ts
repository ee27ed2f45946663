import type { DecodeTables } from '../colour/profile.ts'
import type { Pixels, Triple } from './pixels.ts'
import { selectAt } from './statistics.ts'

/** How many levels of brightness a photo shows, and its darkest. */
export type TonalRange = {
  /** Levels a quarter apart (natural logarithm of light) that hold at least a hundredth of the photo each. */
  levels: number
  /** Linear light of the darkest places: 3 in 1,000 are darker. */
  darkest: Triple
}

/** A bench top with panels and a card shows half a dozen levels; a room, a street, a hand in the picture show more. */
const busyLevels = 12
const samples = 60_000
const apart = 0.25
const share = 0.01
const darkShare = 0.003

export const isBusy = ({ levels }: TonalRange): boolean => levels >= busyLevels

/** Looks at 2 × 2 pixels each on a square lattice: single pixels are noise. */
export function tonalRangeOf({ width, height, data }: Pixels, [red, green, blue]: DecodeTables): TonalRange {
  const step = Math.max(2, Math.ceil(Math.sqrt((width * height) / samples)))
  const columns = Math.ceil(Math.max(0, width - 1) / step)
  const rows = Math.ceil(Math.max(0, height - 1) / step)
  const count = columns * rows
  if (count === 0) return { levels: 0, darkest: [0, 0, 0] }
  const lights = new Float64Array(count * 3)
  const sums = new Float64Array(count)
  const levels = new Map<number, number>()
  for (let n = 0; n < count; n++) {
    const first = Math.floor(n / columns) * step * width + (n % columns) * step
    let r = 0
    let g = 0
    let b = 0
    for (let corner = 0; corner < 4; corner++) {
      const at = (first + (corner & 1) + (corner >> 1) * width) * 3
      r += red[data[at]!]!
      g += green[data[at + 1]!]!
      b += blue[data[at + 2]!]!
    }
    lights[n * 3] = r / 4
    lights[n * 3 + 1] = g / 4
    lights[n * 3 + 2] = b / 4
    const sum = (r + 2 * g + b) / 16
    sums[n] = sum
    const level = Math.floor(Math.log(sum + 1e-4) / apart)
    levels.set(level, (levels.get(level) ?? 0) + 1)
  }
  const dark = selectAt(sums.slice(), Math.floor(darkShare * (count - 1)))
  const at = sums.indexOf(dark) * 3
  return {
    levels: [...levels.values()].filter((held) => held >= share * count).length,
    darkest: [lights[at]!, lights[at + 1]!, lights[at + 2]!],
  }
}
