import type { ReactNode } from 'react'
import { type Command, whatIsMissing } from '../commands/command.ts'
import { chordInWords } from '../commands/keyboard.ts'
import { useStore } from '../state/store.ts'

type Props = {
  command: Command
  look?: 'main' | 'plain' | ''
  /** Shown in place of its label, which stays its name. */
  children?: ReactNode
}

/** A command as a button: says what is missing while it cannot be done. */
export function CommandButton({ command, look = '', children }: Props) {
  const label = useStore((s) => command.label(s))
  const missing = useStore((s) => whatIsMissing(command, s))
  const shortcut = command.shortcut ? ` (${chordInWords(command.shortcut)})` : ''
  return (
    <button
      type="button"
      className={`btn ${look}`}
      aria-label={children === undefined ? undefined : label}
      aria-disabled={missing !== null}
      title={missing ?? `${label}${shortcut}`}
      onClick={() => {
        if (missing === null) void command.run(useStore.getState())
        else useStore.getState().say(missing)
      }}
    >
      {children ?? label}
    </button>
  )
}
