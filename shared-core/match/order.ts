import type { Match } from '../records/match.ts'
import { sigmasIn90 } from './chance.ts'

/** What putting a list in order needs of each match. */
export type Placed = Pick<
  Match,
  | 'coats'
  | 'de00'
  | 'bound90'
  | 'couldBeSame'
  | 'chanceSame'
  | 'unlike'
  | 'unlikeness'
  | 'combined'
  | 'coarseness'
  | 'metamerism'
> & { readonly panel: { readonly code: string } }

/** The upper quartile of the normal distribution. */
const quartile = 0.6744897501960817

/**
 * Whether two neighbours in the list cannot be told apart by how near they are: it is at least 1 in 4 likely that the
 * farther one is in truth the nearer. Each distance errs by its bound / 2.5003 along itself; both count as independent,
 * the most they can be as long as candidates lie on one side of the reference, where its own error takes both along.
 */
const isTied = (near: Placed, far: Placed): boolean =>
  far.de00 - near.de00 <= (quartile * Math.hypot(near.bound90, far.bound90)) / sigmasIn90

type At<M> = { readonly match: M; readonly index: number }

/**
 * Runs of matches that cannot be told apart from the first of their run. Ties do not pass on: of three in a row the
 * third may tie with the second and not with the first, and then begins a run of its own. So no match is ever put
 * before one that is surely nearer, and the list falls into the same runs however long it is.
 */
function runsOf<M extends Placed>(matches: readonly M[]): At<M>[][] {
  const runs: At<M>[][] = []
  matches.forEach((match, index) => {
    const run = runs.at(-1)
    if (run && isTied(run[0]!.match, match)) run.push({ match, index })
    else runs.push([{ match, index }])
  })
  return runs
}

/** Alike, then not known (nothing speaks against it), then other. */
const grainRank = ({ coarseness }: Placed): number => (coarseness === null ? 1 : coarseness.alike ? 0 : 2)

type Key = { readonly of: (match: Placed) => number; readonly because: string }

/**
 * What decides between matches that are equally near within doubt. Could be the same comes before surely different,
 * so that the line between them stays where it was; like is better evidence than unlike; grain comes last, being
 * told worst.
 */
const keys: readonly Key[] = [
  { of: ({ couldBeSame }) => (couldBeSame ? 0 : 1), because: 'could be the same' },
  { of: ({ unlikeness }) => unlikeness, because: 'was read more like the reference' },
  { of: grainRank, because: 'has grain nearer the reference’s' },
]

const decider = (a: Placed, b: Placed): Key | null => keys.find(({ of }) => of(a) !== of(b)) ?? null

function byKeys<M extends Placed>(a: At<M>, b: At<M>): number {
  const key = decider(a.match, b.match)
  return key ? key.of(a.match) - key.of(b.match) : a.index - b.index
}

type WithWhy<M> = M & { why: string[] }

/**
 * A list of matches, nearest first as it was found, put in order within doubt: what is nearer beyond doubt stays
 * before, and among those that cannot be told apart by colour the ones that could be the same come first, then those
 * read like the reference, then those with its grain, then the nearer, then the older as found. Colour verdicts are
 * left as they are.
 * @param matches  nearest first, equals by the older panel
 * @returns  the same matches with `why`: what puts each where it stands
 */
export const orderByDoubt = <M extends Placed>(matches: readonly M[]): WithWhy<M>[] =>
  arranged(matches, (run) => run.toSorted(byKeys))

/** The same list left nearest first, with `why`. */
export const withReasons = <M extends Placed>(matches: readonly M[]): WithWhy<M>[] => arranged(matches, (run) => run)

function arranged<M extends Placed>(matches: readonly M[], inOrder: (run: At<M>[]) => At<M>[]): WithWhy<M>[] {
  const runs = runsOf(matches)
  return runs.flatMap((run, at) => {
    const before = runs[at - 1]?.[0]?.match ?? null
    const ordered = inOrder(run)
    return ordered.map((one, place) => ({
      ...one.match,
      why: [...nearnessWords(one, run[0]!, before), ...swapWords(one, place, ordered), ...ownWords(one.match)],
    }))
  })
}

/** A panel has several steps: another one of the same panel is named by its coats. */
function nameOf(match: Placed, besides: Placed): string {
  if (match.panel.code !== besides.panel.code) return match.panel.code
  return Number.isInteger(match.coats)
    ? `its step of ${match.coats} ${match.coats === 1 ? 'coat' : 'coats'}`
    : 'another step of it'
}

function nearnessWords<M extends Placed>(one: At<M>, first: At<M>, before: Placed | null): string[] {
  if (one.index === 0) return ['nearest in colour']
  if (one !== first) return [`as near as ${nameOf(first.match, one.match)} within the doubt`]
  return before ? [`farther than ${nameOf(before, one.match)}`] : []
}

/** Of those it passed, or was passed by, the foremost. */
function swapWords<M extends Placed>(one: At<M>, place: number, run: readonly At<M>[]): string[] {
  const passed = run.slice(place + 1).find(({ index }) => index < one.index)?.match
  const passing = run.slice(0, place).find(({ index }) => index > one.index)?.match
  const because = (a: Placed, b: Placed) => decider(a, b)?.because ?? ''
  return [
    ...(passed ? [`stands before ${nameOf(passed, one.match)} because it ${because(one.match, passed)}`] : []),
    ...(passing ? [`stands after ${nameOf(passing, one.match)}, which ${because(passing, one.match)}`] : []),
  ]
}

/** What it rests on, whatever its place. */
function ownWords({ couldBeSame, chanceSame, unlike, combined, coarseness, metamerism }: Placed): string[] {
  const words: string[] = []
  if (unlike.length > 0) words.push(`not read alike: ${unlike.join(', ')}`)
  if (combined) words.push(meanWords(combined))
  if (coarseness) words.push(coarseness.words)
  if (metamerism?.lights.some((light) => !light.couldBeSame) && metamerism.lights.some((light) => light.couldBeSame))
    words.push(metamerism.words.slice(0, 1).toLowerCase() + metamerism.words.slice(1))
  words.push(couldBeSame ? chanceWords(chanceSame) : 'surely different')
  return words
}

function meanWords({ count, leftOut, disagree }: NonNullable<Placed['combined']>): string {
  const left = leftOut === 0 ? '' : `, ${leftOut} left out`
  return `the mean of ${count} readings${left}${disagree ? ', which disagree' : ''}`
}

/** "8 % likely the same". Nothing that is uncertain is told as sure. */
export function chanceWords(chance: number): string {
  const percent = Math.round(100 * chance)
  if (percent < 1) return 'less than 1 % likely the same'
  return percent > 99 ? 'more than 99 % likely the same' : `${percent} % likely the same`
}
