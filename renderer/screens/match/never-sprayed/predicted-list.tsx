import { type KeyboardEvent, useEffect, useEffectEvent, useRef } from 'react'
import type { FilmKnowledge, Suggestion } from '../../../../shared-core/records/film.ts'
import { setInPlan } from '../../../commands/match/set-in-plan.ts'
import { useStore } from '../../../state/store.ts'
import { listIds, recipeKey, useMatch, walkInto } from '../match-state.ts'
import { stepInList } from '../walking.ts'
import { PredictedRow } from './predicted-row.tsx'

type Props = { suggestions: readonly Suggestion[]; knows: FilmKnowledge; end: number }

const idOf = (place: number) => `prediction-${place}`
/** The place of the prediction that a pointer is on. */
const placeUnder = (target: EventTarget): number | undefined => {
  const place = target instanceof Element ? target.closest<HTMLElement>('[data-place]')?.dataset.place : undefined
  return place === undefined ? undefined : Number(place)
}

/** Predictions as a list that goes on where the sprayed candidates end. */
export function PredictedList({ suggestions, knows, end }: Props) {
  const predicted = useMatch((s) => s.predicted)
  const list = useRef<HTMLDivElement>(null)
  const walked = predicted === null ? null : recipeKey(predicted.suggestion)
  const here = walked !== null
  const at = here
    ? Math.max(
        0,
        suggestions.findIndex((each) => recipeKey(each) === walked),
      )
    : -1
  const chosen = suggestions[at]
  const choose = (place: number) => {
    const suggestion = suggestions[place]
    if (suggestion) useMatch.setState({ predicted: { suggestion, knows } })
  }
  const follow = useEffectEvent(() => {
    // others stand here now, or the same with other figures
    if (here && chosen !== predicted?.suggestion) choose(at)
  })
  useEffect(() => follow(), [chosen])
  useEffect(() => {
    if (here) list.current?.querySelector('[aria-selected="true"]')?.scrollIntoView?.({ block: 'nearest' })
  }, [here, at])
  useEffect(() => {
    if (useMatch.getState().predicted !== null) list.current?.focus({ preventScroll: true })
  }, [])

  const walk = (event: KeyboardEvent) => {
    const next = stepInList(event.key, at, suggestions.length)
    if (next !== null) {
      event.preventDefault()
      if (event.key === 'ArrowUp' && at <= 0 && walkInto('sprayed')) return
      choose(next)
    } else if (event.key === 'Enter' && here) {
      event.preventDefault()
      void setInPlan.run(useStore.getState())
    }
  }
  return (
    <div
      ref={list}
      id={listIds.predicted}
      className="match-walked"
      role="listbox"
      aria-label="Never sprayed, predicted"
      tabIndex={0}
      aria-activedescendant={here ? idOf(at) : undefined}
      onKeyDown={walk}
      onFocus={(event) => {
        // a press on a row says itself which row is meant
        if (event.target === event.currentTarget && !here) choose(0)
      }}
      onClick={(event) => {
        const under = placeUnder(event.target)
        if (under !== undefined) choose(under)
      }}
      onDoubleClick={(event) => {
        if (placeUnder(event.target) !== undefined) void setInPlan.run(useStore.getState())
      }}
    >
      {suggestions.map((suggestion, place) => (
        <PredictedRow
          key={recipeKey(suggestion)}
          id={idOf(place)}
          place={place}
          suggestion={suggestion}
          knows={knows}
          chosen={place === at}
          end={end}
        />
      ))}
    </div>
  )
}
