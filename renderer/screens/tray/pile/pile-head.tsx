import { fileReady } from '../../../commands/tray/file-ready.ts'
import { onlyDoubtful as onlyDoubtfulCommand } from '../../../commands/tray/only-doubtful.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { useStore } from '../../../state/store.ts'
import { useDesk } from '../desk-state.ts'
import type { Overview } from './row-state.ts'

/** How many wait and how far they are; all that are sure are filed from here. */
export function PileHead({ count, overview }: { count: number; overview: Overview | undefined }) {
  const only = useDesk((s) => s.onlyDoubtful)
  const { ready = [], doubtful = [], waiting = 0 } = overview ?? {}
  const counts = [
    ready.length > 0 ? `${ready.length} sure` : null,
    doubtful.length > 0 ? `${doubtful.length} doubtful` : null,
    waiting > 0 ? `${waiting} still to be looked at` : null,
  ].filter((part) => part !== null)
  return (
    <div className="tray-head">
      <h2>{count === 0 ? 'None waiting' : `${count} waiting`}</h2>
      {count > 0 && counts.length > 0 ? (
        <p className="fine" role="status">
          {counts.join(', ')}
        </p>
      ) : null}
      {ready.length > 0 ? <CommandButton command={fileReady} look="main" /> : null}
      {only || (doubtful.length > 0 && doubtful.length < count) ? (
        <button
          type="button"
          className="word"
          aria-pressed={only}
          aria-keyshortcuts="D"
          onClick={() => void onlyDoubtfulCommand.run(useStore.getState())}
        >
          <span>{only ? 'Show all' : 'Show the doubtful alone'}</span>
        </button>
      ) : null}
      {only && doubtful.length === 0 ? <p className="fine">None is doubtful any more.</p> : null}
    </div>
  )
}
