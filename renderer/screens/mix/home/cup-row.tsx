import { formulaInShort } from '../../../../shared-core/mix/formula-words.ts'
import { durationInWords, readClock } from '../../../../shared-core/mix/spray/clocks.ts'
import { formatQuantity } from '../../../../shared-core/mix/units.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'
import { useStore } from '../../../state/store.ts'
import { wordingOf } from '../say-amounts.ts'

/** One cup in the list: a link to its bench. */
export function CupRow({ cup, now }: { cup: Cup; now: number }) {
  const settings = useStore((s) => s.settings)
  const { system, decimal } = wordingOf(settings)
  const to = { at: 'mix', cupId: cup.code, from: null } as const
  const { basis, amount } = cup.target
  const size = formatQuantity(amount, basis === 'mass' ? 'mass' : 'volume', system, decimal)
  return (
    <li>
      <PlaceLink to={to} className="mix-cup">
        <b className="num">{cup.code}</b>
        <span>
          <b>{cup.title}</b>
          <span className="fine">{`${size}: ${formulaInShort(cup.mixture, { decimal })}`}</span>
        </span>
        <span className="mix-state">
          <b>{stateOf(cup, now)}</b>
          <span className="fine">
            {cup.mixedBy === '' ? '' : `${cup.mixedBy}, `}
            {sayDay(cup.mixedAt ?? cup.startedAt)}, {sayTime(cup.mixedAt ?? cup.startedAt, settings)}
          </span>
        </span>
      </PlaceLink>
    </li>
  )
}

export function stateOf({ status, lines, mixedAt, standUntil, potLifeUntil }: Cup, now: number): string {
  if (status === 'thrown-away') return 'Thrown away'
  if (status === 'pouring') {
    const poured = lines.filter((line) => line.poured !== null).length
    return poured === 0 ? 'Not poured yet' : `Poured ${poured} of ${lines.length}`
  }
  const at = new Date(now).toISOString()
  const startedAt = mixedAt ?? at
  const stand = standUntil === null ? null : readClock({ kind: 'stand', startedAt, until: standUntil }, at)
  const life = potLifeUntil === null ? null : readClock({ kind: 'pot-life', startedAt, until: potLifeUntil }, at)
  if (life?.state === 'over') return 'Pot life is over'
  if (stand && stand.state !== 'over') return `Stands: ${durationInWords(stand.remainingS)}`
  return life ? `Pot life: ${durationInWords(life.remainingS)} left` : 'Mixed'
}
