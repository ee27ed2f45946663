import './match.css'
import { useEffect } from 'react'
import type { Match } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { Caution } from '../../parts/caution.tsx'
import { Paint } from '../../parts/lab-swatch.tsx'
import { coatsInWords } from '../../parts/strokes.tsx'
import { useAnswer } from '../../state/asking.ts'
import { usePanelOfStep } from '../../state/panel-of-step.ts'
import { go } from '../../state/router.ts'
import { Candidates } from './candidates.tsx'
import { ChooseReference } from './choose-reference.tsx'
import { MatchFilters } from './match-filters.tsx'
import { MatchFoot } from './match-foot.tsx'
import { MatchHeader } from './match-header.tsx'
import { matchReading, useMatch } from './match-state.ts'
import { newestOf } from './reading-words.ts'

/** A reading of a panel has its own form of address, beside those of references. */
const ofReading = 'reading-'

/** The nearest panels to a reference, or to a reading of a panel. */
export function MatchPlace({ referenceId }: { referenceId: string | null }) {
  if (referenceId === null) return <ChooseReference />
  if (referenceId.startsWith(ofReading)) return <Matching readingId={referenceId.slice(ofReading.length)} name={null} />
  return <OfReference referenceId={referenceId} />
}

function OfReference({ referenceId }: { referenceId: string }) {
  const { value, error } = useAnswer('references.get', { referenceId })
  if (error) return <Absent message={error.message} remedy={error.remedy} />
  if (!value) return <main className="match well" aria-busy="true" />
  const newest = newestOf(value.reference.readings)
  if (!newest)
    return <Absent message={`${value.reference.name} has no colour.`} remedy="Photograph it, or type its colour." />
  return <Matching readingId={newest.id} name={value.reference.name} />
}

function Matching({ readingId, name }: { readingId: string; name: string | null }) {
  const filter = useMatch((s) => s.filter)
  const readings = useMatch((s) => s.readings)
  const limit = useMatch((s) => s.limit)
  const shows = useMatch((s) => s.shows)
  useEffect(() => matchReading(readingId), [readingId])
  const { value, error } = useAnswer('match.findNearest', { to: { readingId }, filter, readings, limit })
  if (error) return <Absent message={error.message} remedy={error.remedy} />
  if (!value) return <main className="match well" aria-busy="true" />
  return (
    <main className="match well" aria-label="Match">
      <div className="match-ref">
        <Paint
          lab={value.to.lab}
          cut={value.to.cut}
          flat={shows === 'colours'}
          label={`Reference: ${name ?? 'reading of a panel'}`}
        />
      </div>
      <section className="match-list" aria-label="Candidates, nearest first">
        {name === null ? (
          <HeaderOfReading to={value.to} nearest={value.matches[0]} />
        ) : (
          <MatchHeader name={name} to={value.to} nearest={value.matches[0]} />
        )}
        <MatchFilters />
        <Candidates
          matches={value.matches}
          to={value.to}
          mayHaveMore={value.matches.length < value.considered && limit < 500}
        />
        <MatchFoot considered={value.considered} />
      </section>
    </main>
  )
}

function HeaderOfReading({ to, nearest }: { to: Reading; nearest: Match | undefined }) {
  const panel = usePanelOfStep(to.stepId)
  const coats = panel?.bands.find((band) => band.stepId === to.stepId)?.coats
  const name = panel ? `${panel.code} ${panel.title}`.trim() : 'a panel’s reading'
  return <MatchHeader name={coats === undefined ? name : `${name}, ${coatsInWords(coats)}`} to={to} nearest={nearest} />
}

function Absent({ message, remedy }: { message: string; remedy: string }) {
  return (
    <main className="match match-absent well">
      <Caution message={message} remedy={remedy} />
      <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: null })}>
        Choose a reference
      </button>
    </main>
  )
}
