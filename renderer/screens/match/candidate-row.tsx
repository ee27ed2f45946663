import { chanceWords } from '../../../shared-core/match/order.ts'
import { formulaInShort } from '../../../shared-core/mix/formula-words.ts'
import type { Match } from '../../../shared-core/records/match.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import { gamutWord } from '../../parts/gamut-word.ts'
import { Paint } from '../../parts/lab-swatch.tsx'
import { decimalSign, sayBound, sayNumber } from '../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../parts/strokes.tsx'
import { useStore } from '../../state/store.ts'
import { IntervalBar } from './interval-bar.tsx'
import { useMatch } from './match-state.ts'
import { PinButton } from './pin-button.tsx'
import { combinedInWords, howRead, lowerFirst, sayDifference, togetherInWords, upperFirst } from './reading-words.ts'

type Props = {
  id: string
  match: Match
  /** What is matched. */
  to: Reading
  chosen: boolean
  pinned: boolean
  onPin: () => void
  /** dE00 at the end of the axis. */
  end: number
  /** The dividing line stands above this row; `first` when nothing could be the same. */
  line: 'between' | 'first' | null
  aboveLine: boolean
}

/** One candidate: its paint against the reference's edge, how far it is, in figures, as a bar and in words. */
export function CandidateRow({ id, match, to, chosen, pinned, onPin, end, line, aboveLine }: Props) {
  const settings = useStore((s) => s.settings)
  const lights = useStore((s) => s.lights)
  const shows = useMatch((s) => s.shows)
  const { panel, reading } = match
  const lab = match.combined?.lab ?? reading.lab
  const repeated = match.combined ? combinedInWords(match.combined) : null
  const decimal = decimalSign(settings)
  const formula = match.candyLayers
    .flatMap((layer) => (layer.mixture ? [formulaInShort(layer.mixture, { decimal })] : []))
    .join('; then ')
  const verdict = match.couldBeSame ? 'could be the same' : 'surely different'
  const [de00, bound] = [sayNumber(match.de00, 1, settings), sayBound(match.bound90, settings)]
  const unlike = upperFirst(match.unlike.join(', '))
  const gamut = gamutWord(lab)
  const parting = partsInLight(match)
  const label = [
    `${panel.code} ${panel.title}`.trim(),
    coatsInWords(match.coats),
    ...(repeated ? [repeated] : []),
    `dE00 ${de00} ± ${bound}`,
    verdict,
    match.words,
    ...(pinned ? ['pinned'] : []),
  ].join(', ')
  return (
    <div
      id={id}
      className={`match-cand ${line ? 'limit' : ''}`}
      role="option"
      aria-selected={chosen}
      aria-label={label}
      tabIndex={-1}
      data-step={match.stepId}
    >
      <div className="match-swatch">
        <Paint lab={lab} cut={reading.cut} flat={shows === 'colours'} label="" />
      </div>
      {line ? (
        <p className="match-divide" aria-hidden="true">
          <b>{line === 'first' ? 'above: nothing could be the same' : 'above: could be the same'}</b>
          <b>below: surely different</b>
        </p>
      ) : null}
      <span className="match-de">
        {de00} <small>± {bound}</small>
        <span className="match-chance">{match.couldBeSame ? shortChance(match.chanceSame) : 'surely different'}</span>
      </span>
      <IntervalBar of={match} end={end} from={line ? -48 : 0} />
      <div className="match-words">
        <p className={`match-say ${match.de00 > match.bound90 ? '' : 'within'}`}>
          {sayDifference(match)}
          {aboveLine && !match.couldBeSame ? <span className="match-sure"> surely different</span> : null}
        </p>
        <p>
          <b className="num">{panel.code}</b> {[panel.title, panel.ground].filter(Boolean).join(', ')}{' '}
          <span className="match-coats">
            <Strokes coats={match.coats} /> {coatsInWords(match.coats)}
            {repeated ? `, ${repeated}` : ''}
          </span>
        </p>
        {chosen ? (
          <>
            {formula ? <p>{formula}</p> : null}
            <p className="fine">
              {unlike ? <b>{unlike}. </b> : null}
              {sayWhy(match)}
            </p>
            <p className="fine">
              {[howRead(reading, lights), togetherInWords(to, reading)].filter(Boolean).join('. ')}.
              {gamut ? ` ${gamut}` : ''}
            </p>
          </>
        ) : (
          <p className="fine">
            {unlike ? <b>{unlike}. </b> : null}
            {parting ? <b>{`${parting}. `}</b> : null}
            {formula}
            {gamut ? `${formula ? '. ' : ''}${gamut}` : ''}
          </p>
        )}
      </div>
      <PinButton pinned={pinned} onToggle={onPin} />
    </div>
  )
}

/** What puts it there; what is not alike stands before it in bold. */
function sayWhy(match: Match): string {
  const words = [...match.why.filter((each) => !each.startsWith('not read alike')), ...extraWords(match)]
  return words.length === 0 ? '' : `${upperFirst(words.join('; '))}.`
}

/** "8 % likely the same", under the figure it belongs to. */
function shortChance(chance: number): string {
  const words = chanceWords(chance)
  return words.length > 20 ? words.replace(' the same', '') : words
}

/** Matches in one light and not in another: said also where one does not stand. */
function partsInLight({ metamerism }: Match): string | null {
  if (!metamerism) return null
  const { lights } = metamerism
  return lights.some((one) => one.couldBeSame) && lights.some((one) => !one.couldBeSame) ? metamerism.words : null
}

/** What `why` leaves out: how it compares in other lights where it does not part. */
const extraWords = (match: Match): string[] =>
  match.metamerism && partsInLight(match) === null ? [lowerFirst(match.metamerism.words)] : []
