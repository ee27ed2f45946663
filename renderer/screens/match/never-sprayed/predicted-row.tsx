import type { FilmKnowledge, Suggestion } from '../../../../shared-core/records/film.ts'
import { formulaInWords, groundName, isBeyond, outsideTitle, overInWords } from '../../../parts/film/film-words.ts'
import { gamutWord } from '../../../parts/gamut-word.ts'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound, sayNumber } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useStore } from '../../../state/store.ts'
import { IntervalBar } from '../interval-bar.tsx'
import { sayDifference } from '../reading-words.ts'

type Props = {
  id: string
  place: number
  suggestion: Suggestion
  knows: FilmKnowledge
  chosen: boolean
  /** dE00 at the end of the axis. */
  end: number
}

/** One prediction: its colour against the reference's edge, marked as what it is, and how far it may be off. */
export function PredictedRow({ id, place, suggestion, knows, chosen, end }: Props) {
  const settings = useStore((s) => s.settings)
  const { recipe, prediction, differenceBound90: bound90, onShelf } = suggestion
  const beyond = isBeyond(prediction)
  const outside = outsideTitle(prediction)
  const [de00, bound] = [sayNumber(suggestion.de00, 1, settings), sayBound(bound90, settings)]
  const formula = formulaInWords(recipe.formula, knows, settings)
  const said = sayDifference({ ...suggestion, bound90 })
  const label = [
    `Predicted: ${formula}`,
    overInWords(recipe, knows),
    `expected dE00 ${de00} ± ${bound}`,
    said,
    outside,
    ...(onShelf ? [] : ['not all of it on the shelf']),
  ].join(', ')
  return (
    <div
      id={id}
      className={`match-cand predicted ${beyond ? 'beyond' : ''}`}
      role="option"
      aria-selected={chosen}
      aria-label={label}
      tabIndex={-1}
      data-place={place}
    >
      <div className="match-swatch">
        <Paint lab={prediction.lab} label="" />
        <span>predicted</span>
      </div>
      <span className="match-de">
        {de00} <small>± {bound}</small>
      </span>
      <IntervalBar of={{ de00: suggestion.de00, bound90 }} end={end} />
      <div className="match-words">
        <p className={`match-say ${suggestion.de00 > bound90 ? '' : 'within'}`}>{said}</p>
        <p className="match-recipe">{formula}</p>
        <p>
          over {groundName(knows, recipe.ground)}
          <span className="match-coats">
            <Strokes coats={recipe.coats} /> {coatsInWords(recipe.coats)}
          </span>
        </p>
        <p className="fine">
          {beyond ? <SmallTriangle /> : null} <b>{outside}</b>
          {onShelf ? '' : '. Not all of it is on the shelf'}
        </p>
        {chosen ? <More suggestion={suggestion} /> : null}
      </div>
    </div>
  )
}

/** What the row one stands on says besides. */
function More({ suggestion: { prediction, why } }: { suggestion: Suggestion }) {
  const settings = useStore((s) => s.settings)
  const gamut = gamutWord(prediction.lab)
  return (
    <p className="fine">
      {[...new Set([...prediction.outside.words, why])]
        .map((words) => (/[.!]$/.test(words) ? words : `${words}.`))
        .join(' ')}{' '}
      {`What your next panel will read: ±\u00a0${sayBound(prediction.nextPanel90, settings)}.`}
      {gamut ? ` ${gamut}` : ''}
    </p>
  )
}
