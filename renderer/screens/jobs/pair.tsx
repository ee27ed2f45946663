import type { Lab } from '../../../shared-core/colour/lab.ts'
import { Paint } from '../../parts/lab-swatch.tsx'

export type Seen = { lab: Lab | null; label: string }

/** Two colours that touch, on the judging grey: what is wanted at the left, what there is at the right. */
export function Pair({ left, right, tall = false }: { left: Seen; right: Seen; tall?: boolean }) {
  return (
    <span className={`job-pair ${tall ? 'is-tall' : ''}`}>
      <Half {...left} />
      <Half {...right} />
    </span>
  )
}

function Half({ lab, label }: Seen) {
  return lab ? <Paint lab={lab} flat label={label} /> : <span className="job-unknown">{label}</span>
}
