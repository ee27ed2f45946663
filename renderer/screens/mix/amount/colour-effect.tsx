import type { Mixture } from '../../../../shared-core/records/mixture.ts'
import { sayNumber } from '../../../parts/say-numbers.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { useRested } from '../../../state/use-rested.ts'

type Props = { mixture: Mixture; poured: Mixture | null; ground: string; coats: number | null; what?: string }

/** dE00 below which nothing is said: it would read 0.00. */
const leastSaid = 0.005

/** What rounding, or a pour gone wrong, does to the colour, where the film model knows it. */
export function ColourEffect({ mixture, poured, ground, coats, what = 'Rounding' }: Props) {
  const settings = useStore((s) => s.settings)
  const asked = poured && ground !== '' && coats !== null ? { mixture, poured, ground, coats } : null
  const input = useRested(asked, JSON.stringify(asked))
  const { value } = useAnswer('cups.predictChange', input)
  if (!input || !value) return null
  if (value.de00 === null) return <p className="fine">{`${what} and the colour: ${value.why}`}</p>
  if (value.de00 < leastSaid) return <p className="fine">{`${what} does not change the colour over ${ground}.`}</p>
  return (
    <p className="mix-colour">
      {what} changes the colour by <b className="num">{sayNumber(value.de00, 2, settings)} dE00</b> over {ground}.
      {value.words === '' ? '' : ` ${value.words}.`} <span className="fine">Predicted, not sprayed.</span>
    </p>
  )
}
