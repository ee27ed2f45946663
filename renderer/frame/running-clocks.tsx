import { useEffect } from 'react'
import { type Clock, readClock } from '../../shared-core/mix/spray/clocks.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import { PlaceLink } from '../parts/place-link.tsx'
import { clocksOf } from '../screens/mix/mixed/cup-clocks.ts'
import { sayClock } from '../screens/mix/say-amounts.ts'
import { useAnswer } from '../state/asking.ts'
import { useBench } from '../state/mix-bench.ts'
import { useStore } from '../state/store.ts'
import { useNow } from '../state/use-now.ts'

/** An end that passed longer ago than this is not told any more: milliseconds. */
const tellWithin = { stand: 60 * 60_000, 'pot-life': 12 * 60 * 60_000 } as const

/** Standing and pot life of the cups, wherever the user is; each end is told once. */
export function RunningClocks() {
  const { value } = useAnswer('cups.list', { customerJobId: null, panelId: null })
  const now = useNow()
  const clocks = (value?.cups ?? []).flatMap((cup) => clocksOf(cup).map((clock) => ({ cup, clock })))
  useEffect(() => {
    for (const { cup, clock } of clocks) tellEnd(cup, clock, now)
  })
  const running = clocks
    .filter(({ clock }) => Date.parse(clock.until) > now)
    .toSorted((a, b) => Date.parse(a.clock.until) - Date.parse(b.clock.until))
  const [first] = running
  if (!first) return null
  const { remainingS, words } = readClock(first.clock, new Date(now).toISOString())
  const to = { at: 'mix', cupId: first.cup.code, from: null } as const
  const what = first.clock.kind === 'stand' ? 'stands' : 'pot life'
  return (
    <PlaceLink to={to} className="bar-clock" title={words}>
      <span className="fine">
        {first.cup.code} {what}
        {running.length > 1 ? ` +${running.length - 1}` : ''}
      </span>
      <time className="num" role="timer">
        {sayClock(remainingS)}
      </time>
    </PlaceLink>
  )
}

/** The end, and of a pot life that it comes soon. */
function tellEnd(cup: Cup, clock: Clock, now: number): void {
  const { state, words } = readClock(clock, new Date(now).toISOString())
  const past = now - Date.parse(clock.until)
  const name = `${cup.id} ${clock.kind} ${clock.until} ${state}`
  if (state === 'running' || past > tellWithin[clock.kind] || useBench.getState().told.includes(name)) return
  useBench.setState((s) => ({ told: [...s.told, name] }))
  useStore.getState().warn({ message: `${cup.code} ${cup.title}`.trim(), remedy: words })
}
