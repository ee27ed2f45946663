import type { Input } from '../../../../shared-core/contract/calls.ts'
import type { Match } from '../../../../shared-core/records/match.ts'

type Narrowed = Pick<Input<'match.findNearest'>, 'within' | 'likeOnly'>

type Rung = { words: string; besides: string; ask: Narrowed; sameOnly: boolean }

/**
 * The ladder from everything to what could be the same; each rung asks for all that those before it ask for, which
 * `besides` says. Like with like comes last: a typed figure is like no reading of a photo, and would be left alone.
 */
export const rungs: readonly Rung[] = [
  { words: 'Everything', besides: '', ask: {}, sameOnly: false },
  { words: 'Within 6', besides: '', ask: { within: 6 }, sameOnly: false },
  { words: 'Within 3', besides: '', ask: { within: 3 }, sameOnly: false },
  { words: 'Could be the same', besides: 'within 3', ask: { within: 3 }, sameOnly: true },
  {
    words: 'Like with like',
    besides: 'within 3, could be the same',
    ask: { within: 3, likeOnly: true },
    sameOnly: true,
  },
]

export const lastRung = rungs.length - 1

export const rungAt = (at: number) => rungs[Math.min(Math.max(at, 0), lastRung)]!

/** What of an answer is shown. */
export const shownOn = <M extends Pick<Match, 'couldBeSame'>>(rung: number, matches: readonly M[]): M[] =>
  rungAt(rung).sameOnly ? matches.filter((match) => match.couldBeSame) : [...matches]

/**
 * How many are left, and what is hidden by it.
 * @param more  the answer was cut short: others follow
 */
export function leftInWords(rung: number, shown: number, considered: number, more: boolean): string {
  if (rung === 0) return considered === 1 ? '1 step compared' : `${considered} steps compared`
  const { besides } = rungAt(rung)
  const hidden = considered - shown
  const left = more
    ? `the nearest ${shown} of ${considered}, more are left`
    : `${shown} left${hidden > 0 ? `, ${hidden} hidden` : ''}`
  return besides === '' ? left : `${besides}: ${left}`
}

/** All that is asked for, in one line. */
export const askedInWords = (rung: number): string =>
  [rungAt(rung).words, rungAt(rung).besides].filter(Boolean).join(', ').toLowerCase()
