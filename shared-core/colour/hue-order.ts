import { hueName } from './words.ts'

/** Unique hues that meet where blue's side ends and red begins, and so the first angle called red: see `hueName`. */
const red = 20.14
const blue = 237.53
const redFrom = red - (red + 360 - blue) / 4

/** C* below which a colour counts as near neutral, as in words for differences (common practice, no source). */
const neutralBelow = 5

const neutralFrom = 360

export type ColourGroup = { place: number; name: string }

/**
 * A number by which colours hang by hue: once round the circle from where red begins, then what has no hue, from dark to
 * light.
 */
export function hueOrder(l: number, a: number, b: number): number {
  if (Math.hypot(a, b) < neutralBelow) return neutralFrom + l
  const degrees = (Math.atan2(b, a) * 180) / Math.PI
  return (degrees - redFrom + 720) % 360
}

/** Names of hues from red on, as `hueName` has them, and last what has none. */
const hueGroups = ['red', 'orange', 'yellow', 'yellow-green', 'green', 'turquoise', 'blue', 'purple', 'neutral']

/** What colours of a `hueOrder` are called together, and at which place they come. */
export function hueGroup(order: number): ColourGroup {
  const name = order >= neutralFrom ? 'neutral' : hueName((order + redFrom + 360) % 360)
  return { place: hueGroups.indexOf(name), name }
}

/** Names for every twenty of L* (common practice, no source). */
const bands = ['very dark', 'dark', 'half light', 'light', 'very light']

export function lightnessGroup(l: number): ColourGroup {
  const place = Math.min(bands.length - 1, Math.max(0, Math.floor(l / 20)))
  return { place, name: bands[place] ?? '' }
}
