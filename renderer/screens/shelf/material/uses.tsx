import type { ReactNode } from 'react'
import type { Output } from '../../../../shared-core/contract/calls.ts'
import { sayStock } from '../../../../shared-core/mix/stock.ts'
import type { StockMove } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'
import type { Route } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { wordingOf } from '../../mix/say-amounts.ts'

type History = Output<'shelf.history'>

/** So many stand open; the others are one press away. */
const open = 8

/** Where it is needed: panels, jobs and cups. */
export function Uses({ history: { panels, jobs, cups } }: { history: History }) {
  return (
    <section className="block">
      <h2>Where it is used</h2>
      {panels.length + jobs.length + cups.length === 0 ? <p className="fine">In nothing yet.</p> : null}
      <Ways name="Panels" of={panels} to={({ code }) => ({ at: 'panel', key: code })} />
      <Ways name="Jobs" of={jobs} to={({ code }) => ({ at: 'jobs', key: code })} />
      <Ways name="Cups" of={cups} to={({ code }) => ({ at: 'mix', cupId: code, from: null })} />
    </section>
  )
}

type Named = { code: string; title: string }

function Ways({ name, of, to }: { name: string; of: readonly Named[]; to: (one: Named) => Route }) {
  if (of.length === 0) return null
  const row = (one: Named) => (
    <li key={one.code}>
      <PlaceLink className="shelf-panel" to={to(one)}>
        <b className="num">{one.code}</b> {one.title}
      </PlaceLink>
    </li>
  )
  return (
    <div className="material-uses">
      <h3 className="fine">{`${name} (${of.length})`}</h3>
      <Folded rows={of.map(row)} />
    </div>
  )
}

function Folded({ rows }: { rows: readonly ReactNode[] }) {
  const rest = rows.slice(open)
  return (
    <>
      <ul>{rows.slice(0, open)}</ul>
      {rest.length > 0 ? (
        <details>
          <summary>{`${rest.length} more`}</summary>
          <ul>{rest}</ul>
        </details>
      ) : null}
    </>
  )
}

const whys: Readonly<Record<StockMove['why'], string>> = {
  poured: 'Poured',
  counted: 'Counted',
  bought: 'Bought',
  'thrown-away': 'Thrown away',
}

type Event = { at: string; key: string; says: ReactNode; amount: string }

/** What became of it, the newest first: counts, pours, and what took whose place. */
export function Past({
  material,
  history,
  materials,
}: {
  material: Material
  history: History
  materials: readonly Material[]
}) {
  const settings = useStore((s) => s.settings)
  const { system, decimal } = wordingOf(settings)
  const nameOf = (id: string) => materials.find((each) => each.id === id)?.name ?? 'another'
  const moves = history.moves.map((move): Event => {
    const cup = history.cups.find(({ cupId }) => cupId === move.cupId)
    const size = sayStock(Math.abs(move.amount), move.basis, system, decimal)
    return {
      at: move.at,
      key: move.id,
      amount: move.why === 'counted' ? size : `${move.amount < 0 ? '−' : '+'}${size}`,
      says: (
        <>
          {whys[move.why]}
          {cup ? (
            <>
              {' into '}
              <PlaceLink className="shelf-panel" to={{ at: 'mix', cupId: cup.code, from: null }}>
                <b className="num">{cup.code}</b>
              </PlaceLink>
            </>
          ) : null}
          {[move.batch === '' ? '' : `batch ${move.batch}`, move.who].filter(Boolean).map((each) => `, ${each}`)}
        </>
      ),
    }
  })
  const replaced = history.replacements.map(
    ({ id, at, materialId, byMaterialId, who }): Event => ({
      at,
      key: id,
      amount: '',
      says: `${
        materialId === material.id ? `Replaced by ${nameOf(byMaterialId)}` : `Took the place of ${nameOf(materialId)}`
      }${who === '' ? '' : `, ${who}`}`,
    }),
  )
  const events = [...moves, ...replaced].toSorted((a, b) => b.at.localeCompare(a.at))
  return (
    <section className="block">
      <h2>What became of it</h2>
      {events.length === 0 ? <p className="fine">It was never counted, bought or poured.</p> : null}
      <div className="material-past">
        <Folded
          rows={events.map(({ at, key, says, amount }) => (
            <li key={key}>
              <b className="num">{amount}</b>
              <span>
                <span>{says}</span>
                <span className="fine">{`${sayDay(localDay(at))}, ${sayTime(at, settings)}`}</span>
              </span>
            </li>
          ))}
        />
      </div>
    </section>
  )
}

/** The day on which it was here. */
function localDay(at: string): string {
  const when = new Date(at)
  const two = (value: number) => String(value).padStart(2, '0')
  return `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`
}
