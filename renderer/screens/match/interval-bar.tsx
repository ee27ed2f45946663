import { useStore } from '../../state/store.ts'

type Props = {
  of: { de00: number; bound90: number }
  /** dE00 at the end of the axis. */
  end: number
  /** Where the axis starts above the row, in pixels: it runs through what stands between two rows. */
  from?: number
}

/** The interval of a difference on the axis; what runs past the end is cut there with an arrow. */
export function IntervalBar({ of: { de00, bound90 }, end, from = 0 }: Props) {
  const limit = useStore((s) => s.settings.sameLimit)
  const on = (value: number) => `${(Math.min(Math.max(value, 0), end) / end) * 100}%`
  const beyond = de00 + bound90 > end
  return (
    <svg className="match-interval" aria-hidden="true">
      <line x1="0" x2="0" y1={from} y2="100%" />
      {limit <= end ? <line x1={on(limit)} x2={on(limit)} y1={from} y2="100%" strokeDasharray="2 4" /> : null}
      <line x1={on(de00 - bound90)} x2={on(de00 + bound90)} y1="50%" y2="50%" strokeWidth="4" />
      {de00 <= end ? (
        <rect
          x={on(de00)}
          y="50%"
          width="14"
          height="14"
          transform="translate(-7 -7)"
          fill="currentColor"
          stroke="none"
        />
      ) : null}
      {beyond ? (
        <svg x="100%" y="50%" overflow="visible">
          <path d="M0 -8L12 0L0 8Z" fill="currentColor" stroke="none" />
        </svg>
      ) : null}
    </svg>
  )
}
