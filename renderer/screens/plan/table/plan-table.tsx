import './table.css'
import { type CSSProperties, type KeyboardEvent, useEffect, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { KnownGround, PlanCell, PlanFormula } from '../../../../shared-core/records/film.ts'
import { Caution } from '../../../parts/caution.tsx'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { type CellAt, setPlan, usePlan } from '../../../state/plan.ts'
import { useLive } from '../../../state/plan-live.ts'
import { shownCell } from '../first-formula.ts'
import { TableCell } from './table-cell.tsx'
import { TableFoot } from './table-foot.tsx'

type Props = {
  formula: PlanFormula
  grounds: readonly KnownGround[]
  usualCoats: number
  /** The rack has no other ground to show. */
  onlyGround: boolean
}

const cellKey = ({ ground, coats }: CellAt): string => `${coats} ${ground}`

const cellIn = (body: HTMLElement | null, cell: CellAt): HTMLElement | null =>
  body?.querySelector<HTMLElement>(`[data-cell="${CSS.escape(cellKey(cell))}"]`) ?? null

/** Coats down, grounds across. Cells of the formula before stay until those of the new one are there. */
export function PlanTable({ formula, grounds, usualCoats, onlyGround }: Props) {
  const [coatsTo, chosen, shows] = usePlan(useShallow((s) => [s.coatsTo, s.cell, s.shows]))
  const coats = Array.from({ length: coatsTo + 1 }, (_, i) => i)
  const { value, error, busy } = useLive('film.predictTable', { formula, grounds: grounds.map(({ id }) => id), coats })
  const cells = new Map(value?.cells.map((cell) => [cellKey(cell), cell]))
  const body = useRef<HTMLDivElement>(null)
  // one cell takes the focus; it stays in the table when its column or row goes
  const at = shownCell(chosen, grounds, coatsTo, usualCoats)
  useEffect(() => {
    if (chosen) cellIn(body.current, chosen)?.scrollIntoView({ block: 'nearest', inline: 'nearest' })
  }, [chosen])
  const goTo = (cell: CellAt) => {
    setPlan({ cell })
    cellIn(body.current, cell)?.focus()
  }
  const walk = (event: KeyboardEvent) => {
    const next = stepFrom(at, event, grounds, coats)
    if (!next) return
    event.preventDefault()
    goTo(next)
  }
  return (
    <section className="plan-grid well" aria-label="Coats down, grounds across">
      {error ? (
        <div className="plan-grid-error">
          <Caution message={error.message} remedy={error.remedy} />
        </div>
      ) : null}
      {/* arrow keys walk between cells, as in every grid */}
      <div
        className="plan-cells scroll"
        role="grid"
        tabIndex={-1}
        aria-label="Predicted and sprayed colours"
        aria-busy={busy}
        ref={body}
        style={{ '--grounds': grounds.length, '--rows': coatsTo } as CSSProperties}
        onKeyDown={walk}
      >
        <div role="row" className="plan-row">
          <span role="columnheader" className="plan-corner">
            <span className="vh">Coats</span>
          </span>
          {grounds.map((ground) => (
            <span key={ground.id} role="columnheader" className="plan-ground">
              {ground.name}
            </span>
          ))}
        </div>
        {coats.map((count) => (
          <div key={count} role="row" className={`plan-row ${count === usualCoats ? 'usual' : ''}`}>
            <RowHead coats={count} usual={count === usualCoats} />
            {grounds.map((ground) => {
              const cell: CellAt = { ground: ground.id, coats: count }
              const key = cellKey(cell)
              return (
                <TableCell
                  key={ground.id}
                  cellKey={key}
                  groundName={ground.name}
                  coats={count}
                  cell={cells.get(key)}
                  waiting={busy}
                  chosen={at.ground === cell.ground && at.coats === count}
                  shows={shows}
                  onChoose={choose}
                />
              )
            })}
          </div>
        ))}
      </div>
      {onlyGround ? (
        <p className="plan-one-ground">
          <b>One ground only.</b> Photograph a panel of these candies over another ground and file it: its column then
          stands beside, and grounds and candies are told apart.
        </p>
      ) : null}
      <TableFoot
        coatsTo={coatsTo}
        cells={value?.cells ?? noCells}
        busy={busy}
        unread={grounds.filter(({ bare }) => bare === 'none' || (bare === 'raw' && formula.finish === 'cleared'))}
      />
    </section>
  )
}

const noCells: readonly PlanCell[] = []

/** A press shows the cell in detail as well. */
const choose = (ground: string, coats: number): void => setPlan({ cell: { ground, coats }, tab: 'cell' })

function RowHead({ coats, usual }: { coats: number; usual: boolean }) {
  if (coats === 0)
    return (
      <span role="rowheader" className="plan-coats bare">
        bare
      </span>
    )
  return (
    <span role="rowheader" className="plan-coats" aria-label={`${coatsInWords(coats)}${usual ? ', as usual' : ''}`}>
      <b>{coats}</b>
      {usual ? <span>usual</span> : <Strokes coats={coats} />}
    </span>
  )
}

/** Where a key leads from a cell; null when it leads nowhere. */
function stepFrom(
  { ground, coats }: CellAt,
  { key, ctrlKey, metaKey }: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey'>,
  grounds: readonly KnownGround[],
  rows: readonly number[],
): CellAt | null {
  const [x, y] = [grounds.findIndex(({ id }) => id === ground), rows.indexOf(coats)]
  const to = (column: number, row: number): CellAt | null => {
    const [there, count] = [grounds[column]?.id, rows[row]]
    return there === undefined || count === undefined ? null : { ground: there, coats: count }
  }
  const far = ctrlKey || metaKey
  switch (key) {
    case 'ArrowLeft':
      return to(x - 1, y)
    case 'ArrowRight':
      return to(x + 1, y)
    case 'ArrowUp':
      return to(x, y - 1)
    case 'ArrowDown':
      return to(x, y + 1)
    case 'Home':
      return to(0, far ? 0 : y)
    case 'End':
      return to(grounds.length - 1, far ? rows.length - 1 : y)
    default:
      return null
  }
}
