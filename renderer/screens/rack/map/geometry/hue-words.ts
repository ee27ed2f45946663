import { type Lab, labToLch } from '../../../../../shared-core/colour/lab.ts'
import type { Settings } from '../../../../../shared-core/records/settings.ts'
import { sayNumber } from '../../../../parts/say-numbers.ts'

/**
 * Painters' words around the rim, by hue angle of CIELAB D50 in degrees. Common practice, no source; a test holds them against
 * the colours that CSS Color 4 gives these names. Directions between two colours have words of their own
 * (shared-core/colour/words.ts): a rim needs more places than four.
 */
export const rimWords: readonly { readonly angle: number; readonly word: string }[] = [
  { angle: 28, word: 'red' },
  { angle: 64, word: 'orange' },
  { angle: 94, word: 'yellow' },
  { angle: 115, word: 'lime' },
  { angle: 146, word: 'green' },
  { angle: 197, word: 'blue-green' },
  { angle: 240, word: 'sky' },
  { angle: 288, word: 'blue' },
  { angle: 318, word: 'violet' },
  { angle: 350, word: 'magenta' },
]

/** C* below which no hue is told (as in words for differences, C′ 5). */
const neutralBelow = 5

/** From this L* on painters call what has no hue white, and up to the other black (common practice, no source). */
const [whiteFrom, blackTo] = [85, 20]

/** The word whose place on the rim is nearest; near neutral white, grey or black. */
export function wordOf({ l, a, b }: Lab): string {
  const { c, h } = labToLch({ l, a, b })
  if (c < neutralBelow) return l >= whiteFrom ? 'white' : l <= blackTo ? 'black' : 'grey'
  const apart = (angle: number) => Math.min(Math.abs(angle - h), 360 - Math.abs(angle - h))
  return rimWords.toSorted((one, other) => apart(one.angle) - apart(other.angle))[0]!.word
}

/** "L* 40, C* 60, h 350" */
export function lchInWords({ l, a, b }: Lab, settings: Pick<Settings, 'decimal'>): string {
  const { c, h } = labToLch({ l, a, b })
  const whole = (value: number) => sayNumber(value, 0, settings)
  return `L* ${whole(l)}, C* ${whole(c)}, h ${whole(Math.round(h) % 360)}`
}
