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
/** Added to the light, so that black has a level. */
const black = 1e-4
const lowestLevel = Math.floor(Math.log(black) / apart)
/** Light does not go above 1 by much, whatever the profile's curves. */
const mostLevels = 2 - lowestLevel + Math.ceil(1 / apart)

export const isBusy = ({ levels }: TonalRange): boolean => levels >= busyLevels

/** Looks at 2 × 2 pixels each on a square lattice: single pixels are noise. */
export function tonalRangeOf({ width, height, data }: Pixels, [red, green, blue]: DecodeTables): TonalRange {
  const step = Math.max(2, Math.ceil(Math.sqrt((width * height) / samples)))
  const columns = Math.ceil((width - 1) / step)
  const count = columns * Math.ceil((height - 1) / step)
  if (!(count > 0)) return { levels: 0, darkest: [0, 0, 0] }
  const lights = new Float64Array(3 * count)
  const sums = new Float64Array(count)
  const counts = new Float64Array(mostLevels)
  let n = 0
  for (let y = 0; y + 1 < height; y += step) {
    for (let x = 0; x + 1 < width; x += step, n++) {
      const at = (y * width + x) * 3
      const below = at + width * 3
      const r = quarters(red[data[at]!]!, red[data[at + 3]!]!, red[data[below]!]!, red[data[below + 3]!]!)
      const g = quarters(
        green[data[at + 1]!]!,
        green[data[at + 4]!]!,
        green[data[below + 1]!]!,
        green[data[below + 4]!]!,
      )
      const b = quarters(blue[data[at + 2]!]!, blue[data[at + 5]!]!, blue[data[below + 2]!]!, blue[data[below + 5]!]!)
      const sum = (r + 2 * g + b) / 4
      lights[3 * n] = r
      lights[3 * n + 1] = g
      lights[3 * n + 2] = b
      sums[n] = sum
      const level = Math.floor(Math.log(sum + black) / apart) - lowestLevel
      counts[Math.min(mostLevels - 1, Math.max(0, level))]!++
    }
  }
  const limit = selectAt(sums.slice(), Math.floor(darkShare * (count - 1)))
  const at = 3 * sums.indexOf(limit)
  return {
    levels: counts.filter((held) => held >= share * count).length,
    darkest: [lights[at]!, lights[at + 1]!, lights[at + 2]!],
  }
}

/** The mean of four, summed as quarters. */
const quarters = (a: number, b: number, c: number, d: number) => a / 4 + b / 4 + c / 4 + d / 4
