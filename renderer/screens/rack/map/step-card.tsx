import { gamutWord } from '../../../parts/gamut-word.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { coatsInWords, Strokes } from '../../../parts/strokes.tsx'
import { useStore } from '../../../state/store.ts'
import { lchInWords, wordOf } from './geometry/hue-words.ts'
import { type Frame, toSpot } from './geometry/projection.ts'
import { labOf, type MapSteps } from './geometry/steps.ts'

/** The card's size, and how far it stands from its mark and from the map's edge. */
const card = { width: 248, height: { pinned: 160, follows: 112 }, away: 26, air: 8 }

type Props = {
  steps: MapSteps
  row: number
  frame: Frame
  isChosen: boolean
  /** Looked at by press or key: what can be done stands on it. Otherwise it follows the pointer and takes none. */
  isPinned: boolean
  onOpen: () => void
  onToggle: () => void
}

/** What a mark is: code, title, coats, figures; beside the mark. */
export function StepCard({ steps, row, frame, isChosen, isPinned, onOpen, onToggle }: Props) {
  const settings = useStore((s) => s.settings)
  const lab = labOf(steps, row)
  const panel = steps.panel[row]!
  const code = steps.codes[panel]!
  const coats = steps.coats[row]!
  const gamut = gamutWord(lab)
  const { x, y } = toSpot(frame, lab.a, lab.b)
  const height = isPinned ? card.height.pinned : card.height.follows
  // outwards, where fewer panels lie, unless the map ends there
  const room = card.away + card.width + card.air
  const isRight = x > frame.width / 2 ? x + room < frame.width : x - room < 0
  const left = isRight ? x + card.away : x - card.away - card.width
  return (
    <div
      className={`map-card ${isPinned ? 'is-pinned' : ''}`}
      style={{
        left: Math.max(card.air, Math.min(frame.width - card.width - card.air, left)),
        top: Math.max(card.air, Math.min(frame.height - height - card.air, y - height / 2)),
        width: card.width,
      }}
    >
      <div className="map-card-paint">
        <Paint lab={lab} label={`${code}, ${coatsInWords(coats)}`} flat />
      </div>
      <p>
        <b className="num">{code}</b>
        {isChosen ? <span className="fine"> chosen</span> : null}
        <br />
        {steps.titles[panel]}
      </p>
      <p className="map-card-coats">
        <Strokes coats={coats} /> {coatsInWords(coats)}
      </p>
      <p className="fine num">
        {lchInWords(lab, settings)}, {wordOf(lab)}
        <br />± {sayBound(steps.bound90[row]!, settings)} dE00
        {gamut ? `. ${gamut}` : ''}
      </p>
      {isPinned ? (
        <p className="map-card-acts">
          <button type="button" className="btn main" onClick={onOpen}>{`Open ${code}`}</button>
          <button type="button" className="btn" onClick={onToggle}>
            {isChosen ? 'Let go' : 'Choose'}
          </button>
        </p>
      ) : null}
    </div>
  )
}
