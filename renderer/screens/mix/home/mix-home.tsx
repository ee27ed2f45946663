import type { Cup } from '../../../../shared-core/records/cup.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useNow } from '../../../state/use-now.ts'
import { CupRow } from './cup-row.tsx'
import { NewCup } from './new-cup.tsx'

/** Recent cups that are shown; the record keeps them all. */
const most = 30

/** Cups under way and recent ones, and what a new one is mixed from. */
export function MixHome() {
  const { value } = useAnswer('cups.list', { customerJobId: null, panelId: null })
  const now = useNow()
  const cups = value?.cups ?? []
  const atWork = cups.filter((cup) => isAtWork(cup, now))
  const recent = cups.filter((cup) => !isAtWork(cup, now)).slice(0, most)
  return (
    <main className="mix-home" aria-label="Mix">
      <section className="mix-cups scroll" aria-label="Cups">
        {value && cups.length === 0 ? (
          <div className="mix-empty">
            <h1 className="title">No cup yet</h1>
            <p className="lead">
              Choose what to mix at the right: a panel of the rack, a job, or a formula as you would write it down. Then
              say how much, and pour with the scale or a marked cup.
            </p>
          </div>
        ) : null}
        <Cups title="Under way" cups={atWork} now={now} />
        <Cups title="Recent" cups={recent} now={now} />
      </section>
      <NewCup />
    </main>
  )
}

/** Being poured, standing, or still good to spray. */
export const isAtWork = ({ status, standUntil, potLifeUntil }: Cup, now: number): boolean =>
  status === 'pouring' ||
  (status === 'mixed' && [standUntil, potLifeUntil].some((until) => until !== null && Date.parse(until) > now))

function Cups({ title, cups, now }: { title: string; cups: readonly Cup[]; now: number }) {
  if (cups.length === 0) return null
  return (
    <section className="block">
      <h2 className="railname">{title}</h2>
      <ul className="mix-list">
        {cups.map((cup) => (
          <CupRow key={cup.id} cup={cup} now={now} />
        ))}
      </ul>
    </section>
  )
}
