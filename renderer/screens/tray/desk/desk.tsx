import './desk.css'
import { type RefObject, useEffect, useRef, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { client } from '../../../client/client.ts'
import { PhotoImage } from '../../../parts/photo-image.tsx'
import { useDesk } from '../desk-state.ts'
import { useMarksDraft } from '../use-marks-draft.ts'
import { DeskTools, ToolHint } from './desk-tools.tsx'
import { GuessesDrawn } from './guesses-drawn.tsx'
import { KeyStrip } from './key-strip.tsx'
import { Loupe } from './loupe.tsx'
import { MarksDrawn } from './marks-drawn.tsx'
import { useDeskPointer } from './use-desk-pointer.ts'
import { fitView, zoomAt } from './zoom.ts'

/** The photo on neutral grey, its marks, and the keys that move them. */
export function Desk() {
  const stage = useRef<HTMLDivElement>(null)
  const [photo, room, zoomed, tool] = useDesk(useShallow((s) => [s.photo, s.room, s.view, s.tool]))
  const lackingSha = useDesk((s) => s.lacking)
  useRoom(stage)
  useDeskPointer(stage)
  useMarksDraft()
  useEffect(() => {
    stage.current?.focus({ preventScroll: true })
  }, [photo?.id])
  if (!photo) return <section className="tray-desk" aria-label="Photo" ref={stage} />
  const lacking = lackingSha === photo.sha256
  const view = zoomed ?? fitView(photo, room)
  const place = { left: view.x, top: view.y, width: photo.width * view.scale, height: photo.height * view.scale }
  return (
    <section className="tray-desk" aria-label="Photo">
      <DeskTools />
      <div
        ref={stage}
        className={`tray-stage ${tool ? 'with-tool' : ''}`}
        // oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex -- a drawing board with keys of its own
        tabIndex={0}
        role="application"
        aria-label={`${photo.name}: mark the panel and the grey card`}
        aria-describedby="tray-keys"
      >
        <PhotoPicture key={photo.sha256} sha={photo.sha256} name={photo.name} place={place} />
        {lacking ? null : (
          <>
            <GuessesDrawn view={view} />
            <MarksDrawn view={view} />
            <Loupe view={view} />
            <ToolHint />
          </>
        )}
      </div>
      <KeyStrip />
    </section>
  )
}

type Place = { left: number; top: number; width: number; height: number }

/** The middle-sized picture; where it is drawn larger than it is, the full one comes over it once loaded. */
function PhotoPicture({ sha, name, place }: { sha: string; name: string; place: Place }) {
  const [ownWidth, setOwnWidth] = useState(Number.POSITIVE_INFINITY)
  const enlarged = place.width * devicePixelRatio > ownWidth * 1.1
  return (
    <>
      <PhotoImage
        className="tray-photo"
        src={client().pictureUrl(`photo/${sha}/view`)}
        alt={name}
        style={place}
        onShown={(width) => {
          setOwnWidth(width)
          useDesk.setState({ lacking: null })
        }}
        onNone={() => useDesk.setState({ lacking: sha })}
        none={
          <div className="tray-photo tray-lacking" style={place} role="status">
            <p>
              <b>{name} cannot be shown.</b> Its original is not where it was taken in, or is damaged. “Check and
              repair” looks for it; what was read from it is safe.
            </p>
          </div>
        }
      />
      {enlarged ? (
        <img
          className="tray-photo"
          src={client().pictureUrl(`photo/${sha}/full`)}
          alt=""
          draggable={false}
          style={place}
        />
      ) : null}
    </>
  )
}

/** Follows the size of the stage. */
function useRoom(stage: RefObject<HTMLElement | null>): void {
  const photoId = useDesk((s) => s.photo?.id)
  useEffect(() => {
    const element = stage.current
    if (!element) return
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = element
      const { room, view, photo } = useDesk.getState()
      if (width === room.width && height === room.height) return
      const next = { width, height }
      // a close view stays close: a line more below the photo is no reason to lose one's place
      useDesk.setState({
        room: next,
        view: view && photo ? zoomAt(view, 1, [width / 2, height / 2], photo, next) : null,
      })
    }
    measure()
    const watch = new ResizeObserver(measure)
    watch.observe(element)
    return () => watch.disconnect()
  }, [photoId, stage])
}
