import { foldWord } from './nearest-words.ts'

/**
 * Text by which names and codes stand in a painter's order when compared letter by letter: capitals and accents do not
 * count, and figures go by their value, so that P-9 comes before P-0010.
 */
export function sortKey(name: string): string {
  return foldWord(name.trim()).replaceAll(/\d+/g, (figures) => {
    const value = figures.replace(/^0+(?=\d)/, '')
    // how many figures goes before the figures: then more of them is more
    return String(value.length).padStart(3, '0') + value
  })
}
