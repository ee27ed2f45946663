import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { spectrumOf, type Values } from './data.ts'
import { neutral, wavy } from './paints.ts'

/** Skin: brighter towards red, with the two bands of blood near 540 and 575 nm (from memory; good enough for a hand in the way). */
export function skin(random: Random): Values {
  const level = random.between(0.12, 0.5)
  const drift = wavy(random, 0.03)
  return spectrumOf((nm) => {
    const rise = 0.35 + 0.65 / (1 + Math.exp(-(nm - 585) / 22))
    const blood = 1 - 0.18 * Math.exp(-(((nm - 542) / 14) ** 2)) - 0.18 * Math.exp(-(((nm - 577) / 10) ** 2))
    return level * rise * blood * drift(nm)
  })
}

/** Steel, black rubber, grey plastic. */
export const toolGrey = (random: Random): Values =>
  neutral(random, random.pick([12, 20, 35, 55, 70]) + random.between(-4, 4), 0.03)
