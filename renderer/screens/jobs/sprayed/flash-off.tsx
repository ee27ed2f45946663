import { useEffect, useState } from 'react'
import { NumberField } from '../../../parts/number-field.tsx'
import { sayTime } from '../../../parts/say-time.ts'
import { useStore } from '../../../state/store.ts'

type Props = {
  /** When the last coat was counted, ISO 8601; empty: none yet. */
  lastAt: string
  /** Flash-off that is wanted between coats; null: none said. */
  minutes: number | null
  onMinutes: (minutes: number | null) => void
}

/** "4:12" of so many milliseconds. */
export function clockOf(ms: number): string {
  const seconds = Math.max(0, Math.floor(ms / 1000))
  const [hours, rest] = [Math.floor(seconds / 3600), seconds % 3600]
  const [min, sec] = [Math.floor(rest / 60), String(rest % 60).padStart(2, '0')]
  return hours > 0 ? `${hours}:${String(min).padStart(2, '0')}:${sec}` : `${min}:${sec}`
}

/** How long ago the last coat went on, and when the next may. */
export function FlashOff({ lastAt, minutes, onMinutes }: Props) {
  const settings = useStore((s) => s.settings)
  const [now, setNow] = useState(() => Date.now())
  useEffect(() => {
    const tick = setInterval(() => setNow(Date.now()), 500)
    return () => clearInterval(tick)
  }, [])
  const last = lastAt === '' ? null : Date.parse(lastAt)
  const ready = last === null || minutes === null ? null : last + minutes * 60_000
  return (
    <div className="job-flash">
      <p className="title num">{last === null ? '–:––' : clockOf(Math.max(now, last) - last)}</p>
      <p>{last === null ? 'No coat counted yet' : 'since the last coat'}</p>
      <p className="lead" role="status">
        {ready === null ? (
          ''
        ) : now >= ready ? (
          <b>Flash-off is over: the next coat may go on.</b>
        ) : (
          `Wait until ${sayTime(new Date(ready).toISOString(), settings)}`
        )}
      </p>
      <NumberField label="Minutes between coats" value={minutes} min={0} max={10_000} digits={1} onValue={onMinutes} />
    </div>
  )
}
