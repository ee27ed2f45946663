import type { Lab } from '../../shared-core/colour/lab.ts'
import { client } from '../client/client.ts'
import { paintOf, useScreenSpace } from './gamut-word.ts'
import { BeyondScreen } from './icons.tsx'

/**
 * A flat preview of a reading, or the cut-out of its photo. Screen preview only: never a proof.
 * Paint has no border; what it is stands beside it in words. A colour that the screen does not have carries a mark.
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
  const space = useScreenSpace()
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
  const { css, outside } = paintOf(lab, space)
  const words = outside ? [label, 'outside what this screen can show'].filter(Boolean).join(', ') : label
  return (
    <span
      className={outside ? 'paint beyond-screen' : 'paint'}
      role="img"
      aria-label={words}
      style={{ background: css }}
    >
      {outside ? <BeyondScreen /> : null}
    </span>
  )
}
