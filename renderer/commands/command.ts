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
}
