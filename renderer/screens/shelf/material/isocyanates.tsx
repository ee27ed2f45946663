import { useId } from 'react'
import type { MaterialKind } from '../../../../shared-core/records/mixture.ts'
import { Triangle } from '../../../parts/icons.tsx'

const choices = [
  ['', 'Nobody looked'],
  ['yes', 'Names isocyanates'],
  ['no', 'Free of them'],
] as const

type Props = { kind: MaterialKind; value: string; onValue: (value: string) => void }

/** What its safety data sheet says of isocyanates; cautions at the bench go by it. */
export function Isocyanates({ kind, value, onValue }: Props) {
  const id = useId()
  return (
    <div className="material-isocyanates">
      <p id={id} className="fine">
        Its safety data sheet
      </p>
      <div className="pair" role="group" aria-labelledby={id}>
        {choices.map(([choice, name]) => (
          <button key={choice} type="button" aria-pressed={value === choice} onClick={() => onValue(choice)}>
            {name}
          </button>
        ))}
      </div>
      {kind === 'hardener' || value !== '' ? (
        <div className="warn" role="note">
          <Triangle />
          <p>{consequence(kind, value)}</p>
        </div>
      ) : (
        <p className="fine">{consequence(kind, value)}</p>
      )}
    </div>
  )
}

function consequence(kind: MaterialKind, value: string): string {
  if (value === 'yes')
    return 'Every cup with it warns of isocyanates. What to wear stands in its safety data sheet, which comes first.'
  if (value === 'no')
    return 'Only for what its safety data sheet says in so many words. It may still irritate and sensitise: cautions go on sending to its data sheet.'
  return kind === 'hardener'
    ? 'Until somebody has looked, a hardener counts as containing isocyanates. Its safety data sheet tells.'
    : 'Until somebody has looked, its kind decides. Its safety data sheet tells, and comes before anything shown here.'
}
