import './two-paints.css'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import { Paint } from '../lab-swatch.tsx'

type Seen = { lab: Lab | null; cut?: string | null; label: string }

/** Colours that touch: what is there at the left, what is predicted at the right. */
export function TwoPaints({ left, middle, right }: { left: Seen | null; middle?: Seen | null; right: Seen }) {
  return (
    <span className="two-paints">
      {left ? <Paint lab={left.lab} cut={left.cut ?? null} label={left.label} /> : null}
      {middle ? <Paint lab={middle.lab} label={middle.label} /> : null}
      <Paint lab={right.lab} cut={right.cut ?? null} label={right.label} />
    </span>
  )
}
