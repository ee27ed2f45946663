import { describe, expect, it } from 'vitest'
import { wordsOf, wordsToAdd } from '../../renderer/screens/rack/words/filter-words.ts'
import { noFilter, type PanelFilter } from '../../shared-core/records/panel.ts'

const full: PanelFilter = {
  words: ' ember ',
  grounds: ['gold', 'bright silver'],
  candies: ['Ember'],
  tags: ['helmet'],
  cleared: true,
  status: 'sprayed',
}
const rack = { grounds: ['gold', 'copper'], candies: ['Ember', 'Kestrel'], tags: ['helmet'] }

describe('the filter as a sentence', () => {
  it('says nothing when nothing is narrowed', () => expect(wordsOf(noFilter)).toEqual([]))

  it('says every word that narrows', () => {
    expect(wordsOf(full).map((word) => word.text)).toEqual([
      '“ember”',
      'sprayed',
      'cleared',
      'over gold',
      'over bright silver',
      'with Ember',
      'tagged helmet',
    ])
    expect(wordsOf({ ...noFilter, cleared: false }).map((word) => word.text)).toEqual(['not cleared'])
  })

  it('taking each word away in turn leaves no filter', () => {
    let filter = full
    for (let left = wordsOf(full).length; left > 0; left--) {
      expect(wordsOf(filter)).toHaveLength(left)
      filter = wordsOf(filter)[0]!.without
    }
    expect(filter).toEqual(noFilter)
  })

  it('taking one word away leaves the others', () => {
    const gold = wordsOf(full).find((word) => word.text === 'over gold')!
    expect(gold.without).toEqual({ ...full, grounds: ['bright silver'] })
  })
})

describe('words to add', () => {
  it('offers what the rack has and the sentence does not', () => {
    const offered = wordsToAdd(full, rack).flatMap((group) => group.words.map((word) => word.text))
    expect(offered).toEqual(['not cleared', 'planned', 'retired', 'copper', 'Kestrel'])
  })

  it('leaves out groups with nothing to offer', () => {
    expect(wordsToAdd(full, rack).map((group) => group.name)).not.toContain('Tagged')
  })

  it('every offered word, once added, stands in the sentence and can be taken away again', () => {
    for (const word of wordsToAdd(noFilter, rack).flatMap((group) => group.words)) {
      const said = wordsOf(word.with)
      expect(said).toHaveLength(1)
      expect(said[0]!.text).toContain(word.text)
      expect(said[0]!.without).toEqual(noFilter)
    }
  })
})
