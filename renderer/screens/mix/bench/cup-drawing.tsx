import { formatShort } from '../../../../shared-core/mix/units.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { useWording } from '../say-amounts.ts'
import type { Bench, BenchStep } from './reckon/bench-steps.ts'
import { levelsOf } from './reckon/levels.ts'

const [top, bottom, left, right] = [8, 676, 60, 170]

/** The cup to scale: what is in it, what goes in next, and where it ends. */
export function CupDrawing(props: { bench: Bench; step: BenchStep; cup: Cup; materials: readonly Material[] }) {
  const { decimal } = useWording()
  const { unit, now, after, total, brim } = levelsOf(props.bench, props.step, props.cup, props.materials)
  const y = (amount: number) => bottom - (Math.min(amount, brim) / brim) * (bottom - top)
  const mark = markFor(brim)
  const marks = Array.from({ length: Math.floor(brim / (mark / 5) + 1e-9) + 1 }, (_, at) => at)
  const say = (amount: number) => formatShort(amount, amount < 10 ? 1 : 0, decimal)
  const pours = props.step.kind === 'pour' && after > now
  return (
    <div className="bench-cup">
      <svg
        viewBox="14 0 168 700"
        role="img"
        aria-label={`The cup: ${say(now)} ${unit} in it, ${pours ? `fill to ${say(after)} ${unit}, ` : ''}${say(total)} ${unit} when done`}
      >
        <defs>
          <pattern id="bench-next" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path d="M0 0V6" stroke="currentColor" strokeWidth="3" />
          </pattern>
        </defs>
        {marks.slice(1).map((at) => (
          <path key={at} d={`M${left} ${y((at * mark) / 5)}h${at % 5 === 0 ? 22 : 10}`} strokeWidth="1.5" />
        ))}
        <rect x={left} y={y(now)} width={right - left} height={bottom - y(now)} fill="currentColor" stroke="none" />
        <rect
          x={left + 2}
          y={y(after)}
          width={right - left - 4}
          height={y(now) - y(after)}
          fill="url(#bench-next)"
          stroke="none"
        />
        <path d={`M${left} ${top}V${bottom + 2}H${right}V${top}`} strokeWidth="4" />
        {marks
          .filter((at) => at % 5 === 0)
          .map((at) => (
            <text key={at} x={left - 8} y={y((at * mark) / 5) + 5} textAnchor="end">
              {say((at * mark) / 5)}
            </text>
          ))}
        <path d={`M${left} ${y(total)}H${right}`} strokeDasharray="3 4" />
        {Math.abs(y(total) - y(after)) > 34 ? (
          <text x={right - 4} y={y(total) - 6} textAnchor="end">
            done
          </text>
        ) : null}
        {pours ? (
          <>
            <path d={`M${left - 20} ${y(after)}H${right + 8}`} strokeWidth="5" />
            <text className="bench-big" x={right - 6} y={y(after) - 11} textAnchor="end">
              {say(after)} {unit}
            </text>
          </>
        ) : null}
      </svg>
    </div>
  )
}

/** 1, 2 or 5 times a power of ten, so that four to nine figures stand beside the cup. */
function markFor(brim: number): number {
  const power = 10 ** Math.floor(Math.log10(brim / 4))
  return ([5, 2, 1].find((times) => times * power <= brim / 4) ?? 1) * power
}
