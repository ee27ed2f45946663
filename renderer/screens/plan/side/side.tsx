import './side.css'
import { type KeyboardEvent, useEffect, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { FilmKnowledge, KnownGround, PlanFormula } from '../../../../shared-core/records/film.ts'
import { type CellAt, type PlanTab, setPlan, usePlan } from '../../../state/plan.ts'
import { shownCell } from '../first-formula.ts'
import { Gaps } from '../lists/gaps.tsx'
import { Next } from '../lists/next.tsx'
import { Planned, usePlanned } from '../lists/planned.tsx'
import { CellDetail } from './cell-detail.tsx'
import { Doubts } from './doubts.tsx'
import { Suggest } from './suggest.tsx'

type Props = { formula: PlanFormula; knows: FilmKnowledge; grounds: readonly KnownGround[] }

const names: Record<PlanTab, string> = { cell: 'Cell', suggest: 'Suggest', next: 'Next', rack: 'Doubts' }
const tabs = Object.keys(names) as PlanTab[]

/** What can be asked about the table: on a wide screen the chosen cell stays in sight above the rest. */
export function Side(props: Props) {
  const wide = useWide()
  const kept = usePlan((s) => s.tab)
  const shown = wide ? tabs.slice(1) : tabs
  const tab = shown.includes(kept) ? kept : 'suggest'
  const cell = useShownCell(props)
  const turn = (event: KeyboardEvent) => {
    const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key]
    if (by === undefined) return
    event.preventDefault()
    const next = shown[(shown.indexOf(tab) + by + shown.length) % shown.length]!
    setPlan({ tab: next })
    document.querySelector<HTMLElement>(`#plan-tab-${next}`)?.focus()
  }
  return (
    <aside className="plan-side" aria-label="About the table">
      {wide ? (
        <div className="plan-side-cell scroll">
          <CellDetail cell={cell} formula={props.formula} knows={props.knows} />
        </div>
      ) : null}
      <div className="plan-tabs" role="tablist" aria-label="About the table">
        {shown.map((each) => (
          <button
            key={each}
            type="button"
            role="tab"
            id={`plan-tab-${each}`}
            aria-selected={each === tab}
            aria-controls="plan-side-panel"
            tabIndex={each === tab ? 0 : -1}
            onClick={() => setPlan({ tab: each })}
            onKeyDown={turn}
          >
            {names[each]}
          </button>
        ))}
      </div>
      <div className="plan-side-in scroll" role="tabpanel" id="plan-side-panel" aria-labelledby={`plan-tab-${tab}`}>
        <Tab tab={tab} {...props} />
      </div>
    </aside>
  )
}

function useShownCell({ grounds, knows }: Props): CellAt {
  const [chosen, coatsTo] = usePlan(useShallow((s) => [s.cell, s.coatsTo]))
  return shownCell(chosen, grounds, coatsTo, knows.usualCoats)
}

function Tab({ tab, formula, knows, grounds }: Props & { tab: PlanTab }) {
  const nextAbout = usePlan((s) => s.nextAbout)
  const cell = useShownCell({ formula, knows, grounds })
  const planned = usePlanned()
  switch (tab) {
    case 'cell':
      return <CellDetail cell={cell} formula={formula} knows={knows} />
    case 'suggest':
      return <Suggest formula={formula} knows={knows} />
    case 'next':
      return (
        <>
          <Next
            key={nextAbout}
            formula={formula}
            knows={knows}
            grounds={grounds.map(({ id }) => id)}
            planned={planned}
          />
          <Planned planned={planned} />
          <Gaps knows={knows} />
        </>
      )
    case 'rack':
      return <Doubts knows={knows} />
  }
}

/** From where paint and room numbers grow, there is room for the cell beside the rest. */
const wideFrom = '(min-width: 1600px)'

function useWide(): boolean {
  const [wide, setWide] = useState(() => matchMedia(wideFrom).matches)
  useEffect(() => {
    const query = matchMedia(wideFrom)
    const set = () => setWide(query.matches)
    set()
    query.addEventListener('change', set)
    return () => query.removeEventListener('change', set)
  }, [])
  return wide
}
