import './match.css'
import { useEffect, useMemo } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { MatchTarget } from '../../../shared-core/contract/match-calls.ts'
import { orderByDoubt } from '../../../shared-core/match/order.ts'
import type { Match } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { Caution } from '../../parts/caution.tsx'
import { Paint } from '../../parts/lab-swatch.tsx'
import { coatsInWords } from '../../parts/strokes.tsx'
import { useAnswer } from '../../state/asking.ts'
import { targetOf } from '../../state/match-address.ts'
import { layOnTable, tableNow } from '../../state/match-table.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { Candidates } from './candidates.tsx'
import { ChooseReference } from './choose-reference.tsx'
import { MatchFilters } from './match-filters.tsx'
import { MatchFoot } from './match-foot.tsx'
import { MatchHeader } from './match-header.tsx'
import { matchOf, useMatch } from './match-state.ts'
import { Ladder } from './narrowing/ladder.tsx'
import { rungAt, shownOn } from './narrowing/rungs.ts'
import { weightingOf } from './narrowing/weights.ts'
import { ChoosePoint } from './point/choose-point.tsx'
import { PointInPhoto, PointName } from './point/point-in-photo.tsx'
import { newestOf } from './reading-words.ts'
import { NearAllOfThem } from './table/near-all-list.tsx'
import { TableStrip } from './table/table-strip.tsx'

type Props = { referenceId: string | null; table?: readonly string[] | undefined }

/** The nearest panels to a reference, to a reading of a panel or to a point of a photo. */
export function MatchPlace({ referenceId, table }: Props) {
  useTableOfAddress(referenceId, table)
  if (referenceId === null) return <ChooseReference />
  const target = targetOf(referenceId)
  switch (target.kind) {
    case 'all':
      return <NearAllOfThem />
    case 'photo':
      return <ChoosePoint key={target.photoId} photoId={target.photoId} />
    case 'reading':
      return <Matching of={referenceId} to={{ readingId: target.id }} name={null} />
    case 'point': {
      const { photoId, x, y } = target
      return <Matching of={referenceId} to={{ photoId, x, y }} name={null} />
    }
    case 'reference':
      return <OfReference referenceId={referenceId} />
  }
}

/** The address says what lies on the table, and the table what the address leaves out. */
function useTableOfAddress(referenceId: string | null, given: readonly string[] | undefined): void {
  const asked = JSON.stringify(given ?? null)
  useEffect(() => {
    if (referenceId === null) return
    layOnTable(referenceId, given)
    const ids = tableNow()
    if (ids.length > 1 && JSON.stringify(ids) !== asked && useStore.getState().route.at === 'match')
      go({ at: 'match', referenceId, table: ids }, 'replace')
    // oxlint-disable-next-line react-hooks/exhaustive-deps -- `asked` says what is given
  }, [referenceId, asked])
}

function OfReference({ referenceId }: { referenceId: string }) {
  const { value, error } = useAnswer('references.get', { referenceId })
  if (error) return <Absent message={error.message} remedy={error.remedy} />
  if (!value) return <main className="match well" aria-busy="true" />
  const newest = newestOf(value.reference.readings)
  if (!newest)
    return <Absent message={`${value.reference.name} has no colour.`} remedy="Photograph it, or type its colour." />
  return <Matching of={referenceId} to={{ readingId: newest.id }} name={value.reference.name} />
}

function Matching({ of, to, name }: { of: string; to: MatchTarget; name: string | null }) {
  const [filter, readings, limit, shows] = useMatch(useShallow((s) => [s.filter, s.readings, s.limit, s.shows]))
  const [rung, weights, order] = useMatch(useShallow((s) => [s.rung, s.weights, s.order]))
  useEffect(() => matchOf(of), [of])
  const { value, error } = useAnswer('match.findNearest', {
    to,
    filter,
    readings,
    limit,
    ...(weights === 'alike' ? {} : { weights: weightingOf(weights).ask }),
    ...rungAt(rung).ask,
  })
  const matches = useMemo(() => {
    const left = shownOn(rung, value?.matches ?? [])
    return order === 'doubt' ? orderByDoubt(left) : left
  }, [value, rung, order])
  if (error && 'photoId' in to)
    return (
      <main className="match well" aria-label="Match">
        <div className="match-left">
          <PointInPhoto point={to} lab={null} />
          <TableStrip now={of} />
        </div>
        <AbsentWords message={error.message} remedy={error.remedy} photoId={to.photoId} />
      </main>
    )
  if (error) return <Absent message={error.message} remedy={error.remedy} />
  if (!value) return <main className="match well" aria-busy="true" />
  const more = value.matches.length >= limit && value.matches.length < value.considered
  return (
    <main className="match well" aria-label="Match">
      <div className="match-left">
        {'photoId' in to ? (
          <PointInPhoto point={to} lab={value.to.lab} />
        ) : (
          <div className="match-ref">
            <Paint
              lab={value.to.lab}
              cut={value.to.cut}
              flat={shows === 'colours'}
              label={`Reference: ${name ?? 'reading of a panel'}`}
            />
          </div>
        )}
        <TableStrip now={of} />
      </div>
      <section className="match-list" aria-label="Candidates, nearest first">
        {'photoId' in to ? (
          <PointName point={to} to={value.to} nearest={matches[0]} />
        ) : name === null ? (
          <HeaderOfReading to={value.to} nearest={matches[0]} />
        ) : (
          <MatchHeader name={name} to={value.to} nearest={matches[0]} />
        )}
        <MatchFilters />
        <Ladder shown={matches.length} considered={value.considered} more={more} />
        <Candidates key={of} of={of} matches={matches} to={value.to} mayHaveMore={more && limit < 500} />
        <MatchFoot />
      </section>
    </main>
  )
}

function HeaderOfReading({ to, nearest }: { to: Reading; nearest: Match | undefined }) {
  const { value } = useAnswer('side.readItems', { items: [{ kind: 'reading', id: to.id }] })
  const shown = value?.shown[0]
  const name = shown?.name ?? 'a panel’s reading'
  return (
    <MatchHeader name={shown?.panel ? `${name}, ${coatsInWords(shown.panel.coats)}` : name} to={to} nearest={nearest} />
  )
}

function Absent({ message, remedy }: { message: string; remedy: string }) {
  return (
    <main className="match match-absent well">
      <AbsentWords message={message} remedy={remedy} photoId={null} />
    </main>
  )
}

function AbsentWords({ message, remedy, photoId }: { message: string; remedy: string; photoId: string | null }) {
  return (
    <div className="match-refused">
      <Caution message={message} remedy={remedy} />
      <p className="match-acts">
        {photoId === null ? null : (
          <button type="button" className="btn main" onClick={() => go({ at: 'tray', photoId })}>
            Open it in the Tray
          </button>
        )}
        <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: null })}>
          Choose a reference
        </button>
      </p>
    </div>
  )
}
