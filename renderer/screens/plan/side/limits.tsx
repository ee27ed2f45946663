import { useState } from 'react'
import type { FilmKnowledge, PlanFormula, SuggestLimits } from '../../../../shared-core/records/film.ts'
import { sayWhatIsOnShelf } from '../../../commands/plan/say-what-is-on-shelf.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { isRead, limitsInWords } from '../../../parts/film/film-words.ts'
import { setPlan, usePlan } from '../../../state/plan.ts'
import { TickList } from './tick-list.tsx'

const setLimits = (change: Partial<SuggestLimits>): void =>
  setPlan({ limits: { ...usePlan.getState().limits, ...change } })

/** What suggestions may use: a sentence, and the form that changes it. */
export function Limits({ formula, knows }: { formula: PlanFormula; knows: FilmKnowledge }) {
  const limits = usePlan((s) => s.limits)
  const [open, setOpen] = useState(false)
  return (
    <div className="plan-limits">
      <p className="fine">{limitsInWords(limits, formula, knows)}</p>
      <button type="button" className="btn plain" aria-expanded={open} onClick={() => setOpen(!open)}>
        {open ? 'Close the limits' : 'Change the limits'}
      </button>
      {open ? <LimitsForm limits={limits} knows={knows} /> : null}
    </div>
  )
}

function LimitsForm({ limits, knows }: { limits: SuggestLimits; knows: FilmKnowledge }) {
  const candies = knows.candies.filter(isRead)
  return (
    <div className="plan-limits-form">
      <label className="check">
        <input
          type="checkbox"
          checked={limits.onShelfOnly}
          onChange={(event) => setLimits({ onShelfOnly: event.target.checked })}
        />
        On the shelf only
      </label>
      <CommandButton command={sayWhatIsOnShelf} />
      {knows.midCoats.length > 0 || limits.useMidCoats ? (
        <label className="check">
          <input
            type="checkbox"
            checked={limits.useMidCoats}
            onChange={(event) => setLimits({ useMidCoats: event.target.checked })}
          />
          Mid coats may be used
        </label>
      ) : null}
      <div className="plan-limit-figures">
        <Choice
          label="Candies, at most"
          value={limits.maxCandies}
          from={1}
          to={3}
          onValue={(maxCandies) => setLimits({ maxCandies })}
        />
        <Choice
          label="Parts, at most"
          value={limits.maxParts}
          from={1}
          to={24}
          onValue={(maxParts) => setLimits({ maxParts })}
        />
        <Choice
          label="Coats, at most"
          value={limits.maxCoats}
          from={1}
          to={12}
          onValue={(maxCoats) => setLimits({ maxCoats })}
        />
        <Choice
          label="Carrier, from"
          value={limits.carrierFrom}
          from={0}
          to={20}
          onValue={(carrierFrom) => setLimits({ carrierFrom, carrierTo: Math.max(carrierFrom, limits.carrierTo) })}
        />
        <Choice
          label="Carrier, to"
          value={limits.carrierTo}
          from={0}
          to={20}
          onValue={(carrierTo) => setLimits({ carrierTo, carrierFrom: Math.min(carrierTo, limits.carrierFrom) })}
        />
      </div>
      <TickList
        legend="Grounds"
        all={knows.grounds.filter(isRead)}
        chosen={limits.grounds}
        onChosen={(grounds) => setLimits({ grounds })}
      />
      <TickList
        legend="Candies"
        all={candies}
        chosen={limits.candies}
        onChosen={(chosen) => setLimits({ candies: chosen })}
      />
    </div>
  )
}

type ChoiceProps = { label: string; value: number; from: number; to: number; onValue: (value: number) => void }

function Choice({ label, value, from, to, onValue }: ChoiceProps) {
  return (
    <label className="field">
      <span>{label}</span>
      <select className="select" value={value} onChange={(event) => onValue(Number(event.target.value))}>
        {Array.from({ length: to - from + 1 }, (_, i) => (
          <option key={i} value={from + i}>
            {from + i}
          </option>
        ))}
      </select>
    </label>
  )
}
