import type { FilmOutside, OutsideFact } from '../../../shared-core/film/outside.ts'
import { formatShort } from '../../../shared-core/mix/units.ts'
import type { Outside } from '../../../shared-core/records/film.ts'
import type { KnownThings } from './known-things.ts'

/** Names for ids; what nobody knows keeps its id. */
export type Names = Record<'candy' | 'ground' | 'midCoat', (id: string) => string>

export function namesOf({ candies, grounds, midCoats }: KnownThings): Names {
  const finder = (list: readonly { id: string; name: string }[]) => {
    const names = new Map(list.map(({ id, name }) => [id, name]))
    return (id: string) => names.get(id) ?? id
  }
  return { candy: finder(candies), ground: finder(grounds), midCoat: finder(midCoats) }
}

const figure = (value: number): string => formatShort(value, 1, 'point')
export const coatsInWords = (coats: number): string => `${figure(coats)} ${coats === 1 ? 'coat' : 'coats'}`

function factInWords(fact: Exclude<OutsideFact, { kind: 'pair' }>, names: Names): string {
  switch (fact.kind) {
    case 'coats':
      return `Over ${names.ground(fact.ground)} no more than ${coatsInWords(fact.most)} were read.`
    case 'load':
      return fact.times < 2
        ? `${Math.ceil(100 * (fact.times - 1))} % more ${names.candy(fact.candy)} than was ever read.`
        : `${figure(fact.times)} times as much ${names.candy(fact.candy)} as was ever read.`
    case 'mid-coat':
      return `${names.midCoat(fact.id)} was never read ${fact.place} candy.`
    case 'mid-coats':
      return `No more than ${coatsInWords(fact.most)} of ${names.midCoat(fact.id)} were read.`
    case 'finish':
      return fact.finish === 'cleared' ? 'No panel was read under clear.' : 'No panel was read before clear.'
  }
}

export function outsideInWords({ extent, facts }: FilmOutside, names: Names): Outside {
  const pairs = facts.filter((fact) => fact.kind === 'pair')
  const words = facts.flatMap((fact) => (fact.kind === 'pair' ? [] : [factInWords(fact, names)]))
  const [first, second] = pairs
  if (!first) return { extent, words }
  const candies = listed(pairs.map(({ candy }) => names.candy(candy)))
  const never = `${candies} ${second ? 'were' : 'was'} never read over ${names.ground(first.ground)}.`
  return { extent, words: [never, ...words] }
}

/** "gold, silver and white" */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words[0] ?? ''
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
