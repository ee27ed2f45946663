import type { Geometry, Level } from '../../../../shared-core/records/colour.ts'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { Caution } from '../../../parts/caution.tsx'
import { sayDay, sayNumber } from '../../../parts/say-numbers.ts'
import { act } from '../../../state/asking.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'

const levelInWords: Record<Level, string> = {
  uncalibrated: 'From a photo without a card: uncalibrated',
  card: 'From a photo, by its grey card',
  tiles: 'From a photo, by its grey tiles',
  chart: 'From a photo, by its chart',
  'set-up': 'From a photo, by a calibrated set-up',
  typed: 'Typed in',
  instrument: 'From an instrument',
  predicted: 'Predicted, not sprayed',
}
export const geometryInWords: Record<Geometry, string> = {
  photo: 'by a camera',
  '45:0': '45° / 0°',
  '0:45': '0° / 45°',
  'd:8-included': 'sphere, gloss included',
  'd:8-excluded': 'sphere, gloss excluded',
  'multi-angle': 'multi-angle',
}

/** What a reading's ± is made of, what to be careful about, and what can be done with it. */
export function ReadingDetail({
  reading,
  photo,
  onClose,
}: {
  reading: Reading
  photo: Photo | null
  onClose: () => void
}) {
  const settings = useStore((s) => s.settings)
  const parts = reading.parts.toSorted((a, b) => b.de00 - a.de00)
  const remove = async () => {
    if (!(await act('readings.remove', { readingId: reading.id }))) return
    onClose()
    useStore.getState().say('The reading was removed.', 'Undo brings it back.')
  }
  const age = reading.ageDays === null ? '' : `, ${sayNumber(reading.ageDays, 0, settings)} days after spraying`
  return (
    <div className="panel-detail">
      <p>{`${levelInWords[reading.level]}, ${geometryInWords[reading.geometry]}, ${sayDay(reading.takenAt)}${age}.`}</p>
      {parts.length > 0 ? (
        <>
          <p className="fine">Its ± of {sayNumber(reading.bound90, 1, settings)} (nine times in ten) comes from:</p>
          <ul>
            {parts.map((part) => (
              <li key={part.cause}>
                <b className="num">{sayNumber(part.de00, 1, settings)}</b> {part.words}
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {reading.cautions.map((caution) => (
        <Caution key={caution.code} message={caution.message} remedy={caution.remedy} />
      ))}
      <div className="panel-detail-acts">
        <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: `reading-${reading.id}` })}>
          Find near this
        </button>
        {photo ? (
          <button type="button" className="btn" onClick={() => go({ at: 'tray', photoId: photo.id })}>
            Open its photo
          </button>
        ) : null}
        <button type="button" className="btn plain" onClick={() => void remove()}>
          Remove
        </button>
      </div>
    </div>
  )
}
