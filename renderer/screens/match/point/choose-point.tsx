import { Caution } from '../../../parts/caution.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { idOfPoint } from '../../../state/match-address.ts'
import { go, goBack } from '../../../state/router.ts'
import { PhotoPicker } from './photo-picker.tsx'

/** The whole photo, to take a colour at any point of it. */
export function ChoosePoint({ photoId }: { photoId: string }) {
  const { value, error } = useAnswer('photos.get', { photoId })
  const back = () => goBack({ at: 'match', referenceId: null })
  return (
    <main className="match match-point-whole well" aria-label="Match" aria-busy={!value && !error}>
      <div className="match-top">
        <div>
          <h1>
            Take a colour in <b>{value?.photo.name ?? 'a photo'}</b>
          </h1>
          <p>
            Click a spot of even colour. It is read by the photo’s own card, and nothing is kept until you say so.{' '}
            <kbd>Arrows</kbd> move, <kbd>Shift</kbd> by ten, <kbd>Enter</kbd> takes it, <kbd>Esc</kbd> leaves.
          </p>
        </div>
        <button type="button" className="btn" onClick={back}>
          Back
        </button>
      </div>
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {value ? (
        <PhotoPicker
          photo={value.photo}
          point={null}
          onLeave={back}
          onPick={({ x, y }) => go({ at: 'match', referenceId: idOfPoint({ photoId, x, y }) })}
        />
      ) : null}
    </main>
  )
}
