import type { PanelFilter, PanelStatus } from '../../../../shared-core/records/panel.ts'

/** One word of the sentence above the wall, and the filter without it. */
export type FilterWord = { key: string; text: string; without: PanelFilter }

/** The filter as words that can be removed one by one, in the order a painter would say them. */
export function wordsOf(filter: PanelFilter): FilterWord[] {
  const each = (list: 'grounds' | 'candies' | 'tags', before: string): FilterWord[] =>
    filter[list].map((name) => ({
      key: `${list} ${name}`,
      text: `${before} ${name}`,
      without: { ...filter, [list]: filter[list].filter((other) => other !== name) },
    }))
  const words: FilterWord[] = []
  if (filter.words.trim() !== '')
    words.push({ key: 'words', text: typedInWords(filter.words), without: { ...filter, words: '' } })
  if (filter.status) words.push({ key: 'status', text: filter.status, without: { ...filter, status: null } })
  if (filter.cleared !== null)
    words.push({
      key: 'cleared',
      text: filter.cleared ? 'cleared' : 'not cleared',
      without: { ...filter, cleared: null },
    })
  return [...words, ...each('grounds', 'over'), ...each('candies', 'with'), ...each('tags', 'tagged')]
}

/** “damson”, or “damsn” exactly: in quotation marks it is taken as typed. */
export function typedInWords(words: string): string {
  const typed = words.trim()
  const plain = typed.replaceAll(/["“”]/g, '')
  return plain === typed || plain === '' ? `“${typed}”` : `“${plain}” exactly`
}

/** A word that could be added: its group in the menu, and the filter with it. */
export type OfferedWord = { key: string; text: string; with: PanelFilter }
export type OfferedGroup = { name: string; words: OfferedWord[] }

const statuses: readonly PanelStatus[] = ['planned', 'sprayed', 'retired']

/**
 * What "add a word" offers: everything that the rack's panels can be narrowed by and that is not yet in the sentence.
 * Several grounds (candies, tags) widen each other; words of different groups narrow each other.
 */
export function wordsToAdd(
  filter: PanelFilter,
  rack: { grounds: string[]; candies: string[]; tags: string[] },
): OfferedGroup[] {
  const listed = (name: string, list: 'grounds' | 'candies' | 'tags'): OfferedGroup => ({
    name,
    words: rack[list]
      .filter((word) => !filter[list].includes(word))
      .map((word) => ({ key: `${list} ${word}`, text: word, with: { ...filter, [list]: [...filter[list], word] } })),
  })
  const state: OfferedWord[] = [
    ...[true, false]
      .filter((cleared) => filter.cleared !== cleared)
      .map((cleared) => ({
        key: `cleared ${cleared}`,
        text: cleared ? 'cleared' : 'not cleared',
        with: { ...filter, cleared },
      })),
    ...statuses
      .filter((status) => filter.status !== status)
      .map((status) => ({ key: `status ${status}`, text: status, with: { ...filter, status } })),
  ]
  return [
    { name: 'State', words: state },
    listed('Over the ground', 'grounds'),
    listed('With the candy', 'candies'),
    listed('Tagged', 'tags'),
  ].filter((group) => group.words.length > 0)
}
