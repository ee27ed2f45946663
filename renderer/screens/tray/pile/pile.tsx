import { Fragment, useEffect, useEffectEvent, useMemo } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Photo } from '../../../../shared-core/records/photo.ts'
import { client } from '../../../client/client.ts'
import { isOnlyLookedAt } from '../../../commands/command.ts'
import { PhotoImage } from '../../../parts/photo-image.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { useDesk } from '../desk-state.ts'
import { stopHandingOver } from '../hand-over.ts'
import { layoutOf } from '../marks.ts'
import { OtherWays } from '../other-ways.tsx'
import { ChoosePhotos, PurgedBriefly } from './choose-photos.tsx'
import { PileHead } from './pile-head.tsx'
import { type Overview, type RowState, rowState } from './row-state.ts'
import { useFixedRows } from './use-fixed-rows.ts'

/** As tall as its style says. */
const rowHeight = 76
/** Photos asked for at once. */
const pageRows = 20

/** Photos waiting, and ways to add more. Of thousands only those in sight are drawn and asked for. */
export function Pile({
  ids: all,
  sheetIds,
  photoId,
}: {
  ids: readonly string[]
  sheetIds: readonly string[]
  photoId: string | null
}) {
  const [handing, onlyDoubtful] = useDesk(useShallow((s) => [s.handing, s.onlyDoubtful]))
  const overview = useOverview()
  const ids = useMemo(() => shownOf(all, onlyDoubtful ? overview : undefined), [all, onlyDoubtful, overview])
  useEffect(() => useDesk.setState({ waiting: [...ids] }), [ids])
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
      <PileHead count={all.length} overview={overview} />
      <ul className="scroll" ref={scroller}>
        {pages.map((first) => (
          <Page
            key={first}
            first={first}
            from={from}
            to={to}
            ids={ids}
            sheetIds={sheetIds}
            photoId={photoId}
            overview={overview}
          />
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
        {all.length > 0 ? <OtherWays /> : null}
        <p className="fine">Or drop or paste them here.</p>
        {all.length > 0 ? <PurgedBriefly /> : null}
      </div>
    </nav>
  )
}

/** In a rack that is only looked at nobody looks at photos: none of them waits for it. */
function useOverview(): Overview | undefined {
  const overview = useAnswer('proposals.overview', {}).value
  const only = useStore(isOnlyLookedAt)
  return useMemo(() => (only && overview ? { ...overview, waiting: 0 } : overview), [overview, only])
}

/** All, or those alone that somebody has to look at. */
function shownOf(all: readonly string[], overview: Overview | undefined): readonly string[] {
  if (!overview) return all
  const doubtful = new Set(overview.doubtful.map(({ photoId }) => photoId))
  return all.filter((id) => doubtful.has(id))
}

type PageProps = {
  first: number
  from: number
  to: number
  ids: readonly string[]
  sheetIds: readonly string[]
  photoId: string | null
  overview: Overview | undefined
}

function Page({ first, from, to, ids, sheetIds, photoId, overview }: PageProps) {
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
          <WaitingPhoto photo={photo} is={rowState(asItIs(photo), sheetIds, overview)} isOpen={id === photoId} />
        ) : (
          <span className="tray-unread" />
        )}
      </li>
    )
  })
}

function WaitingPhoto({ photo, is, isOpen }: { photo: Photo; is: RowState; isOpen: boolean }) {
  const said = is.code === null ? is.words : `${is.code}, ${is.words}`
  return (
    <PlaceLink
      to={{ at: 'tray', photoId: photo.id }}
      how="replace"
      className={is.isSure ? 'sure' : ''}
      aria-label={`${photo.name}, ${said}`}
      aria-current={isOpen ? 'true' : undefined}
      title={`${photo.name}: ${said}`}
    >
      <PhotoImage
        src={client().pictureUrl(`photo/${photo.sha256}/thumb`)}
        alt=""
        none={<span className="tray-none">no picture</span>}
      />
      <span>
        {is.code === null ? <b>{breakable(photo.name)}</b> : <b className="num">{is.code}</b>}
        <span className="fine">{is.words}</span>
        {is.code === null ? null : <span className="fine tray-file">{photo.name}</span>}
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
