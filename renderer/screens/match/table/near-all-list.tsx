import { type KeyboardEvent, useEffect, useRef, useState } from 'react'
import type { Input, Output } from '../../../../shared-core/contract/calls.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { askedOf, targetOf } from '../../../state/match-address.ts'
import { useTable } from '../../../state/match-table.ts'
import { isAmong, togglePin, usePinned } from '../../../state/pins.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { MatchFilters } from '../match-filters.tsx'
import { useMatch } from '../match-state.ts'
import { weightingOf, weightWords } from '../narrowing/weights.ts'
import { PinButton } from '../pin-button.tsx'
import { PinFoot } from '../pin-foot.tsx'
import { newestOf } from '../reading-words.ts'
import { stepInList } from '../walking.ts'
import { type NearAll, nearAll } from './near-all.ts'
import { TableStrip } from './table-strip.tsx'
import { type OnTable, useTableShown } from './use-table-shown.ts'

/** So many of each are asked for. */
const asked = 200
type Found = Output<'match.findNearest'> | undefined

/** Steps near all that lie on the table, by the largest difference to any of them. */
export function NearAllOfThem() {
  const ids = useTable((s) => s.ids)
  const shown = useTableShown(ids)
  const found = useEach(ids)
  const weights = useMatch((s) => s.weights)
  const ready = ids.length > 0 && found.every((one) => one !== undefined)
  const lists = found.flatMap((one) => (one ? [{ matches: one.matches, complete: one.matches.length < asked }] : []))
  const { found: near, certainTo } = nearAll(lists)
  const settings = useStore((s) => s.settings)
  return (
    <main className="match well" aria-label="Match" aria-busy={!ready}>
      <div className="match-left">
        <div className="match-ref match-ref-all">
          {shown.map((one) => (
            <Paint key={one.id} lab={one.lab} label={`Reference: ${one.name}`} flat />
          ))}
        </div>
        <TableStrip now="all" />
      </div>
      <section className="match-list" aria-label="Near all of them">
        <div className="match-top">
          <div>
            <h1>
              Near <b>all {ids.length}</b> on the table
            </h1>
            <p>Ordered by the largest difference to any of them, the smallest first.</p>
          </div>
          <p className="fine">
            {`Screen preview: judge panel against part under the customer’s light. ${
              ready && Number.isFinite(certainTo)
                ? `The ${asked} nearest of each were compared: nothing nearer than ${sayNumber(certainTo, 1, settings)} to all of them is missing.`
                : ''
            } ${weightWords(weights) ?? ''}`.trim()}
          </p>
        </div>
        <MatchFilters />
        {ready && near.length === 0 ? (
          <div className="match-nothing">
            <p className="say">Nothing lies near all of them</p>
            <p>
              {Number.isFinite(certainTo)
                ? `No step is within ${sayNumber(certainTo, 1, settings)} of every one. Take the odd one off the table, or look near each by its number key.`
                : 'No panel is left to compare with: widen what was chosen above.'}
            </p>
          </div>
        ) : (
          <List near={near} names={shown} />
        )}
        <PinFoot keys={['walk', 'open', 'pin']} />
      </section>
    </main>
  )
}

function List({ near, names }: { near: readonly NearAll[]; names: readonly OnTable[] }) {
  const [at, setAt] = useState(0)
  const list = useRef<HTMLDivElement>(null)
  const chosen = Math.min(at, near.length - 1)
  const pins = usePinned()
  useEffect(() => list.current?.focus({ preventScroll: true }), [])
  useEffect(() => {
    list.current?.querySelector('[aria-selected="true"]')?.scrollIntoView?.({ block: 'nearest' })
  }, [chosen])
  const walk = (event: KeyboardEvent) => {
    const one = near[chosen]
    const next = stepInList(event.key, chosen, near.length)
    if (!one || (next === null && event.key !== 'Enter' && event.key !== ' ')) return
    event.preventDefault()
    if (next !== null) setAt(next)
    else if (event.key === 'Enter') go({ at: 'panel', key: one.match.panel.code })
    else togglePin(pinOf(one))
  }
  return (
    <div className="match-rows scroll">
      <div
        ref={list}
        className="match-walked"
        role="listbox"
        aria-label="Near all of them"
        tabIndex={0}
        aria-activedescendant={near[chosen] ? `near-all-${near[chosen].match.stepId}` : undefined}
        onKeyDown={walk}
      >
        {near.map((one, i) => (
          <Row
            key={one.match.stepId}
            one={one}
            names={names}
            chosen={i === chosen}
            pinned={isAmong(pins, pinOf(one).item)}
            onChoose={() => setAt(i)}
          />
        ))}
      </div>
    </div>
  )
}

const pinOf = ({ match }: NearAll) => ({
  item: { kind: 'reading', id: match.reading.id } as const,
  name: `${match.panel.code} ${match.panel.title}`.trim(),
  lab: match.combined?.lab ?? match.reading.lab,
})

type RowProps = { one: NearAll; names: readonly OnTable[]; chosen: boolean; pinned: boolean; onChoose: () => void }

function Row({ one, names, chosen, pinned, onChoose }: RowProps) {
  const settings = useStore((s) => s.settings)
  const shows = useMatch((s) => s.shows)
  const { match, worst, worstOf, each } = one
  const say = (de00: number, bound90: number) => `${sayNumber(de00, 1, settings)} ± ${sayBound(bound90, settings)}`
  const name = `${match.panel.code} ${match.panel.title}`.trim()
  const farthest = each[worstOf]
  return (
    // oxlint-disable-next-line jsx-a11y/click-events-have-key-events -- the list around it has the keys
    <div
      id={`near-all-${match.stepId}`}
      className="match-cand match-near-all"
      role="option"
      tabIndex={-1}
      aria-selected={chosen}
      aria-label={`${name}, ${coatsInWords(match.coats)}, at most ${sayNumber(worst, 1, settings)} from each${pinned ? ', pinned' : ''}`}
      onClick={onChoose}
      onDoubleClick={() => go({ at: 'panel', key: match.panel.code })}
    >
      <div className="match-swatch">
        <Paint
          lab={match.combined?.lab ?? match.reading.lab}
          cut={match.reading.cut}
          flat={shows === 'colours'}
          label=""
        />
      </div>
      <span className="match-de">
        {sayNumber(worst, 1, settings)} <small>± {sayBound(farthest?.bound90 ?? 0, settings)}</small>
      </span>
      <div className="match-words match-words-wide">
        <p className="match-say">Farthest from {names[worstOf]?.name ?? ''}</p>
        <p>
          <b className="num">{match.panel.code}</b> {[match.panel.title, match.panel.ground].filter(Boolean).join(', ')}{' '}
          <span className="match-coats">
            <Strokes coats={match.coats} /> {coatsInWords(match.coats)}
          </span>
        </p>
        <p className="fine">
          {each.map(({ de00, bound90 }, i) => `${names[i]?.name ?? i + 1}: ${say(de00, bound90)}`).join('; ')}
        </p>
      </div>
      <PinButton pinned={pinned} onToggle={() => togglePin(pinOf(one))} />
    </div>
  )
}

/** The nearest of each on the table; six calls at most, whatever lies there. */
function useEach(ids: readonly string[]): Found[] {
  const references = useAnswer('references.list', {}).value?.references
  const { filter, readings, weights } = useMatch()
  const ask = (place: number): Input<'match.findNearest'> | null => {
    const target = ids[place] === undefined ? null : targetOf(ids[place])
    if (target === null) return null
    const kept = target.kind === 'reference' ? references?.find(({ id }) => id === target.id) : undefined
    const newest = kept && newestOf(kept.readings)
    const to = newest ? { readingId: newest.id } : askedOf(target)
    return to && { to, filter, readings, limit: asked, weights: weightingOf(weights).ask }
  }
  const answers = [
    useAnswer('match.findNearest', ask(0)).value,
    useAnswer('match.findNearest', ask(1)).value,
    useAnswer('match.findNearest', ask(2)).value,
    useAnswer('match.findNearest', ask(3)).value,
    useAnswer('match.findNearest', ask(4)).value,
    useAnswer('match.findNearest', ask(5)).value,
  ]
  return ids.map((_, i) => answers[i])
}
