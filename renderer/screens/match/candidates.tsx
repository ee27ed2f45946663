import { type KeyboardEvent, useEffect, useEffectEvent, useLayoutEffect, useRef } from 'react'
import type { Match } from '../../../shared-core/records/match.ts'
import { noFilter } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { openCandidate } from '../../commands/match/open-candidate.ts'
import { pinCandidate } from '../../commands/match/pin-candidate.ts'
import { loosen } from '../../commands/match/tighten.ts'
import { CommandButton } from '../../parts/command-button.tsx'
import { sayNumber } from '../../parts/say-numbers.ts'
import { coatsInWords } from '../../parts/strokes.tsx'
import { isAmong, type Pin, togglePin, usePinned } from '../../state/pins.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { CandidateRow } from './candidate-row.tsx'
import { axisEnd, axisMarks, dividingRow } from './interval.ts'
import { listIds, narrow, openView, useMatch, walkInto } from './match-state.ts'
import { askedInWords } from './narrowing/rungs.ts'
import { weightingOf } from './narrowing/weights.ts'
import { NeverSprayed } from './never-sprayed/never-sprayed.tsx'
import { stepInList } from './walking.ts'

type Props = { of: string; matches: Match[]; to: Reading; mayHaveMore: boolean }

const idOf = (match: Match) => `candidate-${match.stepId}`
/** The candidate that a pointer is on. */
const stepUnder = (target: EventTarget): string | undefined =>
  target instanceof Element ? target.closest<HTMLElement>('[data-step]')?.dataset.step : undefined

/** What was sprayed, the nearest first, and below it what never was; one walks through both with the arrow keys. */
export function Candidates({ of, matches, to, mayHaveMore }: Props) {
  const settings = useStore((s) => s.settings)
  const weights = useMatch((s) => s.weights)
  const rows = useScroll(of)
  const offered = useMatch((s) => s.offered)
  const end = axisEnd(matches)
  return (
    <>
      {matches.length > 0 || offered > 0 ? (
        <p className="match-axis" aria-hidden="true">
          <span>{weights === 'alike' ? 'dE00' : `dE00 (${weightingOf(weights).ratio})`}</span>
          <span className="scale">
            {axisMarks(end).map((mark) => (
              <i key={mark}>{mark}</i>
            ))}
          </span>
          <span>
            dotted: {sayNumber(settings.sameLimit, settings.sameLimit % 1 === 0 ? 0 : 1, settings)}, your limit
          </span>
        </p>
      ) : null}
      <div className="match-rows scroll" ref={rows}>
        {matches.length === 0 ? (
          <Nothing />
        ) : (
          <Sprayed of={of} matches={matches} to={to} mayHaveMore={mayHaveMore} end={end} />
        )}
        {to.id.startsWith('point:') ? (
          <p className="match-never-say">
            What was never sprayed is predicted for references that are kept: keep this point as a reference.
          </p>
        ) : (
          <NeverSprayed key={to.id} to={to} end={end} />
        )}
      </div>
    </>
  )
}

/** The list is where one left it, also after another place or another reference. */
function useScroll(of: string) {
  const rows = useRef<HTMLDivElement>(null)
  const place = `match ${of}`
  useLayoutEffect(() => {
    const element = rows.current
    if (!element) return
    const kept = useStore.getState().scrolls[place]
    if (kept !== undefined) element.scrollTop = kept
    const keep = () => useStore.getState().keepScroll(place, element.scrollTop)
    element.addEventListener('scroll', keep, { passive: true })
    return () => element.removeEventListener('scroll', keep)
  }, [place])
  return rows
}

const pinOf = (match: Match): Pin => ({
  item: { kind: 'reading', id: match.reading.id },
  name: `${`${match.panel.code} ${match.panel.title}`.trim()}, ${coatsInWords(match.coats)}`,
  lab: match.combined?.lab ?? match.reading.lab,
})

/** The candidates as a list one walks with the arrow keys; the row one stands on is taller. */
function Sprayed({ of, matches, to, mayHaveMore, end }: Props & { end: number }) {
  const stepId = useMatch((s) => s.stepId)
  const here = useMatch((s) => s.predicted === null)
  const list = useRef<HTMLDivElement>(null)
  const found = matches.findIndex((m) => m.stepId === stepId)
  const at = Math.max(found, 0)
  const chosen = matches[at]
  useEffect(() => {
    if (chosen) useMatch.setState({ stepId: chosen.stepId, code: chosen.panel.code, pin: pinOf(chosen) })
    return () => useMatch.setState({ code: null, pin: null })
  }, [chosen])
  const pins = usePinned()
  const isFirst = useRef(true)
  const keepInSight = () => {
    if (here) list.current?.querySelector('[aria-selected="true"]')?.scrollIntoView?.({ block: 'nearest' })
  }
  const bring = useEffectEvent(() => {
    // where one left it, it was in sight or scrolled away on purpose
    if (!isFirst.current || useStore.getState().scrolls[`match ${of}`] === undefined) keepInSight()
    isFirst.current = false
  })
  useEffect(() => bring(), [chosen?.stepId, here])
  useEffect(() => {
    if (useMatch.getState().predicted === null) list.current?.focus({ preventScroll: true })
  }, [])

  const walk = (event: KeyboardEvent) => {
    const next = stepInList(event.key, at, matches.length)
    if (next !== null) {
      event.preventDefault()
      if (event.key === 'ArrowDown' && at === matches.length - 1 && walkInto('predicted')) return
      useMatch.setState({ stepId: matches[next]!.stepId, predicted: null })
    } else if (event.key === 'Enter' && here) {
      event.preventDefault()
      void openCandidate.run(useStore.getState())
    } else if (event.key === ' ' && here) {
      event.preventDefault()
      void pinCandidate.run(useStore.getState())
    }
  }
  const line = dividingRow(matches)
  return (
    <div
      ref={list}
      id={listIds.sprayed}
      className="match-walked"
      role="listbox"
      aria-label="Candidates"
      tabIndex={0}
      aria-activedescendant={chosen && here ? idOf(chosen) : undefined}
      onKeyDown={walk}
      // the row has grown meanwhile
      onTransitionEnd={keepInSight}
      onFocus={(event) => {
        // a press on a row says itself which row is meant
        if (event.target === event.currentTarget) useMatch.setState({ predicted: null })
      }}
      onClick={(event) => {
        const under = stepUnder(event.target)
        if (under) useMatch.setState({ stepId: under, predicted: null })
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
          chosen={here && i === at}
          pinned={isAmong(pins, pinOf(match).item)}
          onPin={() => togglePin(pinOf(match))}
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
  )
}

/** No candidate: because of the filters, or because the rack has nothing to compare with. */
function Nothing() {
  const { filter, readings, rung } = useMatch()
  const narrowed =
    rung > 0 ||
    filter.grounds.length + filter.candies.length > 0 ||
    filter.cleared !== null ||
    readings.view !== null ||
    readings.lightId !== null
  return (
    <div className="match-nothing">
      <p className="say">{narrowed ? 'No panel is left to compare with' : 'No other panel has a reading yet'}</p>
      <p>
        {narrowed
          ? rung > 0
            ? `None passes what is asked: ${askedInWords(rung)}.`
            : 'None fits what was chosen above.'
          : 'Photograph panels beside the grey card and file them in the Tray: then the nearest stand here.'}
      </p>
      <p className="match-acts">
        {rung > 0 ? <CommandButton command={loosen} /> : null}
        {narrowed ? (
          <button
            type="button"
            className="btn main"
            onClick={() => {
              narrow(noFilter, { view: null, lightId: null })
              useMatch.setState({ rung: openView.rung })
            }}
          >
            Compare with all
          </button>
        ) : (
          <button type="button" className="btn main" onClick={() => go({ at: 'tray', photoId: null })}>
            Go to the Tray
          </button>
        )}
      </p>
    </div>
  )
}
