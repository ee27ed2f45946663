import { Fragment, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Photo } from '../../../shared-core/records/photo.ts'
import { client } from '../../client/client.ts'
import { Caution } from '../../parts/caution.tsx'
import { pathOf } from '../../state/router.ts'
import { goToPhoto, takeInFiles } from './desk-actions.ts'
import { isMarked, useDesk } from './desk-state.ts'
import { layoutOf } from './marks.ts'

/** What phones and cameras make, by type and, where a system knows no type, by ending. */
const accepted =
  'image/jpeg,image/png,image/tiff,image/webp,image/avif,image/heic,image/heif,.jpg,.jpeg,.png,.tif,.tiff,.webp,.avif,.heic,.heif,.dng'

/** Photos waiting, and ways to add more. */
export function Pile({ photos, photoId }: { photos: readonly Photo[]; photoId: string | null }) {
  const handing = useDesk((s) => s.handing)
  const [onDesk, marks, proposal] = useDesk(useShallow((s) => [s.photo?.id, s.marks, s.proposal]))
  // what is marked on the desk is kept a little later
  const asItIs = (photo: Photo) => (photo.id === onDesk && !proposal ? { ...photo, layout: layoutOf(marks) } : photo)
  const sheets = new Set(photos.map((photo) => photo.flatPhotoId))
  return (
    <nav className="tray-pile" aria-label="Photos waiting">
      <h2>{photos.length === 0 ? 'None waiting' : `${photos.length} waiting`}</h2>
      <ul className="scroll">
        {photos.map((photo) => (
          <li key={photo.id}>
            <a
              href={pathOf({ at: 'tray', photoId: photo.id })}
              aria-label={`${photo.name}, ${stateOf(asItIs(photo), sheets)}`}
              aria-current={photo.id === photoId ? 'true' : undefined}
              onClick={(event) => {
                if (event.ctrlKey || event.metaKey || event.shiftKey) return
                event.preventDefault()
                goToPhoto(photo.id)
              }}
            >
              <img src={client().pictureUrl(`photo/${photo.sha256}/thumb`)} alt="" loading="lazy" draggable={false} />
              <span>
                <b>{breakable(photo.name)}</b>
                <span className="fine">{stateOf(asItIs(photo), sheets)}</span>
              </span>
            </a>
          </li>
        ))}
      </ul>
      <div className="tray-add">
        {handing ? (
          <p className="fine" role="status">
            Handing over {handing.done + 1} of {handing.total}
          </p>
        ) : null}
        <ChoosePhotos />
        <p className="fine">Or drop them anywhere here, or paste.</p>
        {photos.length > 0 ? <Purged /> : null}
      </div>
    </nav>
  )
}

/** A long file name breaks at its own joints. */
function breakable(name: string) {
  return name.split(/(?<=[_-])|(?=\.)/).map((part, i) => (
    <Fragment key={`${i} ${part}`}>
      {i > 0 ? <wbr /> : null}
      {part}
    </Fragment>
  ))
}

/** @param sheets  photos that others name as their blank sheet */
function stateOf({ id, layout }: Photo, sheets: ReadonlySet<string | null>): string {
  if (layout.areas.length === 0) {
    if (sheets.has(id)) return 'blank sheet'
    if (layout.chart) return 'chart marked'
    return isMarked(layout) ? 'card marked' : 'not marked yet'
  }
  if (!layout.card && !layout.chart) return 'marked, no card'
  return layout.areas.some((area) => area.stepId !== null) ? 'marked, steps named' : 'marked'
}

export function ChoosePhotos({ look = '' }: { look?: 'main' | '' }) {
  const input = useRef<HTMLInputElement>(null)
  return (
    <>
      <button type="button" className={`btn ${look}`} onClick={() => input.current?.click()}>
        Choose photos
      </button>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        accept={accepted}
        aria-label="Choose photos"
        data-testid="photo-files"
        onChange={(event) => {
          const files = [...(event.target.files ?? [])]
          // So that the same file can be chosen again.
          event.target.value = ''
          void takeInFiles(files)
        }}
      />
    </>
  )
}

/** Stands wherever photos are asked for. */
export function Purged() {
  return <Caution message="Phones and cameras are ignition sources:" remedy="photograph after the booth has purged." />
}
