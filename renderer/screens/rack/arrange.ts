import type { PanelSummary } from '../../../shared-core/records/panel.ts'

/** A panel on its hook; the first of a group carries the group's name and how many hang in it. */
export type Hook = { panel: PanelSummary; index: number; group: { name: string | null; count: number } | null }

/**
 * Panels in the order they hang. Grouped, those over one ground hang together, grounds by name and panels without a
 * ground last; within a group the order given (the chosen sort) stays.
 */
export function hang(panels: readonly PanelSummary[], groupByGround: boolean): Hook[] {
  if (!groupByGround) return panels.map((panel, index) => ({ panel, index, group: null }))
  const groups = new Map<string | null, PanelSummary[]>()
  for (const panel of panels) {
    const group = groups.get(panel.ground)
    if (group) group.push(panel)
    else groups.set(panel.ground, [panel])
  }
  const names = [...groups.keys()].toSorted((a, b) => (a === null ? 1 : b === null ? -1 : a.localeCompare(b)))
  let index = 0
  return names.flatMap((name) =>
    groups.get(name)!.map((panel, place) => ({
      panel,
      index: index++,
      group: place === 0 ? { name, count: groups.get(name)!.length } : null,
    })),
  )
}

/** Hooks of one rail. */
export function railOf(hooks: readonly Hook[], rail: number, columns: number): Hook[] {
  return hooks.slice(rail * columns, (rail + 1) * columns)
}

/** How many columns a group's name has before the next stop (or the rail's end). */
export function roomForName(rail: readonly Hook[], column: number, columns: number): number {
  const next = rail.findIndex((hook, i) => i > column && hook.group !== null)
  return (next === -1 ? columns : next) - column
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

/** Chosen ids with one put in or let go. */
export function toggleChosen(chosen: readonly string[], id: string): string[] {
  return chosen.includes(id) ? chosen.filter((other) => other !== id) : [...chosen, id]
}

/** Chosen ids with everything between two hooks put in, in the order they hang. */
export function chooseBetween(chosen: readonly string[], hooks: readonly Hook[], a: number, b: number): string[] {
  const between = hooks.slice(Math.min(a, b), Math.max(a, b) + 1).map((hook) => hook.panel.id)
  return [...chosen, ...between.filter((id) => !chosen.includes(id))]
}
