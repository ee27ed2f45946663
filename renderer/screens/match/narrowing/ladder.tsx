import './ladder.css'
import { loosen, tighten, unhide } from '../../../commands/match/tighten.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { openView, useMatch } from '../match-state.ts'
import { leftInWords, rungAt } from './rungs.ts'
import { type WeightName, weightings } from './weights.ts'

type Props = { shown: number; considered: number; more: boolean }

/** One ladder from everything to what could be the same: what is asked now, how many are left, what that hides. */
export function Ladder({ shown, considered, more }: Props) {
  const rung = useMatch((s) => s.rung)
  const weights = useMatch((s) => s.weights)
  const order = useMatch((s) => s.order)
  return (
    <div className="match-ladder" role="group" aria-label="How narrow">
      <CommandButton command={tighten} />
      <CommandButton command={loosen} />
      <p role="status">
        <b>{rungAt(rung).words}</b>
        <span>{leftInWords(rung, shown, considered, more)}</span>
      </p>
      {rung > 0 ? <CommandButton command={unhide} look="plain" /> : null}
      <select
        className={`select push ${weights === 'alike' ? '' : 'narrowed'}`}
        aria-label="What counts"
        title="Of lightness, strength (chroma) and hue, what counts for how much in the difference"
        value={weights}
        onChange={(event) => useMatch.setState({ weights: event.target.value as WeightName, limit: openView.limit })}
      >
        {weightings.map(({ name, words }) => (
          <option key={name} value={name}>
            {words}
          </option>
        ))}
      </select>
      <select
        className={`select ${order === 'nearest' ? '' : 'narrowed'}`}
        aria-label="Order"
        title="Within doubt: of those that cannot be told apart by how near they are, what was read like the reference comes first, then what has its grain"
        value={order}
        onChange={(event) => useMatch.setState({ order: event.target.value === 'doubt' ? 'doubt' : 'nearest' })}
      >
        <option value="nearest">nearest first</option>
        <option value="doubt">best within doubt</option>
      </select>
    </div>
  )
}
