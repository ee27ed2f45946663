import type { Route } from '../state/router.ts'
import type { State } from '../state/store.ts'

/** Where a command can be reached from; `any` is everywhere. */
export type CommandPlace = Route['at'] | 'any'

/**
 * One thing a user can do. Toolbar, keyboard and menus are lists of these.
 * `undo`: how it is taken back; `recorded` by the service, `none` because it changes nothing.
 */
export type Command = {
  readonly id: string
  readonly place: CommandPlace
  /** The verb on the button. */
  label(state: State): string
  /** As `KeyboardEvent.key` writes it, with modifiers in front: `Mod+z`, `Mod+Shift+z`, `n`. Mod is ⌘ on a Mac, else Ctrl. */
  readonly shortcut: string | null
  /** Null when it can be done now, otherwise what is missing, in words. */
  missing(state: State): string | null
  run(state: State): void | Promise<void>
  readonly undo: 'recorded' | 'none'
  /** It leads to something that changes the rack, as a form does, and is of no use without. */
  readonly leadsToChange?: true
}

/** Whether the open rack is only looked at, so that nothing in it can be changed. */
export const isOnlyLookedAt = (state: State): boolean => state.rack?.access.mode === 'reading'

export const onlyLookedAt = 'This rack is only being looked at. Copy it to this computer to change it.'

/** While one of these holds nothing can be kept. */
const pressing = ['rack/drive-gone', 'rack/replaced', 'rack/taken-over']

export const pressingCaution = (state: State) => state.rack?.cautions.find(({ code }) => pressing.includes(code))

/** Why nothing in the rack can be changed at the moment, in words; null when it can. */
export const barred = (state: State): string | null =>
  isOnlyLookedAt(state) ? onlyLookedAt : (pressingCaution(state)?.message ?? null)

/** What is missing for a command, in words; null when it can be done now. The one place that knows of racks that cannot be changed. */
export function whatIsMissing(command: Command, state: State): string | null {
  const changes = command.undo !== 'none' || command.leadsToChange === true
  return (changes ? barred(state) : null) ?? command.missing(state)
}
