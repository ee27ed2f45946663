import { useEffect, useRef, useState } from 'react'
import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { PhotoPoint } from '../../../../shared-core/contract/match-calls.ts'
import type { Match } from '../../../../shared-core/records/match.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { idOfPhoto, idOfPoint } from '../../../state/match-address.ts'
import { replaceOnTable } from '../../../state/match-table.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { MatchHeader } from '../match-header.tsx'
import { PhotoPicker } from './photo-picker.tsx'

/** The photo that a point was taken in, where another can be taken, and the colour that was read. */
export function PointInPhoto({ point, lab }: { point: PhotoPoint; lab: Lab | null }) {
  const { photoId } = point
  const { value } = useAnswer('photos.get', { photoId })
  return (
    <div className="match-ref match-of-point">
      {value ? (
        <PhotoPicker
          photo={value.photo}
          point={point}
          onPick={({ x, y }) => go({ at: 'match', referenceId: idOfPoint({ photoId, x, y }) }, 'replace')}
        />
      ) : (
        <div className="point-room" />
      )}
      {lab ? <Paint lab={lab} label="Reference: the colour at the point" flat /> : <span className="point-none" />}
    </div>
  )
}

type NameProps = { point: PhotoPoint; to: Reading; nearest: Match | undefined }

/** What it is, and how to keep it. */
export function PointName({ point, to, nearest }: NameProps) {
  const photo = useAnswer('photos.get', { photoId: point.photoId }).value?.photo
  const [naming, setNaming] = useState(false)
  return (
    <>
      <MatchHeader name={`a point in ${photo?.name ?? 'a photo'}`} to={to} nearest={nearest}>
        <button
          type="button"
          className="btn"
          onClick={() => go({ at: 'match', referenceId: idOfPhoto(point.photoId) })}
        >
          Larger photo
        </button>
        {naming ? null : (
          <ChangeButton type="button" className="btn main" onClick={() => setNaming(true)}>
            Keep as reference
          </ChangeButton>
        )}
      </MatchHeader>
      {naming ? <Keep point={point} onDone={() => setNaming(false)} /> : null}
    </>
  )
}

function Keep({ point, onDone }: { point: PhotoPoint; onDone: () => void }) {
  const [name, setName] = useState('')
  const field = useRef<HTMLInputElement>(null)
  useEffect(() => field.current?.focus(), [])
  const keep = async () => {
    if (name.trim() === '') return
    const done = await act('references.addFromPoint', { ...point, name: name.trim() })
    if (!done) return
    useStore.getState().say(`${done.reference.name} is kept as a reference.`)
    replaceOnTable(idOfPoint(point), done.reference.id)
  }
  return (
    <form
      className="match-filters match-keep"
      onSubmit={(event) => {
        event.preventDefault()
        void keep()
      }}
    >
      <label className="field">
        <span>Name of the reference</span>
        <input
          className="input"
          value={name}
          maxLength={200}
          ref={field}
          onKeyDown={(event) => {
            if (event.key === 'Escape') onDone()
          }}
          onChange={(event) => setName(event.target.value)}
        />
      </label>
      <button type="submit" className="btn main" aria-disabled={name.trim() === ''}>
        Keep it
      </button>
      <button type="button" className="btn plain" onClick={onDone}>
        Leave it
      </button>
    </form>
  )
}
