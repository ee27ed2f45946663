import { considerCandidate } from '../../commands/match/consider-candidate.ts'
import { mixCandidate } from '../../commands/match/mix-candidate.ts'
import { openCandidate } from '../../commands/match/open-candidate.ts'
import { setInPlan } from '../../commands/match/set-in-plan.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { PinTray } from '../../parts/pin-tray.tsx'
import { usePinned } from '../../state/pins.ts'
import { useMatch } from './match-state.ts'

/** Keys, and once something is pinned the tray of pins in their place; at the right what can be done with a candidate. */
export function MatchFoot() {
  // The command reads this place's own state: it is asked again when that changes.
  const code = useMatch((s) => s.code)
  const predicted = useMatch((s) => s.predicted !== null)
  const pinned = usePinned().length > 0
  return (
    <div className="match-foot">
      {pinned ? <PinTray /> : <Keys predicted={predicted} />}
      {predicted ? (
        <div className="push match-acts">
          <CommandButton command={considerCandidate} />
          <CommandButton command={setInPlan} look="main" />
        </div>
      ) : code === null ? null : (
        <div className="push match-acts">
          <CommandButton command={considerCandidate} />
          <CommandButton command={mixCandidate} />
          <CommandButton command={openCandidate} look={pinned ? '' : 'main'} />
        </div>
      )}
    </div>
  )
}

function Keys({ predicted }: { predicted: boolean }) {
  const offered = useMatch((s) => s.offered > 0)
  return (
    <p className="keys">
      <span>
        <kbd>Up</kbd>
        <kbd>Down</kbd> walk
      </span>
      <span>
        <kbd>Enter</kbd> {predicted ? 'set in Plan' : 'open'}
      </span>
      {predicted ? null : (
        <span>
          <kbd>Space</kbd> pin
        </span>
      )}
      {offered ? (
        <span>
          <kbd>N</kbd> {predicted ? 'back to the sprayed' : 'never sprayed'}
        </span>
      ) : null}
    </p>
  )
}
