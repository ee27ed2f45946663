import { differenceCiede2000 } from '../../colour/difference.ts'
import { differenceFrame } from '../../colour/difference-frame.ts'
import type { Lab } from '../../colour/lab.ts'
import { descend, distanceAt, type Goal, type LoadRange } from './loads.ts'
import { labOver, newRoom, type OverGround, type Room } from './over-ground.ts'

/** A dye that may be used. */
export type Dye = { id: string; absorbance: Float64Array }

/** The best loads of one set of candies over one ground. */
export type Idea = {
  over: OverGround
  dyes: readonly Dye[]
  loads: Float64Array
  lab: Lab
  /** dE00 from the target, before whole numbers. */
  de00: number
}

export const goalAt = (lab: Lab): Goal => ({ lab: Float64Array.of(lab.l, lab.a, lab.b), frame: differenceFrame(lab) })

/** A dye of a smaller share than this is no part of the idea: the set without it is. */
const smallestShare = 0.02
/** Of more dyes than these, three are tried together of those that do best in pairs: 364 sets for each ground. */
const mostInThrees = 14
/** Loads of one dye at which a search begins. */
const startingLoads = 7

type Found = { loads: Float64Array; cost: number }

/** Tries one ground with every set of up to `most` dyes. */
class Search {
  readonly room: Room = newRoom()
  private readonly over: OverGround
  private readonly dyes: readonly Dye[]
  private readonly range: LoadRange
  private readonly goal: Goal
  private readonly singles: Found[]
  private readonly pairs: (Found | null)[]

  constructor(over: OverGround, dyes: readonly Dye[], range: LoadRange, goal: Goal) {
    this.over = over
    this.dyes = dyes
    this.range = range
    this.goal = goal
    this.singles = dyes.map(({ absorbance }) => this.single(absorbance))
    this.pairs = []
  }

  one(i: number): Found {
    return this.singles[i]!
  }

  /** From the better of the two alone, and from both at half. */
  two(i: number, j: number): Found {
    const { singles } = this
    const [a, b] = [singles[i]!, singles[j]!]
    const small = 0.15
    const begin =
      a.cost <= b.cost
        ? Float64Array.of(a.loads[0]!, small * a.loads[0]!, 0)
        : Float64Array.of(small * b.loads[0]!, b.loads[0]!, 0)
    const found = this.best([i, j], [begin, Float64Array.of(a.loads[0]! / 2, b.loads[0]! / 2, 0)])
    this.pairs[i * this.dyes.length + j] = found
    return found
  }

  /** From the best of the three pairs, and from a third of each alone. */
  three(i: number, j: number, k: number): Found {
    const count = this.dyes.length
    const pair = (a: number, b: number) => this.pairs[a * count + b] ?? this.two(a, b)
    const [ij, ik, jk] = [pair(i, j), pair(i, k), pair(j, k)]
    const third = (found: Found) => 0.1 * (found.loads[0]! + found.loads[1]!)
    let begin = Float64Array.of(ij.loads[0]!, ij.loads[1]!, third(ij))
    if (ik.cost < ij.cost && ik.cost <= jk.cost) begin = Float64Array.of(ik.loads[0]!, third(ik), ik.loads[1]!)
    else if (jk.cost < ij.cost) begin = Float64Array.of(third(jk), jk.loads[0]!, jk.loads[1]!)
    const [a, b, c] = [this.singles[i]!, this.singles[j]!, this.singles[k]!]
    const even = Float64Array.of(a.loads[0]! / 3, b.loads[0]! / 3, c.loads[0]! / 3)
    return this.best([i, j, k], [begin, even])
  }

  /** The dyes that come nearest in a pair, in their order. */
  likeliest(count: number): number[] {
    const all = this.dyes.map((_dye, i) => i)
    if (all.length <= count) return all
    const nearest = all.map(() => Number.POSITIVE_INFINITY)
    for (const i of all)
      for (const j of all.slice(i + 1)) {
        const cost = this.pairs[i * this.dyes.length + j]?.cost ?? Number.POSITIVE_INFINITY
        nearest[i] = Math.min(nearest[i]!, cost)
        nearest[j] = Math.min(nearest[j]!, cost)
      }
    return all
      .toSorted((a, b) => nearest[a]! - nearest[b]!)
      .slice(0, count)
      .toSorted((a, b) => a - b)
  }

  private best(which: readonly number[], starts: readonly Float64Array[]): Found {
    const dyes = which.map((i) => this.dyes[i]!.absorbance)
    let best: Found | null = null
    for (const loads of starts) {
      const cost = descend(this.over, dyes, loads, this.range, this.goal, this.room)
      if (!best || cost < best.cost) best = { loads, cost }
    }
    if (!best) throw new RangeError('A search needs a start.')
    return best
  }

  private single(absorbance: Float64Array): Found {
    const { least, most } = this.range
    const loads = new Float64Array(3)
    let start = least
    let lowest = Number.POSITIVE_INFINITY
    for (let k = 0; k < startingLoads; k++) {
      loads[0] = least * (most / least) ** (k / (startingLoads - 1))
      const cost = distanceAt(this.over, [absorbance], loads, this.goal, this.room)
      if (cost >= lowest) continue
      lowest = cost
      start = loads[0]
    }
    loads[0] = start
    const cost = descend(this.over, [absorbance], loads, this.range, this.goal, this.room)
    return { loads, cost }
  }
}

/**
 * The best loads of every set of up to `mostDyes` dyes over one ground (see `mostInThrees`). A set that leaves a dye unused is another set, and
 * left out.
 * @returns  ideas, and how many sets were tried
 */
export function searchOver(
  over: OverGround,
  dyes: readonly Dye[],
  mostDyes: number,
  range: LoadRange,
  target: Lab,
): { ideas: Idea[]; tried: number } {
  const search = new Search(over, dyes, range, goalAt(target))
  const ideas: Idea[] = []
  let tried = 0
  const keep = (which: readonly number[], { loads }: Found) => {
    tried++
    let sum = 0
    for (let j = 0; j < which.length; j++) sum += loads[j]!
    for (let j = 0; j < which.length; j++) if (loads[j]! < smallestShare * sum) return
    const used = which.map((i) => dyes[i]!)
    const { room } = search
    labOver(
      over,
      used.map(({ absorbance }) => absorbance),
      loads,
      which.length,
      room,
      false,
    )
    const lab = { l: room.lab[0]!, a: room.lab[1]!, b: room.lab[2]! }
    ideas.push({ over, dyes: used, loads, lab, de00: differenceCiede2000(target, lab) })
  }
  for (let i = 0; i < dyes.length; i++) keep([i], search.one(i))
  if (mostDyes > 1)
    for (let i = 0; i < dyes.length; i++) for (let j = i + 1; j < dyes.length; j++) keep([i, j], search.two(i, j))
  if (mostDyes > 2) {
    const some = search.likeliest(mostInThrees)
    some.forEach((i, a) => {
      some.slice(a + 1).forEach((j, b) => {
        for (const k of some.slice(a + b + 2)) keep([i, j, k], search.three(i, j, k))
      })
    })
  }
  return { ideas, tried }
}
