import { Fragment, useEffect, useEffectEvent, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Photo } from '../../../shared-core/records/photo.ts'
import { client } from '../../client/client.ts'
import { Caution } from '../../parts/caution.tsx'
import { ChangeButton } from '../../parts/change-only.tsx'
import { PhotoImage } from '../../parts/photo-image.tsx'
import { PlaceLink } from '../../parts/place-link.tsx'
import { useAnswer } from '../../state/asking.ts'
import { isMarked, useDesk } from './desk-state.ts'
import { stopHandingOver, takeInFiles } from './hand-over.ts'
import { layoutOf } from './marks.ts'
import { useFixedRows } from './use-fixed-rows.ts'

/** What phones and cameras make, by type and, where a system knows no type, by ending. */
const accepted =
  'image/jpeg,image/png,image/tiff,image/webp,image/avif,image/heic,image/heif,.jpg,.jpeg,.png,.tif,.tiff,.webp,.avif,.heic,.heif,.dng'

/** As tall as its style says. */
const rowHeight = 88
/** Photos asked for at once. */
const pageRows = 20

/** Photos waiting, and ways to add more. Of thousands only those in sight are drawn and asked for. */
export function Pile({
  ids,
  sheetIds,
  photoId,
}: {
  ids: readonly string[]
  sheetIds: readonly string[]
  photoId: string | null
}) {
  const handing = useDesk((s) => s.handing)
  const { scroller, from, to, bringIn } = useFixedRows(ids.length, rowHeight)
  const at = photoId === null ? -1 : ids.indexOf(photoId)
  const bring = useEffectEvent(() => {
    if (at >= 0) bringIn(at)
  })
  useEffect(() => bring(), [at])
  const pages = Array.from(
    { length: Math.max(0, Math.ceil(to / pageRows) - Math.floor(from / pageRows)) },
    (_, i) => (Math.floor(from / pageRows) + i) * pageRows,
  )
  return (
    <nav className="tray-pile" aria-label="Photos waiting">
      <h2>{ids.length === 0 ? 'None waiting' : `${ids.length} waiting`}</h2>
      <ul className="scroll" ref={scroller}>
        {pages.map((first) => (
          <Page key={first} first={first} from={from} to={to} ids={ids} sheetIds={sheetIds} photoId={photoId} />
        ))}
        <li className="tray-pile-end" style={{ top: ids.length * rowHeight - 1 }} aria-hidden="true" />
      </ul>
      <div className="tray-add">
        {handing ? (
          <div className="tray-handing" role="status">
            <p className="fine">
              {handing.total === null
                ? `Looking into the folder: ${handing.done} files`
                : `Handing over ${Math.min(handing.done + 1, handing.total)} of ${handing.total}`}
            </p>
            <button type="button" className="btn plain" onClick={stopHandingOver}>
              Stop
            </button>
          </div>
        ) : null}
        <ChoosePhotos />
        <p className="fine">Or drop photos or a folder anywhere here, or paste.</p>
        {ids.length > 0 ? <Purged /> : null}
      </div>
    </nav>
  )
}

type PageProps = {
  first: number
  from: number
  to: number
  ids: readonly string[]
  sheetIds: readonly string[]
  photoId: string | null
}

function Page({ first, from, to, ids, sheetIds, photoId }: PageProps) {
  const asked = ids.slice(first, first + pageRows)
  const { value } = useAnswer('photos.getMany', { photoIds: asked })
  const [onDesk, marks, proposal] = useDesk(useShallow((s) => [s.photo?.id, s.marks, s.proposal]))
  // what is marked on the desk is kept a little later
  const asItIs = (photo: Photo) => (photo.id === onDesk && !proposal ? { ...photo, layout: layoutOf(marks) } : photo)
  return asked.map((id, i) => {
    const row = first + i
    if (row < from || row >= to) return null
    const photo = value?.photos.find((each) => each.id === id)
    return (
      <li key={id} style={{ top: row * rowHeight }} aria-setsize={ids.length} aria-posinset={row + 1}>
        {photo ? (
          <WaitingPhoto photo={photo} state={stateOf(asItIs(photo), sheetIds)} isOpen={id === photoId} />
        ) : (
          <span className="tray-unread" />
        )}
      </li>
    )
  })
}

function WaitingPhoto({ photo, state, isOpen }: { photo: Photo; state: string; isOpen: boolean }) {
  return (
    <PlaceLink
      to={{ at: 'tray', photoId: photo.id }}
      how="replace"
      aria-label={`${photo.name}, ${state}`}
      aria-current={isOpen ? 'true' : undefined}
    >
      <PhotoImage
        src={client().pictureUrl(`photo/${photo.sha256}/thumb`)}
        alt=""
        none={<span className="tray-none">no picture</span>}
      />
      <span>
        <b>{breakable(photo.name)}</b>
        <span className="fine">{state}</span>
      </span>
    </PlaceLink>
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
function stateOf({ id, layout }: Photo, sheets: readonly string[]): string {
  if (layout.areas.length === 0) {
    if (sheets.includes(id)) return 'blank sheet'
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
      <ChangeButton type="button" className={`btn ${look}`} onClick={() => input.current?.click()}>
        Choose photos
      </ChangeButton>
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
