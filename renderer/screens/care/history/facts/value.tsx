import { formulaInWords } from '../../../../../shared-core/mix/formula-words.ts'
import { formatQuantity } from '../../../../../shared-core/mix/units.ts'
import type { HistoryValue } from '../../../../../shared-core/records/history.ts'
import { labFigures } from '../../../../parts/lab-figures.ts'
import { Paint } from '../../../../parts/lab-swatch.tsx'
import { decimalSign, sayBound, sayDay, sayNumber, usesUsUnits } from '../../../../parts/say-numbers.ts'
import { sayTime } from '../../../../parts/say-time.ts'
import { coatsInWords } from '../../../../parts/strokes.tsx'
import { useStore } from '../../../../state/store.ts'

/** A value in a painter's words, amounts in the user's units. */
export function Value({ value }: { value: HistoryValue | null }) {
  const settings = useStore((s) => s.settings)
  if (!value) return <span className="history-nothing">–</span>
  switch (value.kind) {
    case 'text':
      return <span className="history-text">{value.text}</span>
    case 'names':
      return <>{value.names.join(', ')}</>
    case 'yes':
      return <>{value.yes ? 'yes' : 'no'}</>
    case 'coats':
      return <>{coatsInWords(value.coats)}</>
    case 'number':
      return <>{`${sayNumber(value.value, digitsOf(value.value, value.digits), settings)} ${value.unit}`.trim()}</>
    case 'quantity':
      return (
        <>
          {formatQuantity(value.value, value.measure, usesUsUnits(settings) ? 'us' : 'metric', decimalSign(settings))}
        </>
      )
    case 'day':
      return <>{sayDay(value.day)}</>
    case 'moment':
      return <>{`${sayDay(value.at)}, ${sayTime(value.at, settings)}`}</>
    case 'mixture':
      return (
        <>
          {formulaInWords(value.mixture, { decimal: decimalSign(settings) }).map((line) => (
            <span key={line} className="history-line">
              {line}
            </span>
          ))}
        </>
      )
    case 'colour':
      return (
        <span className="history-colour">
          <Paint lab={value.illuminant === 'D50' && value.observer === '2' ? value.lab : null} label="" />
          <span>
            <span className="num">{labFigures(value.lab, settings)}</span>
            {` ± ${sayBound(value.bound90, settings)}`}
            {value.illuminant === 'D50' && value.observer === '2'
              ? ''
              : ` under ${value.illuminant}, ${value.observer}°`}
          </span>
        </span>
      )
  }
}

/** A count needs no decimals where it has none. */
const digitsOf = (value: number, most: number): number => (Number.isInteger(value) ? 0 : most)
