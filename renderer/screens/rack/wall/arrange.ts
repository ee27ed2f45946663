import type { HangingGroup, PanelGroup } from '../../../../shared-core/records/wall.ts'

/** A panel's place on its rail. `group` stands at the first of a group, and is carried on at the first of each rail. */
export type Hook = { id: string; index: number; group: (HangingGroup & { carried: boolean }) | null }

/** The group that the hook of an index hangs in. */
export function groupAt(groups: readonly HangingGroup[], index: number): HangingGroup | null {
  let low = 0
  let high = groups.length - 1
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if (groups[middle]!.from <= index) low = middle
    else high = middle - 1
  }
  return groups[low] ?? null
}

/** Hooks of one rail. @param named whether groups have names; with none, all hang in one that has no name */
export function railOf(
  ids: readonly string[],
  groups: readonly HangingGroup[],
  rail: number,
  columns: number,
  named: boolean,
): Hook[] {
  const from = rail * columns
  return ids.slice(from, from + columns).map((id, column) => {
    const index = from + column
    const group = named ? groupAt(groups, index) : null
    const shown = group && (group.from === index || column === 0)
    return { id, index, group: shown ? { ...group, carried: group.from !== index } : null }
  })
}

/** How many columns a group's name has before the next stop (or the rail's end). */
export function roomForName(rail: readonly Hook[], column: number, columns: number): number {
  const next = rail.findIndex((hook, i) => i > column && hook.group !== null)
  return (next === -1 ? columns : next) - column
}

const withoutName: Record<PanelGroup, string> = {
  none: '',
  ground: 'No ground',
  candy: 'No candy',
  hue: 'No colour yet',
  lightness: 'No colour yet',
  date: 'No date',
}

/** What a group is called on its rail: "Over gold", "With Damson". @param narrow the next name follows at once */
export function groupInWords(by: PanelGroup, name: string | null, narrow: boolean): string {
  if (name === null) return withoutName[by]
  if (by === 'hue' || by === 'lightness') return name.charAt(0).toUpperCase() + name.slice(1)
  if (narrow) return name
  if (by === 'ground') return `Over ${name}`
  if (by === 'candy') return `With ${name}`
  return name
}

/** Where a key moves to on the wall, from one hook to another; the same index where there is no further one. */
export function moveOnWall(key: string, from: number, count: number, columns: number, rowsInView: number): number {
  const last = count - 1
  const keep = (to: number) => (to < 0 || to > last ? from : to)
  switch (key) {
    case 'ArrowRight':
      return keep(from + 1)
    case 'ArrowLeft':
      return keep(from - 1)
    case 'ArrowDown':
      // the last rail may be shorter than the one above it
      return from + columns > last && Math.floor(from / columns) < Math.floor(last / columns)
        ? last
        : keep(from + columns)
    case 'ArrowUp':
      return keep(from - columns)
    case 'PageDown':
      return Math.min(last, from + columns * rowsInView)
    case 'PageUp':
      return Math.max(0, from - columns * rowsInView)
    case 'Home':
      return 0
    case 'End':
      return last
    default:
      return from
  }
}

/** The first hook of the next group, or of this group and then of the one before. */
export function moveByGroup(way: 1 | -1, from: number, groups: readonly HangingGroup[]): number {
  if (way === 1) return groups.find((group) => group.from > from)?.from ?? from
  return groups.findLast((group) => group.from < from)?.from ?? 0
}

/** Chosen ids with one put in or let go. */
export function toggleChosen(chosen: readonly string[], id: string): string[] {
  return chosen.includes(id) ? chosen.filter((other) => other !== id) : [...chosen, id]
}

/** Chosen ids with others put in, none twice. */
export function chooseAlso(chosen: readonly string[], more: readonly string[]): string[] {
  return [...new Set([...chosen, ...more])]
}

/** The ids between two hooks, both included, in the order they hang. */
export function between(ids: readonly string[], a: number, b: number): string[] {
  return ids.slice(Math.min(a, b), Math.max(a, b) + 1)
}
