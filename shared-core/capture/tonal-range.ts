import type { DecodeTables } from '../colour/profile.ts'
import type { Pixels, Triple } from './pixels.ts'

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
  const seen: { sum: number; light: Triple }[] = []
  const counts = new Map<number, number>()
  for (let y = 0; y + 1 < height; y += step) {
    for (let x = 0; x + 1 < width; x += step) {
      let r = 0
      let g = 0
      let b = 0
      for (const at of [y * width + x, y * width + x + 1, (y + 1) * width + x, (y + 1) * width + x + 1]) {
        r += red[data[at * 3]!]! / 4
        g += green[data[at * 3 + 1]!]! / 4
        b += blue[data[at * 3 + 2]!]! / 4
      }
      const sum = (r + 2 * g + b) / 4
      seen.push({ sum, light: [r, g, b] })
      const level = Math.floor(Math.log(sum + 1e-4) / apart)
      counts.set(level, (counts.get(level) ?? 0) + 1)
    }
  }
  const sorted = seen.toSorted((a, b) => a.sum - b.sum)
  const darkest = sorted[Math.floor(darkShare * (sorted.length - 1))]?.light ?? [0, 0, 0]
  return { levels: [...counts.values()].filter((count) => count >= share * seen.length).length, darkest }
}
