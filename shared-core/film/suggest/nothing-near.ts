import { differenceParts } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'
import { differenceWords } from '../../colour/words.ts'

/** What keeps every formula away from a colour. */
export type Hindrance =
  | 'too-dark'
  | 'too-dark-for-coats'
  | 'too-light'
  | 'too-light-for-carrier'
  | 'too-colourful'
  | 'too-colourful-for-coats'
  | 'too-grey'
  | 'hue'
  | 'nothing-known'

export type NothingNear = { reason: Hindrance; words: string }

/** dE00 from which even the best formula is clearly another colour (common practice, no source). */
export const nearBelow = 2

export const nothingKnown: NothingNear = {
  reason: 'nothing-known',
  words:
    'None of these candies was read over any ground yet. Allow others, or spray and photograph a panel with one of them.',
}

/** Painters' words for the hue that no candy reaches, by how the target differs. */
const hues: Readonly<Record<string, string>> = { redder: 'red', yellower: 'yellow', greener: 'green', bluer: 'blue' }

const words: Record<Exclude<Hindrance, 'hue' | 'nothing-known'>, string> = {
  'too-dark': 'It is too dark for any of these grounds. A darker ground would help.',
  'too-dark-for-coats':
    'It is darker than these candies go in so many coats. Allow more coats or less carrier, or take a darker ground.',
  'too-light': 'It is too bright and clean for any of these grounds. A brighter ground would help.',
  'too-light-for-carrier': 'It is paler than one coat of these candies gives. Allow more carrier, or a weaker candy.',
  'too-colourful':
    'It is more colourful than these candies reach over these grounds. A cleaner candy or a brighter ground would help.',
  'too-colourful-for-coats':
    'It is more colourful than these candies go in so many coats. Allow more coats or less carrier, or take a cleaner candy.',
  'too-grey': 'It is greyer than these candies go over these grounds. A greyer ground or a smoke candy would help.',
}

/**
 * Why nothing comes near: the largest part of what is left between the colour and the nearest one within reach.
 * @param nearest  what the best formula gives
 * @param edge     whether that formula stands at the most or the least that cup and coats allow
 */
export function whyNothingNear(target: Lab, nearest: Lab, edge: 'full' | 'thin' | null): NothingNear {
  const { lightness, chroma, hue } = differenceParts(target, nearest)
  const parts = [Math.abs(lightness), Math.abs(chroma), Math.abs(hue)]
  const most = Math.max(...parts)
  const told = (reason: Exclude<Hindrance, 'hue' | 'nothing-known'>): NothingNear => ({ reason, words: words[reason] })
  if (parts[0] === most) {
    if (lightness > 0) return told(edge === 'full' ? 'too-dark-for-coats' : 'too-dark')
    return told(edge === 'thin' ? 'too-light-for-carrier' : 'too-light')
  }
  if (parts[1] === most) {
    if (chroma < 0) return told(edge === 'full' ? 'too-colourful-for-coats' : 'too-colourful')
    return told(edge === 'thin' ? 'too-light-for-carrier' : 'too-grey')
  }
  const word = differenceWords(target, nearest).find(({ axis }) => axis === 'hue')?.opposite
  const name = word === undefined ? undefined : hues[word]
  return {
    reason: 'hue',
    words:
      name === undefined
        ? 'No candy here has that hue over these grounds. Another candy would help.'
        : `No candy here goes that ${name} over these grounds. A ${word} candy or ground would help.`,
  }
}
