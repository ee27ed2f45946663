import './never-sprayed.css'
import { useEffect } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { FilmKnowledge } from '../../../../shared-core/records/film.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { toNeverSprayed } from '../../../commands/match/to-never-sprayed.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { isRead, limitsInWords } from '../../../parts/film/film-words.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { useLookedThrough } from '../../../state/suspects.ts'
import { useLong } from '../../../state/use-long.ts'
import { neverSprayedId, useMatch } from '../match-state.ts'
import { PredictedList } from './predicted-list.tsx'
import { setOnShelfOnly, useSuggestions } from './use-suggestions.ts'

/** Recipes that should come near though nobody sprayed them, below what was sprayed. */
export function NeverSprayed({ to, end }: { to: Reading; end: number }) {
  const { knows, limits, value, error, busy, unasked } = useSuggestions(to.id)
  const settings = useStore((s) => s.settings)
  // its command reads this place's own state: it is asked again when that changes
  const [offered] = useMatch(useShallow((s) => [s.offered, s.predicted !== null]))
  const long = useLong(busy)
  const suggestions = value?.suggestions ?? []
  const count = suggestions.length
  useEffect(() => {
    useMatch.setState(count > 0 || busy ? { offered: count } : { offered: 0, predicted: null })
    return () => useMatch.setState({ offered: 0 })
  }, [count, busy])
  const teaches = knows === undefined || knows.candies.some(isRead)
  const [best] = suggestions
  return (
    <section className="match-never" aria-label="Never sprayed" aria-busy={busy}>
      <div className="match-never-bar">
        <h2>Never sprayed</h2>
        <p role="status">
          {busy
            ? long
              ? 'Working out recipes…'
              : ''
            : best
              ? `${count === 1 ? '1 prediction' : `${count} predictions`}, the best ${sayNumber(best.de00, 1, settings)} ± ${sayBound(best.differenceBound90, settings)}`
              : ''}
        </p>
        {offered > 0 ? <CommandButton command={toNeverSprayed} look="plain" /> : null}
        {teaches && !unasked ? (
          <label className="check push">
            <input
              type="checkbox"
              checked={limits.onShelfOnly}
              onChange={(event) => setOnShelfOnly(event.target.checked)}
            />
            Only what is on the shelf
          </label>
        ) : null}
      </div>
      <div className="match-never-say" id={neverSprayedId}>
        {unasked ? <AskTheModel /> : null}
        {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
        {teaches || !knows ? null : <NothingLearned knows={knows} />}
        {value?.nothingNear ? <Caution message="Nothing comes near." remedy={value.nothingNear} /> : null}
        {value && count === 0 && !value.nothingNear ? (
          <p>Nothing can be suggested within these limits. Widen them in Plan, or put candies on the shelf.</p>
        ) : null}
        {teaches && knows ? (
          <div>
            <p>
              <NotAPanel short />
            </p>
            <p className="fine">{limitsInWords(limits, limits, knows)}</p>
          </div>
        ) : null}
      </div>
      {knows && count > 0 ? <PredictedList suggestions={suggestions} knows={knows} end={end} /> : null}
    </section>
  )
}

/** In a large rack the model first learns from thousands of readings. */
function AskTheModel() {
  const folder = useStore((s) => s.rack?.folder ?? null)
  return (
    <>
      <p>
        What was never sprayed is predicted from all readings of the rack. In a rack of this size that takes minutes;
        the list above stands meanwhile.
      </p>
      <button type="button" className="btn" onClick={() => useLookedThrough.setState({ folder })}>
        Predict all the same
      </button>
    </>
  )
}

/** Lines of advice; Plan has them all. */
const mostAdvice = 2

function NothingLearned({ knows }: { knows: FilmKnowledge }) {
  return (
    <>
      <p className="lead">Nothing can be predicted yet</p>
      <p>
        Predictions are learnt from panels that were sprayed, written down and read. No panel with a candy was read yet.
      </p>
      {knows.advice.slice(0, mostAdvice).map((words) => (
        <p key={words}>{words}</p>
      ))}
      <div className="match-acts">
        <button type="button" className="btn" onClick={() => go({ at: 'tray', photoId: null })}>
          Photograph panels in the Tray
        </button>
        <button type="button" className="btn" onClick={() => go({ at: 'plan', formula: null, referenceId: null })}>
          See in Plan what is missing
        </button>
      </div>
    </>
  )
}
