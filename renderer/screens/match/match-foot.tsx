import { considerCandidate } from '../../commands/match/consider-candidate.ts'
import { mixCandidate } from '../../commands/match/mix-candidate.ts'
import { openCandidate } from '../../commands/match/open-candidate.ts'
import { setInPlan } from '../../commands/match/set-in-plan.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { useMatch } from './match-state.ts'

export function MatchFoot({ considered }: { considered: number }) {
  // The command reads this place's own state: it is asked again when that changes.
  const code = useMatch((s) => s.code)
  const predicted = useMatch((s) => s.predicted !== null)
  const offered = useMatch((s) => s.offered > 0)
  return (
    <div className="match-foot">
      <p className="keys">
        <span>
          <kbd>Up</kbd>
          <kbd>Down</kbd> walk
        </span>
        <span>
          <kbd>Enter</kbd> {predicted ? 'set in Plan' : 'open'}
        </span>
        {offered ? (
          <span>
            <kbd>N</kbd> {predicted ? 'back to the sprayed' : 'never sprayed'}
          </span>
        ) : null}
        <span>{considered === 1 ? '1 step compared' : `${considered} steps compared`}</span>
      </p>
      {predicted ? (
        <div className="push match-acts">
          <CommandButton command={considerCandidate} />
          <CommandButton command={setInPlan} look="main" />
        </div>
      ) : code === null ? null : (
        <div className="push match-acts">
          <CommandButton command={considerCandidate} />
          <CommandButton command={mixCandidate} />
          <CommandButton command={openCandidate} look="main" />
        </div>
      )}
    </div>
  )
}
