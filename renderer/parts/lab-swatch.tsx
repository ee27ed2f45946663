import type { CSSProperties } from 'react'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { labToCssColour } from '../../shared-core/colour/spaces.ts'
import { client } from '../client/client.ts'

/**
 * A flat preview of a reading, or the cut-out of its photo. Screen preview only: never a proof.
 * Paint has no border; what it is stands beside it in words.
 */
export function Paint({
  lab,
  cut,
  label,
  flat = false,
}: {
  lab: Lab | null
  cut?: string | null
  label: string
  flat?: boolean
}) {
  if (cut && !flat)
    return (
      <img
        className="paint"
        src={client().pictureUrl(`cut/${cut}`)}
        alt={label}
        draggable={false}
        loading="lazy"
        decoding="async"
      />
    )
  if (!lab) return <span className="paint none" role="img" aria-label={`${label}, no colour yet`} />
  const style: CSSProperties = { background: labToCssColour(lab).css }
  return <span className="paint" role="img" aria-label={label} style={style} />
}
