import type { Photo } from '../../../../shared-core/records/photo.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { weighedParts } from '../../../parts/bound-parts.ts'
import { Caution } from '../../../parts/caution.tsx'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { sayBound, sayDay, sayNumber } from '../../../parts/say-numbers.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { geometryInWords, levelInWords, sharedInWords, textureInWords } from './source-words.ts'

type Props = { reading: Reading; photo: Photo | null; onClose: () => void }

/** What a reading's ± is made of, what to be careful about, and what can be done with it. */
export function ReadingDetail({ reading, photo, onClose }: Props) {
  const settings = useStore((s) => s.settings)
  const remove = async () => {
    if (!(await act('readings.remove', { readingId: reading.id }))) return
    onClose()
    useStore.getState().say('The reading was removed.', 'Undo brings it back.')
  }
  const age = reading.ageDays === null ? '' : `, ${sayNumber(reading.ageDays, 0, settings)} days after spraying`
  const how = reading.geometry === 'photo' ? '' : `, ${geometryInWords[reading.geometry]}`
  return (
    <div className="panel-detail">
      <p>
        {`${levelInWords[reading.level]}${how}, ${sayDay(reading.takenAt)}${age}.`}
        {reading.setupId ? <SetupName setupId={reading.setupId} /> : null}
      </p>
      {reading.texture ? <p>{`Texture: ${textureInWords(reading.texture, settings).join(', ')}.`}</p> : null}
      <Parts reading={reading} />
      {reading.cautions.map((caution) =>
        caution.weight === 'note' ? (
          <p key={caution.code} className="fine">
            {`${caution.message} ${caution.remedy}`.trim()}
          </p>
        ) : (
          <Caution key={caution.code} message={caution.message} remedy={caution.remedy} />
        ),
      )}
      <div className="panel-detail-acts">
        <button type="button" className="btn" onClick={() => go({ at: 'match', referenceId: `reading-${reading.id}` })}>
          Find near this
        </button>
        {photo ? (
          <button type="button" className="btn" onClick={() => go({ at: 'tray', photoId: photo.id })}>
            Open its photo
          </button>
        ) : null}
        <ChangeButton type="button" className="btn plain" onClick={() => void remove()}>
          Remove
        </ChangeButton>
      </div>
    </div>
  )
}

/** The parts of the ±, largest first, and which of them others have too. */
function Parts({ reading }: { reading: Reading }) {
  const settings = useStore((s) => s.settings)
  const { main, rest } = weighedParts(reading.parts)
  if (main.length === 0) return null
  return (
    <>
      <p className="fine">Its ± of {sayBound(reading.bound90, settings)} (nine times in ten) comes from:</p>
      <ul>
        {main.map((part) => (
          <li key={`${part.cause} ${part.shared ?? ''}`}>
            <b className="num">{sayNumber(part.de00, 1, settings)}</b>{' '}
            <span>
              {part.words}
              <span className="fine">{sharedInWords(part)}</span>
            </span>
          </li>
        ))}
        {rest === null ? null : (
          <li>
            <b className="num">{sayNumber(rest, 1, settings)}</b> <span>smaller causes together</span>
          </li>
        )}
      </ul>
      {main.some((part) => part.shared) ? (
        <p className="fine">What is shared falls away when like colours of that photo or set-up are compared.</p>
      ) : null}
    </>
  )
}

function SetupName({ setupId }: { setupId: string }) {
  const { value } = useAnswer('setups.list', {})
  const name = value?.setups.find((setup) => setup.id === setupId)?.name
  return name ? ` Set-up: ${name}.` : null
}
