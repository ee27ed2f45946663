import type { Neighbour } from './nearest-index.ts'

const isBefore = (one: Neighbour, other: Neighbour): boolean =>
  one.de00 !== other.de00 ? one.de00 < other.de00 : one.age !== other.age ? one.age < other.age : one.id < other.id

/** The nearest so far, in order, one of each group. */
export class NearestList {
  private readonly found: { neighbour: Neighbour; group: number }[] = []
  private readonly count: number

  constructor(count: number) {
    this.count = count
  }

  /** Takes a colour in where it belongs. @returns the largest difference that is still wanted */
  offer(neighbour: Neighbour, group: number): number {
    const { found } = this
    const last = found.at(-1)
    if (found.length === this.count && last && !isBefore(neighbour, last.neighbour)) return last.neighbour.de00
    const same = found.findIndex((each) => each.group === group)
    if (same >= 0) {
      if (!isBefore(neighbour, found[same]!.neighbour)) return this.limit()
      found.splice(same, 1)
    } else if (found.length === this.count) found.pop()
    let at = found.length
    while (at > 0 && isBefore(neighbour, found[at - 1]!.neighbour)) at--
    found.splice(at, 0, { neighbour, group })
    return this.limit()
  }

  inOrder(): Neighbour[] {
    return this.found.map(({ neighbour }) => neighbour)
  }

  private limit(): number {
    return this.found.length < this.count ? Number.POSITIVE_INFINITY : this.found.at(-1)!.neighbour.de00
  }
}
