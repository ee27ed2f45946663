/** Where the smallest values that were offered are kept, one of each group, in order. */
export class NearestList {
  private readonly count: number
  private readonly isOlder: (one: number, other: number) => boolean
  /** No value above this is wanted. */
  private readonly most: number
  private readonly ids: Int32Array
  private readonly values: Float64Array
  /** Null: each is a group by itself. */
  private readonly groups: Int32Array | null
  private length = 0

  constructor(count: number, most: number, isOlder: (one: number, other: number) => boolean, grouped: boolean) {
    this.count = count
    this.most = most
    this.isOlder = isOlder
    this.ids = new Int32Array(count)
    this.values = new Float64Array(count)
    this.groups = grouped ? new Int32Array(count) : null
  }

  /** The largest value that is still wanted. */
  get limit(): number {
    return this.length < this.count ? this.most : this.values[this.count - 1]!
  }

  /** Takes one in where it belongs, if it is wanted. */
  offer(id: number, value: number, group: number): void {
    if (!(value <= this.limit)) return
    const same = this.placeOf(group)
    let at = same
    if (same < 0) {
      if (this.length < this.count) at = this.length++
      else if (this.isBefore(value, id, this.count - 1)) at = this.count - 1
      else return
    } else if (!this.isBefore(value, id, same)) return
    // what lay at `at` goes; what comes after the new one moves up there
    const { ids, values, groups } = this
    for (; at > 0 && this.isBefore(value, id, at - 1); at--) {
      ids[at] = ids[at - 1]!
      values[at] = values[at - 1]!
      if (groups) groups[at] = groups[at - 1]!
    }
    ids[at] = id
    values[at] = value
    if (groups) groups[at] = group
  }

  inOrder(): { id: number; value: number }[] {
    return Array.from(this.ids.subarray(0, this.length), (id, at) => ({ id, value: this.values[at]! }))
  }

  private placeOf(group: number): number {
    const { groups, length } = this
    if (groups) for (let at = 0; at < length; at++) if (groups[at] === group) return at
    return -1
  }

  private isBefore(value: number, id: number, at: number): boolean {
    const other = this.values[at]!
    return value !== other ? value < other : this.isOlder(id, this.ids[at]!)
  }
}
