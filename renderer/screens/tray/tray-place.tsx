import './tray.css'
import { type DragEvent, useEffect, useRef, useState } from 'react'
import { Caution } from '../../parts/caution.tsx'
import { useAnswer } from '../../state/asking.ts'
import { Desk } from './desk/desk.tsx'
import { goToPhoto } from './desk-actions.ts'
import { useDesk } from './desk-state.ts'
import { takeInDropped, takeInFiles } from './hand-over.ts'
import { useLiveReading } from './live-reading.ts'
import { EmptyTray } from './pile/empty-tray.tsx'
import { FileReady } from './pile/file-ready.tsx'
import { Pile } from './pile/pile.tsx'
import { Ahead } from './proposing/ahead.tsx'
import { usePhotoOnDesk } from './proposing/use-photo-on-desk.ts'
import { FiledWord, Slip } from './slip/slip.tsx'

/** Photos taken in but not filed yet: mark, read, file, next. A filed photo can be opened here again by its address. */
export function TrayPlace({ photoId }: { photoId: string | null }) {
  const { value: waiting } = useAnswer('photos.listWaiting', {})
  const ids = waiting?.ids
  const filed = useDesk((s) => s.filed)
  // a photo that was filed a moment ago may still stand in an older list
  const first = ids?.find((id) => id !== filed?.photoId)
  usePhotoOnDesk(photoId)
  useLiveReading()
  usePaste()
  useEffect(() => {
    if (!filed || !ids) return
    const waits = ids.includes(filed.photoId)
    if (!waits && !filed.left) useDesk.setState({ filed: { ...filed, left: true } })
    // its filing was undone: nothing is to be told of it any more
    if (waits && filed.left) useDesk.setState({ filed: null })
  }, [ids, filed])
  const goneWith = useDesk((s) => s.goneWith)
  useEffect(() => {
    if (photoId === null && first !== undefined) goToPhoto(first)
  }, [photoId, first])
  const waitedHere = useRef<string | null>(null)
  useEffect(() => {
    if (photoId !== null && !ids) return
    if (photoId === null || ids?.includes(photoId)) waitedHere.current = photoId
    // filed with others in one go while it lay here: the next that waits comes by itself; opened again it stays
    else if (waitedHere.current === photoId && goneWith.includes(photoId)) goToPhoto(ids?.[0] ?? null)
  }, [photoId, ids, goneWith])
  const onDesk = useDesk((s) => s.photo?.id ?? null)
  const { error } = useAnswer('photos.get', photoId === null ? null : { photoId })
  const isGone = error?.code === 'photo/absent'
  useEffect(() => {
    // its taking in was undone: there is nothing left to mark
    if (isGone) useDesk.setState({ photo: null })
  }, [isGone])
  const drop = useDrop()
  return (
    <main className="tray" aria-label="Tray" {...drop.handlers}>
      {onDesk !== null && onDesk === photoId ? (
        <>
          <Desk />
          <Slip />
          <Ahead />
        </>
      ) : (
        <section className="tray-empty scroll">
          <FiledWord />
          {error ? <Absent message={error.message} remedy={error.remedy} /> : null}
          {ids?.length === 0 ? <EmptyTray /> : null}
        </section>
      )}
      <Pile ids={ids ?? []} sheetIds={waiting?.sheetIds ?? []} photoId={photoId} />
      <FileReady />
      {drop.over ? (
        <div className="tray-drop" aria-hidden="true">
          <p className="say">Drop the photos, or a folder of them, to take them in</p>
        </div>
      ) : null}
    </main>
  )
}

function Absent({ message, remedy }: { message: string; remedy: string }) {
  return (
    <div className="tray-how">
      <Caution message={message} remedy={remedy} />
      <button type="button" className="btn" onClick={() => goToPhoto(null)}>
        Show the photos waiting
      </button>
    </div>
  )
}

/** Only drags that carry files; a drag out of this page or of words is left alone. */
function useDrop() {
  const [depth, setDepth] = useState(0)
  const carries = (event: DragEvent) => event.dataTransfer.types.includes('Files')
  return {
    over: depth > 0,
    handlers: {
      onDragEnter: (event: DragEvent) => {
        if (carries(event)) setDepth((d) => d + 1)
      },
      onDragLeave: (event: DragEvent) => {
        if (carries(event)) setDepth((d) => Math.max(d - 1, 0))
      },
      onDragOver: (event: DragEvent) => {
        if (!carries(event)) return
        event.preventDefault()
        event.dataTransfer.dropEffect = 'copy'
      },
      onDrop: (event: DragEvent) => {
        setDepth(0)
        // a table was taken by the sheet for it
        if (!carries(event) || event.defaultPrevented) return
        event.preventDefault()
        void takeInDropped(event.dataTransfer)
      },
    },
  }
}

function usePaste(): void {
  useEffect(() => {
    const paste = (event: ClipboardEvent) => {
      const files = event.clipboardData?.files
      if (!files || files.length === 0) return
      event.preventDefault()
      void takeInFiles(files)
    }
    addEventListener('paste', paste)
    return () => removeEventListener('paste', paste)
  }, [])
}
