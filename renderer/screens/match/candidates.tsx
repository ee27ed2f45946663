import { type KeyboardEvent, useEffect, useRef } from 'react'
import type { Match } from '../../../shared-core/records/match.ts'
import { noFilter } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { openCandidate } from '../../commands/match/open-candidate.ts'
import { sayNumber } from '../../parts/say-numbers.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { CandidateRow } from './candidate-row.tsx'
import { axisEnd, axisMarks, dividingRow } from './interval.ts'
import { narrow, useMatch } from './match-state.ts'

type Props = { matches: Match[]; to: Reading; mayHaveMore: boolean }

const idOf = (match: Match) => `candidate-${match.stepId}`
const byPage = 5
/** The candidate that a pointer is on. */
const stepUnder = (target: EventTarget): string | undefined =>
  target instanceof Element ? target.closest<HTMLElement>('[data-step]')?.dataset.step : undefined

/** The candidates as a list one walks with the arrow keys; the row one stands on is taller. */
export function Candidates({ matches, to, mayHaveMore }: Props) {
  const stepId = useMatch((s) => s.stepId)
  const settings = useStore((s) => s.settings)
  const list = useRef<HTMLDivElement>(null)
  const found = matches.findIndex((m) => m.stepId === stepId)
  const at = Math.max(found, 0)
  const chosen = matches[at]
  useEffect(() => {
    if (chosen) useMatch.setState({ stepId: chosen.stepId, code: chosen.panel.code })
    else useMatch.setState({ stepId: null, code: null })
  }, [chosen])
  useEffect(() => {
    list.current?.querySelector('[aria-selected="true"]')?.scrollIntoView?.({ block: 'nearest' })
  }, [chosen?.stepId])
  useEffect(() => {
    list.current?.focus({ preventScroll: true })
  }, [])
  if (matches.length === 0) return <Nothing />

  const walk = (event: KeyboardEvent) => {
    const next = {
      ArrowUp: at - 1,
      ArrowDown: at + 1,
      Home: 0,
      End: matches.length - 1,
      PageUp: at - byPage,
      PageDown: at + byPage,
    }[event.key]
    if (next !== undefined) {
      event.preventDefault()
      useMatch.setState({ stepId: matches[Math.min(Math.max(next, 0), matches.length - 1)]!.stepId })
    } else if (event.key === 'Enter' && chosen) {
      event.preventDefault()
      void openCandidate.run(useStore.getState())
    }
  }
  const end = axisEnd(matches)
  const line = dividingRow(matches)
  return (
    <>
      <p className="match-axis" aria-hidden="true">
        <span>dE00</span>
        <span className="scale">
          {axisMarks(end).map((mark) => (
            <i key={mark}>{mark}</i>
          ))}
        </span>
        <span>dotted: {sayNumber(settings.sameLimit, settings.sameLimit % 1 === 0 ? 0 : 1, settings)}, your limit</span>
      </p>
      <div
        ref={list}
        className="match-rows scroll"
        role="listbox"
        aria-label="Candidates"
        tabIndex={0}
        aria-activedescendant={chosen ? idOf(chosen) : undefined}
        onKeyDown={walk}
        onClick={(event) => {
          const under = stepUnder(event.target)
          if (under) useMatch.setState({ stepId: under })
        }}
        onDoubleClick={(event) => {
          if (stepUnder(event.target)) void openCandidate.run(useStore.getState())
        }}
      >
        {matches.map((match, i) => (
          <CandidateRow
            key={match.stepId}
            id={idOf(match)}
            match={match}
            to={to}
            chosen={i === at}
            end={end}
            line={i === line ? (line === 0 ? 'first' : 'between') : null}
            aboveLine={i < line}
          />
        ))}
        {line === matches.length ? (
          <p className="match-end" role="presentation">
            <b>above: could be the same</b>
          </p>
        ) : null}
        {mayHaveMore ? (
          <div role="presentation" className="match-more">
            <button
              type="button"
              className="btn"
              tabIndex={-1}
              onClick={() => useMatch.setState((s) => ({ limit: Math.min(s.limit + 50, 500) }))}
            >
              Show more
            </button>
          </div>
        ) : null}
      </div>
    </>
  )
}

/** No candidate: because of the filters, or because the rack has nothing to compare with. */
function Nothing() {
  const { filter, readings } = useMatch()
  const narrowed =
    filter.grounds.length + filter.candies.length > 0 ||
    filter.cleared !== null ||
    readings.view !== null ||
    readings.lightId !== null
  return (
    <div className="match-nothing">
      <p className="say">{narrowed ? 'No panel is left to compare with' : 'No other panel has a reading yet'}</p>
      <p>
        {narrowed
          ? 'None fits what was chosen above.'
          : 'Photograph panels beside the grey card and file them in the Tray: then the nearest stand here.'}
      </p>
      {narrowed ? (
        <button type="button" className="btn main" onClick={() => narrow(noFilter, { view: null, lightId: null })}>
          Compare with all
        </button>
      ) : (
        <button type="button" className="btn main" onClick={() => go({ at: 'tray', photoId: null })}>
          Go to the Tray
        </button>
      )}
    </div>
  )
}
