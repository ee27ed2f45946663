import type { KnownGround, PlanCell } from '../../../../shared-core/records/film.ts'
import { chooseGrounds } from '../../../commands/plan/choose-grounds.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { isBeyond } from '../../../parts/film/film-words.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { gamutHow, gamutWord } from '../../../parts/gamut-word.ts'
import { BeyondScreen, Minus, Plus, SmallTriangle } from '../../../parts/icons.tsx'
import { mostRows, setPlan, usePlan } from '../../../state/plan.ts'
import { useLong } from '../../../state/use-long.ts'

type Props = {
  coatsTo: number
  cells: readonly PlanCell[]
  busy: boolean
  /** Grounds across that were never read bare in this finish. */
  unread: readonly KnownGround[]
}

/** Rows and columns, what the signs mean, and what a prediction is not. */
export function TableFoot({ coatsTo, cells, busy, unread }: Props) {
  const long = useLong(busy)
  const shows = usePlan((s) => s.shows)
  const hasSprayed = cells.some(({ sprayed }) => sprayed.some(({ cut, lab }) => cut !== null || lab !== null))
  const hasBeyond = cells.some(({ prediction }) => prediction !== null && isBeyond(prediction))
  const hasHidden = cells.some(({ prediction }) => prediction !== null && gamutWord(prediction.lab) !== null)
  return (
    <div className="plan-foot">
      <div className="plan-foot-row">
        <div className="plan-rows" role="group" aria-label="Rows">
          <button
            type="button"
            className="btn"
            aria-label="Fewer coats"
            aria-disabled={coatsTo <= 1}
            onClick={() => setPlan({ coatsTo: Math.max(1, coatsTo - 1) })}
          >
            <Minus />
          </button>
          <span aria-live="polite">{coatsTo === 1 ? '1 coat' : `${coatsTo} coats`}</span>
          <button
            type="button"
            className="btn"
            aria-label="More coats"
            aria-disabled={coatsTo >= mostRows}
            onClick={() => setPlan({ coatsTo: Math.min(mostRows, coatsTo + 1) })}
          >
            <Plus />
          </button>
        </div>
        <CommandButton command={chooseGrounds} />
        <div className="pair" role="group" aria-label="Sprayed cells show">
          {(['photos', 'colours'] as const).map((each) => (
            <button key={each} type="button" aria-pressed={shows === each} onClick={() => setPlan({ shows: each })}>
              {each === 'photos' ? 'Photos' : 'Readings'}
            </button>
          ))}
        </div>
        <p className="plan-busy" role="status">
          {long ? 'Computing…' : ''}
        </p>
      </div>
      {unread.length > 0 ? (
        <p>
          <b>{`Not read bare under clear yet: ${unread.map(({ name }) => name).join(', ')}.`}</b> A strip without candy
          on the next panel pays most.
        </p>
      ) : null}
      <p>
        {hasSprayed ? (
          <span>
            {shows === 'photos'
              ? 'With a code: photo in its own light, then prediction. '
              : 'With a code: what was read, then prediction. '}
          </span>
        ) : null}
        {hasBeyond ? (
          <span>
            <SmallTriangle /> beyond anything sprayed.{' '}
          </span>
        ) : null}
        {hasHidden ? (
          <span>
            <BeyondScreen /> {gamutHow}.{' '}
          </span>
        ) : null}
        Screen preview: judge panel against part under the customer’s light. <NotAPanel />
      </p>
    </div>
  )
}
