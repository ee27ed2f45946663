import { type Command, whatIsMissing } from '../commands/command.ts'
import { chordInWords } from '../commands/keyboard.ts'
import { useStore } from '../state/store.ts'

/** A command as a button: says what is missing while it cannot be done. */
export function CommandButton({ command, look = '' }: { command: Command; look?: 'main' | 'plain' | '' }) {
  const label = useStore((s) => command.label(s))
  const missing = useStore((s) => whatIsMissing(command, s))
  const shortcut = command.shortcut ? ` (${chordInWords(command.shortcut)})` : ''
  return (
    <button
      type="button"
      className={`btn ${look}`}
      aria-disabled={missing !== null}
      title={missing ?? `${label}${shortcut}`}
      onClick={() => {
        if (missing === null) void command.run(useStore.getState())
        else useStore.getState().say(missing)
      }}
    >
      {label}
    </button>
  )
}
