import { useState } from 'react'
import type { FilmKnowledge } from '../../../../shared-core/records/film.ts'
import { SuspectRow } from '../../../parts/film/suspect-row.tsx'
import { PanelLink } from '../../../parts/place-link.tsx'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'

/** What is missing, what does not fit, and what is not counted. */
export function Doubts({ knows }: { knows: FilmKnowledge }) {
  const settings = useStore((s) => s.settings)
  return (
    <>
      <section aria-label="What it rests on">
        <h2>What it rests on</h2>
        <p>
          {`${knows.stepCount} ${knows.stepCount === 1 ? 'step' : 'steps'} of ${knows.panelCount} ${knows.panelCount === 1 ? 'panel' : 'panels'} that were read. One coat differs from the next by about ${sayNumber(knows.scatterPerCoat * 100, 0, settings)} % in film build.`}
        </p>
      </section>
      <section className="block plan-missing" aria-label="What is missing">
        <h2>What is missing</h2>
        {knows.advice.length === 0 ? <p>Nothing: every ground was read bare under clear.</p> : null}
        <ul>
          {knows.advice.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      </section>
      <Suspects />
      <LeftOut knows={knows} />
    </>
  )
}

function Suspects() {
  const { value } = useAnswer('film.listSuspects', {})
  return (
    <section className="block plan-suspects" aria-label="What does not fit" aria-busy={!value}>
      <h2>What does not fit</h2>
      {value ? null : <p className="fine">Computing…</p>}
      {value?.suspects.length === 0 ? <p>Every reading fits its formula, as far as the ± tells.</p> : null}
      <ul>
        {value?.suspects.map((suspect) => (
          <SuspectRow key={suspect.readingId} suspect={suspect} />
        ))}
      </ul>
      {value && value.suspects.length > 0 ? <p className="fine">They stay on the rack and count less.</p> : null}
    </section>
  )
}

/** Lines that are shown before more are asked for. */
const shownAtFirst = 6

function LeftOut({ knows }: { knows: FilmKnowledge }) {
  const [all, setAll] = useState(false)
  const { leftOut } = knows
  if (leftOut.length === 0) return null
  return (
    <section className="block plan-left-out" aria-label="What is not counted">
      <h2>What is not counted</h2>
      <ul>
        {leftOut.slice(0, all ? undefined : shownAtFirst).map(({ stepId, code, why }) => (
          <li key={stepId}>
            <PanelLink code={code} /> {why}
          </li>
        ))}
      </ul>
      {!all && leftOut.length > shownAtFirst ? (
        <button type="button" className="btn plain" onClick={() => setAll(true)}>
          {`Show all ${leftOut.length}`}
        </button>
      ) : null}
    </section>
  )
}
