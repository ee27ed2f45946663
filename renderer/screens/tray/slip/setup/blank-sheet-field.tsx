import type { Photo } from '../../../../../shared-core/records/photo.ts'
import { useAnswer } from '../../../../state/asking.ts'
import { useDesk } from '../../desk-state.ts'
import { isMarked } from '../../proposing/laying.ts'

const dayOf = ({ exposure, addedAt }: Photo) => (exposure.takenAt ?? addedAt).slice(0, 10)
const sameSize = (a: Photo, b: Photo) => a.width === b.width && a.height === b.height

/** A photo of a blank white sheet in the same place: it shows how the light falls off. */
export function BlankSheetField() {
  const photo = useDesk((s) => s.photo)
  const flatPhotoId = useDesk((s) => s.circumstances.flatPhotoId)
  const photoId = photo?.id
  const listed = useAnswer('photos.listFlats', photoId === undefined ? null : { photoId }).value?.photos
  // whatever has a card or a chart marked on it is no blank sheet
  const sheets = listed?.filter(({ id, layout }) => id === flatPhotoId || !isMarked(layout))
  if (!photo) return null
  const chosen = sheets?.find(({ id }) => id === flatPhotoId)
  const name = flatPhotoId === null ? 'none' : (chosen?.name ?? 'a photo that is not listed any more')
  return (
    <details className="wide tray-sheet">
      <summary>
        <span>Light’s fall-off: {name === 'none' ? 'not measured' : `by ${name}`}</span>
      </summary>
      <label className="field">
        <span>Photo of the blank sheet</span>
        <select
          className="select"
          value={flatPhotoId ?? ''}
          onChange={(event) => {
            const id = event.target.value || null
            useDesk.setState((s) => ({ circumstances: { ...s.circumstances, flatPhotoId: id } }))
          }}
        >
          <option value="">none</option>
          {flatPhotoId !== null && !chosen ? <option value={flatPhotoId}>{name}</option> : null}
          {sheets?.map((sheet) => (
            <option key={sheet.id} value={sheet.id}>
              {sheet.name}
              {dayOf(sheet) === dayOf(photo) ? '' : ', another day'}
              {sameSize(sheet, photo) ? '' : ', another size'}
            </option>
          ))}
        </select>
      </label>
      {chosen && !sameSize(chosen, photo) ? (
        <p>
          <b>It has another size:</b> take it with the same phone, from the same place, at the same zoom.
        </p>
      ) : null}
      <p className="fine">
        Helps where the light falls off across the picture. Lay a blank white sheet over the whole place, leave lamp and
        phone as they are, photograph it, and drop it here too: it needs no marks.
      </p>
    </details>
  )
}
